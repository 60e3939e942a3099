"""The pattern as an SVG and as one large page, read by an XML parser and pdfplumber; hostile and very long names."""

import re
from dataclasses import dataclass
from datetime import UTC, datetime
from xml.etree import ElementTree as ET

import pytest
from django.test import Client
from django.urls import reverse
from pytest_django import DjangoDbBlocker

from gowngroup.catalog.actions import start_catalog
from gowngroup.catalog.models import DesignSize, OutlinePiece
from gowngroup.catalog.planner import GownNeed, gown_need
from tests.demo.built import rolled_back
from tests.factories import (
    DesignFactory,
    DesignRevisionFactory,
    DesignSizeFactory,
    GroupFactory,
    PersonFactory,
    SizeFactory,
)
from tests.printing.paper.watch import watched
from tests.printing.pattern_reading import (
    CUT_WIDTH,
    SQUARE_WIDTH,
    bands_of,
    drawn_lines,
    is_outline,
    opened_pdf,
    size_of,
)
from tests.printing.reading import said
from tests.printing.test_hostile_text import SNIPPETS

pytestmark = pytest.mark.django_db  # so that there is a database for what is made once for all

SVG = "{http://www.w3.org/2000/svg}"
LONG = "Belegstreifenverstärkungsstückchenzuschnittvorlage rechtsaußen"
# Every snippet is told apart by its own number, as far as the 60 letters of a name go.
NAMES = (*(f"{number}{snippet}"[:60].strip() for number, snippet in enumerate(SNIPPETS)), LONG[:60])
CORNERS_UM = [[0, 0, 0], [90_000, 0, 4_000], [83_000, 62_000, -3_000], [7_000, 66_000, 0]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """A pattern as downloaded, and what it was made from."""

    need: GownNeed
    svg: str
    pdf: bytes


def downloaded(row: DesignSize, name: str) -> bytes:
    client = Client()
    client.force_login(PersonFactory(roles=["packer"]))
    response = client.get(reverse(f"printing:{name}", args=[row.revision_id, row.size_id]))
    assert response.status_code == 200
    return bytes(response.content)


@pytest.fixture(scope="module")
def yoke(django_db_setup: None, django_db_blocker: DjangoDbBlocker) -> Drawn:
    """The yoke gown for a baby up to 40 cm."""
    with django_db_blocker.unblock(), rolled_back():
        GroupFactory()
        start_catalog(by=PersonFactory(roles=["coordinator"]), at=datetime(2026, 3, 1, tzinfo=UTC))
        row = DesignSize.objects.get(revision__design__name__startswith="Yoke", size__upper_mass_g=1500)
        need = gown_need(revision=row.revision, size=row.size)
        svg = downloaded(row, "pattern_svg").decode()
        return Drawn(need=need, svg=svg, pdf=downloaded(row, "pattern_sheet_pdf"))


@pytest.fixture(scope="module")
def hostile(django_db_setup: None, django_db_blocker: DjangoDbBlocker) -> Drawn:
    """A design of own outlines, its pieces and itself named by somebody with bad intentions."""
    with django_db_blocker.unblock(), rolled_back():
        GroupFactory(name=SNIPPETS[0])
        design = DesignFactory(name=SNIPPETS[15], kind="outlines")
        row = DesignSizeFactory(revision=DesignRevisionFactory(design=design, chart=None), size=SizeFactory())
        for name in NAMES:
            OutlinePiece.objects.create(
                design_size=row, name=name, piece_count=2, corners_um=CORNERS_UM, allowance_um=7_000
            )
        need = gown_need(revision=row.revision, size=row.size)
        svg = downloaded(row, "pattern_svg").decode()
        with (
            pytest.MonkeyPatch.context() as patch,
            watched(patch, is_fresh=True),
        ):  # asks for our own files and nothing else
            content = downloaded(row, "pattern_pdf")
        return Drawn(need=need, svg=svg, pdf=content)


def groups_of(svg: str) -> list[ET.Element]:
    root = ET.fromstring(svg)  # noqa: S314 - our own drawing
    return [group for group in root.iter(f"{SVG}g") if str(group.get("id")).startswith("piece-")]


def points_of(path: ET.Element) -> list[tuple[float, float]]:
    numbers = [float(number) for number in re.findall(r"-?\d+\.?\d*", path.get("d", ""))]
    return list(zip(numbers[::2], numbers[1::2], strict=True))


def path_of(group: ET.Element, style: str) -> ET.Element:
    return next(path for path in group.iter(f"{SVG}path") if path.get("class") == style)


def test_svg_has_real_units(yoke: Drawn) -> None:
    """Width and height are in mm, and the viewBox is the same numbers: one unit is a millimetre (SVG 1.1, 7.2)."""
    root = ET.fromstring(yoke.svg)  # noqa: S314 - our own drawing
    width, height = root.get("width", ""), root.get("height", "")
    assert width.endswith("mm")
    assert height.endswith("mm")
    assert root.get("viewBox") == f"0 0 {width.removesuffix('mm')} {height.removesuffix('mm')}"


def test_svg_pieces_are_true(yoke: Drawn) -> None:
    """Each piece is a group of its own with its name as title, and its cutting line is the outline within 0.1 mm."""
    groups = groups_of(yoke.svg)
    assert len(groups) == len(yoke.need.pieces) + 1  # and the armhole template
    for group, piece in zip(groups, yoke.need.pieces, strict=False):
        title = group.findtext(f"{SVG}title") or ""
        assert f"{piece.name}. Cut {piece.count} from the gown’s cloth" in title
        (band,) = bands_of([(*points_of(path_of(group, "cut")), points_of(path_of(group, "cut"))[0])])
        assert is_outline(band, piece.outline, (0, 90, 45, -45)), piece.name


def test_svg_pieces_carry_their_words(yoke: Drawn) -> None:
    """Every group holds the label of its piece, inside or below it, in full."""
    for group in groups_of(yoke.svg):
        name, _, cut = (group.findtext(f"{SVG}title") or "").partition(". ")
        words = "".join(text.text or "" for text in group.iter(f"{SVG}text")).replace(" ", "")
        assert name.replace(" ", "") in words
        assert cut.replace(" ", "") in words


def test_svg_test_squares(yoke: Drawn) -> None:
    """The drawing carries both squares, 50 mm and 2 in = 50.8 mm."""
    root = ET.fromstring(yoke.svg)  # noqa: S314 - our own drawing
    (group,) = [each for each in root.iter(f"{SVG}g") if each.get("id") == "test-squares"]
    sizes = [size_of(points_of(path)) for path in group.iter(f"{SVG}path")]
    assert sizes == [pytest.approx((50.0, 50.0)), pytest.approx((50.8, 50.8))]


def test_large_page_is_true(yoke: Drawn) -> None:
    """The one large page holds every piece within 0.1 mm, both squares, and fits a roll 841 mm wide (ISO 216, A0)."""
    with opened_pdf(yoke.pdf) as read:
        (page,) = read.pages
        lines = drawn_lines(page)
        bands = bands_of([points for width, points in lines if abs(width - CUT_WIDTH) < 0.01])
        squares = [size_of(points) for width, points in lines if abs(width - SQUARE_WIDTH) < 0.01]
        assert float(page.width) <= 841 * 72 / 25.4
        assert len(bands) == len(yoke.need.pieces) + 1
        for piece in yoke.need.pieces:
            assert sum(is_outline(band, piece.outline, (0, 90, 45, -45)) for band in bands) == 1
        assert {round(side, 1) for side, other in squares if abs(side - other) < 0.01} >= {50.0, 50.8}
        assert all(
            char["x0"] > 0 and char["x1"] < page.width and char["bottom"] < page.height for char in page.chars
        )


def test_hostile_names_are_only_text_in_the_svg(hostile: Drawn) -> None:
    """Whatever a piece is called is its group's title and no element; nothing is referred to."""
    groups = groups_of(hostile.svg)
    titles = [group.findtext(f"{SVG}title") or "" for group in groups]
    for number, (name, title) in enumerate(zip(NAMES, titles, strict=True), start=1):
        assert f"{number} {name}. Cut 2" in title
    root = ET.fromstring(hostile.svg)  # noqa: S314 - our own drawing
    assert {each.tag.removeprefix(SVG) for each in root.iter()} == {
        "svg",
        "title",
        "desc",
        "g",
        "path",
        "text",
    }
    assert not any("href" in key or key.startswith("on") for each in root.iter() for key in each.attrib)


def test_hostile_and_long_names_are_whole_on_paper(hostile: Drawn) -> None:
    """On the tiles every name stands whole, broken into lines, and no letter leaves the page."""
    with opened_pdf(hostile.pdf) as read:
        text = said(read)
        missing = [name for name in NAMES if name.replace(" ", "") not in text]
        assert missing == []
        for page in read.pages:
            assert all(char["x0"] > 0 and char["x1"] < page.width for char in page.chars)


def test_long_names_stay_off_the_cutting_line(hostile: Drawn) -> None:
    """The label of a small piece with a name of sixty letters is set inside it, or below it, never across its edge."""
    groups = groups_of(hostile.svg)
    words = list(groups[-1].iter(f"{SVG}text"))
    xs, ys = zip(*points_of(path_of(groups[-1], "cut")), strict=True)
    is_inside = [min(ys) < float(text.get("y", 0)) < max(ys) for text in words]
    assert len(words) >= 4
    assert all(is_inside) or not any(is_inside)
    assert all(min(xs) <= float(text.get("x", 0)) for text in words)
