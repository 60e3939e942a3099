"""The tiled pattern, measured from its PDF: true to a tenth of a millimetre once the pages are stuck together."""

import io
import logging
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

import pikepdf
import pytest
from django.test import Client
from django.urls import reverse
from pytest_django import DjangoDbBlocker

from gowngroup.catalog.actions import start_catalog
from gowngroup.catalog.models import DesignSize
from gowngroup.catalog.planner import GownNeed, gown_need
from tests.demo.built import rolled_back
from tests.factories import GroupFactory, PersonFactory
from tests.printing.pattern_reading import (
    CUT_WIDTH,
    MARK_WIDTH,
    SQUARE_WIDTH,
    ReadTile,
    bands_of,
    is_outline,
    opened_pdf,
    read_tile,
    stuck_together,
)
from tests.printing.reading import MM, said

pytestmark = pytest.mark.django_db  # so that there is a database for what is made once for all

# ISO 216 and ANSI/ASME Y14.1.
PAPERS = {"A4": ("Yoke", 1500, 210.0, 297.0), "Letter": ("Round", 2500, 215.9, 279.4)}


@dataclass(frozen=True, slots=True, kw_only=True)
class Printed:
    """A pattern as printed on one paper, and what it was made from."""

    need: GownNeed
    content: bytes
    width_mm: float
    height_mm: float
    pdf: Any
    tiles: tuple[ReadTile, ...]


@pytest.fixture(scope="module", params=PAPERS)
def printed(
    request: pytest.FixtureRequest, django_db_setup: None, django_db_blocker: DjangoDbBlocker
) -> Iterator[Printed]:
    """One pattern for each paper, made once for all tests of this file by an engine that says nothing."""
    name, mass_g, width_mm, height_mm = PAPERS[request.param]
    said_by_engine: list[str] = []
    handler = logging.Handler(logging.WARNING)
    handler.emit = lambda record: said_by_engine.append(record.getMessage())  # type: ignore[method-assign]
    logging.getLogger("weasyprint").addHandler(handler)
    with django_db_blocker.unblock(), rolled_back():
        GroupFactory()
        packer = PersonFactory(roles=["packer"])
        start_catalog(by=PersonFactory(roles=["coordinator"]), at=datetime(2026, 3, 1, tzinfo=UTC))
        row = DesignSize.objects.get(revision__design__name__startswith=name, size__upper_mass_g=mass_g)
        client = Client()
        client.force_login(packer)
        address = reverse("printing:pattern_pdf", args=[row.revision_id, row.size_id])
        content = client.get(f"{address}?paper={request.param}").content
        need = gown_need(revision=row.revision, size=row.size)
    logging.getLogger("weasyprint").removeHandler(handler)
    assert said_by_engine == []
    pdf = opened_pdf(content)
    yield Printed(
        need=need,
        content=content,
        width_mm=width_mm,
        height_mm=height_mm,
        pdf=pdf,
        tiles=tuple(read_tile(page) for page in tile_pages(pdf)),
    )
    pdf.close()


def tile_pages(pdf: Any) -> list[Any]:
    return [page for page in pdf.pages if page.extract_text().startswith("Tile ")]


def test_both_test_squares_on_every_tile(printed: Printed) -> None:
    """Each tile has one square of 50.0 mm and one of 2 in (25.4 mm each, exactly), within 0.1 mm."""
    assert len(printed.tiles) >= 8
    for tile in printed.tiles:
        squares = sorted(size for size in tile.boxes(SQUARE_WIDTH) if min(size) > 20)
        assert len(squares) == 2
        assert squares[0] == pytest.approx((50.0, 50.0), abs=0.1)
        assert squares[1] == pytest.approx((50.8, 50.8), abs=0.1)


def test_pieces_are_true_once_stuck_together(printed: Printed) -> None:
    """The cutting lines of all tiles, laid where each says it belongs, are every piece's outline within 0.1 mm."""
    bands = bands_of(stuck_together(printed.tiles, CUT_WIDTH))
    for piece in printed.need.pieces:
        found = [band for band in bands if is_outline(band, piece.outline, (0, 90, 45, -45))]
        assert len(found) == 1, piece.name
        bands.remove(found[0])
    # What is left over is the armhole template of the yoke gown.
    assert len(bands) == (1 if printed.need.measure_mm("smocked_width_mm") else 0)


def test_a_line_out_of_true_would_be_seen(printed: Printed) -> None:
    """The same check refuses an outline that is two tenths of a millimetre wider: it can fail."""
    bands = bands_of(stuck_together(printed.tiles, CUT_WIDTH))
    piece = printed.need.pieces[0]
    widest = max(x for x, _ in piece.outline)
    wider = tuple((x + 0.25 * x / widest, y) for x, y in piece.outline)
    assert not any(is_outline(band, wider, (0, 90)) for band in bands)


def test_tiles_overlap_by_ten_millimetres(printed: Printed) -> None:
    """Every mark stands on two tiles at the same place of the sheet, 5 mm inside both frames."""
    places: Counter[tuple[int, int]] = Counter()
    for tile in printed.tiles:
        for points in tile.of_width(MARK_WIDTH):
            if len(points) == 5:
                x, y = (sum(way) / 4 for way in zip(*points[:4], strict=True))
                across, down = min(x, tile.width_mm - x), min(y, tile.height_mm - y)
                assert min(across, down) == pytest.approx(5.0, abs=0.05)
                places[round(x + tile.corner[0]), round(y + tile.corner[1])] += 1
    assert len(places) >= 10
    assert set(places.values()) == {2}


def test_nothing_runs_past_the_edge(printed: Printed) -> None:
    """Pages are as large as the paper; tiles keep 7 mm from its edge, words 4 mm (from memory: most printers)."""
    for page in printed.pdf.pages:
        assert float(page.width) / MM == pytest.approx(printed.width_mm, abs=0.1)
        assert float(page.height) / MM == pytest.approx(printed.height_mm, abs=0.1)
        free = (7 if page.extract_text().startswith("Tile ") else 4) * MM
        for thing in (
            *page.chars,
            *page.lines,
            *(rect for rect in page.rects if rect["stroke"]),
            *page.curves,
        ):
            assert thing["x0"] >= free
            assert thing["x1"] <= float(page.width) - free
            assert thing["top"] >= free
            assert thing["bottom"] <= float(page.height) - free


def test_every_piece_says_how_many_and_from_what(printed: Printed) -> None:
    """On the tiles stands each piece's name with how many to cut and from what, and the size."""
    text = "".join(said_of(page) for page in tile_pages(printed.pdf))
    for number, piece in enumerate(printed.need.pieces, start=1):
        words = f"{number}{piece.name}Cut{piece.count}fromthegown’scloth".replace(" ", "")
        assert words in text, words
    assert "forababyupto" in text
    assert "Printat100%" in text


def said_of(page: Any) -> str:
    return "".join(char["text"] for char in page.chars).replace(" ", "").replace("\u00a0", "")


def test_first_page_has_map_and_scale(printed: Printed) -> None:
    """The first page says to print at 100 % and to measure first, and maps as many tiles as are printed."""
    text = said_of(printed.pdf.pages[0])
    assert "never“fittopage”" in text
    assert f"Map:{len(printed.tiles)}tiles" in text
    assert "danger of suffocation".replace(" ", "") in said(printed.pdf)


def test_armhole_guide(printed: Printed) -> None:
    """The guide names every row to thread and where it ends; a panel's upper rows end at the armhole."""
    text = said(printed.pdf)
    assert "Thread7rows,ofwhich5aresmocked" in text
    if printed.need.measure_mm("smocked_width_mm"):
        assert "atthearmhole,1.4cmor2pleatsshortoftheside" in text
    else:
        assert "runsonfrompiecetopiece" in text


def test_type_and_ink(printed: Printed) -> None:
    """No letter is smaller than 11 pt, all is black, and nothing is filled."""
    for page in printed.pdf.pages:
        assert min(char["size"] for char in page.chars) >= 10.99
        for thing in (*page.lines, *page.rects, *page.curves):
            colours = [thing.get("stroking_color"), thing.get("non_stroking_color")]
            assert all(not colour or set(colour) <= {0, 1} for colour in colours)
            assert not thing["fill"] or set(thing["non_stroking_color"]) == {1} or thing["height"] < 1


def test_told_apart_in_black_and_white(printed: Printed) -> None:
    """Cutting, seam, notch, row and grain lines differ in width."""
    widths = {round(width, 2) for tile in printed.tiles for width, _ in tile.lines}
    assert {0.6, 0.3, 0.7, 0.2, 0.25} <= widths


def test_tags_title_and_language(printed: Printed) -> None:
    """The PDF is tagged for PDF/UA (ISO 14289-1) with title, language and words for every drawing."""
    with pikepdf.open(io.BytesIO(printed.content)) as pdf:
        assert str(pdf.Root.Lang).startswith("en")
        assert str(pdf.docinfo.Title).startswith("Pattern: ")
        with pdf.open_metadata() as metadata:
            assert metadata["pdfuaid:part"] == "1"
        figures = [o for o in pdf.objects if isinstance(o, pikepdf.Dictionary) and o.get("/S") == "/Figure"]
        assert len(figures) > len(printed.tiles)
        assert all(str(figure.get("/Alt", "")) for figure in figures)
