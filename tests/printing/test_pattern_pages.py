"""Who may have a pattern, on which paper, of which kit; and what the pages say where there is none."""

from datetime import datetime

import pytest
from django.test import Client
from django.urls import reverse

from gowngroup.batches.models import Plan
from gowngroup.catalog.actions import start_catalog
from gowngroup.catalog.models import DesignSize, RectanglePiece
from gowngroup.catalog.planner import gown_need
from gowngroup.people.models import Person
from gowngroup.printing.planner.pattern import (
    LARGE_MM,
    PAPERS,
    USUAL_MM,
    UnknownPaper,
    paper_named,
    pattern_of,
    tiled_pattern,
)
from gowngroup.printing.planner.pattern.laid import MOST_TILES, TooManyTiles
from tests.factories import DesignFactory, DesignRevisionFactory, DesignSizeFactory
from tests.printing.conftest import MAKE_KIT, SIGN_IN

A4, LETTER = PAPERS


@pytest.fixture
def wrap(coordinator: Person, at: datetime) -> DesignSize:
    """The smallest wrap: two pieces, quickly drawn."""
    start_catalog(by=coordinator, at=at)
    return DesignSize.objects.select_related("revision__design", "size").get(
        revision__design__name__startswith="Wrap", size__upper_mass_g=250
    )


def address(row: DesignSize, name: str = "pattern", query: str = "") -> str:
    return reverse(f"printing:{name}", args=[row.revision_id, row.size_id]) + query


def text_of(client: Client, url: str, status: int = 200) -> str:
    response = client.get(url)
    assert response.status_code == status
    return response.content.decode()


def test_the_readers_own_paper(wrap: DesignSize, packer: Person, sign_in: SIGN_IN) -> None:
    """Without a word the pages are of the reader's own paper; the other one is a tap away."""
    assert "Pages of A4 as a PDF" in text_of(sign_in(packer), address(wrap))
    packer.paper_size = "Letter"
    packer.save()
    text = text_of(sign_in(packer), address(wrap))
    assert "Pages of Letter as a PDF" in text
    assert "On A4 instead" in text


@pytest.mark.parametrize("name", ["pattern", "pattern_pdf"])
def test_unknown_paper_is_refused(wrap: DesignSize, packer: Person, sign_in: SIGN_IN, name: str) -> None:
    """Paper that is not known is refused with a sentence that names it and the papers there are."""
    text = text_of(sign_in(packer), address(wrap, name, "?paper=Foolscap<b>"), status=422)
    assert "A4 or Letter; there is no paper called “Foolscap&lt;b&gt;”" in text
    with pytest.raises(UnknownPaper):
        paper_named("a4")


@pytest.mark.parametrize("name", ["pattern", "pattern_pdf", "pattern_sheet_pdf", "pattern_svg"])
def test_size_that_is_not_made(wrap: DesignSize, packer: Person, sign_in: SIGN_IN, name: str) -> None:
    """A size the design is not made in has no pattern, as if it had never been."""
    url = reverse(f"printing:{name}", args=[wrap.revision_id, wrap.size_id + 1000])
    assert sign_in(packer).get(url).status_code == 404


@pytest.mark.parametrize("name", ["pattern", "pattern_pdf", "pattern_sheet_pdf", "pattern_svg"])
def test_size_without_pieces_says_so(wrap: DesignSize, packer: Person, sign_in: SIGN_IN, name: str) -> None:
    """A size whose pieces are not entered yet says so and leads back to it."""
    wrap.revision.design.kind = "rectangles"
    wrap.revision.design.save()
    text = text_of(sign_in(packer), address(wrap, name), status=422)
    assert "No pieces have been entered" in text
    assert reverse("catalog:design_size_page", args=[wrap.revision.design_id, wrap.size_id]) in text


def test_page_shows_all_tiles_without_inline_style(
    wrap: DesignSize, packer: Person, sign_in: SIGN_IN
) -> None:
    """The page itself holds every tile, so that a browser can print it, and keeps the strict policy."""
    text = text_of(sign_in(packer), address(wrap))
    assert text.count('class="tile-drawing"') == 3
    assert "style=" not in text
    assert "<script" not in text
    assert "<style" not in text


def test_links_for_who_cuts_only(
    wrap: DesignSize, packer: Person, volunteer: Person, sign_in: SIGN_IN
) -> None:
    """The page of the size offers the pattern to packers, not to volunteers."""
    page = reverse("catalog:design_size_page", args=[wrap.revision.design_id, wrap.size_id])
    assert address(wrap, "pattern_svg") in text_of(sign_in(packer), page)
    assert address(wrap) not in text_of(sign_in(volunteer), page)
    assert sign_in(volunteer).get(address(wrap)).status_code == 403


def test_pattern_of_a_kit_is_the_one_it_was_planned_with(
    make_kit: MAKE_KIT, packer: Person, sign_in: SIGN_IN
) -> None:
    """From a kit one gets the pieces of its stored plan, though the design's measures have changed since."""
    kit = make_kit()
    RectanglePiece.objects.filter(name="sleeve").update(width_um=777_000)
    row = DesignSize.objects.get(revision=kit.design_revision, size=kit.size)
    client = sign_in(packer)
    page = text_of(client, reverse("batches:kit_page", args=[kit.code]))
    url = address(row, query=f"?for=worn&kit={kit.code}")
    assert url.replace("&", "&amp;") in page
    assert "77.7\u00a0cm" not in text_of(client, url)
    assert "77.7\u00a0cm" in text_of(client, address(row))


def test_kit_of_another_design(make_kit: MAKE_KIT, packer: Person, sign_in: SIGN_IN) -> None:
    """A kit of another design, or none at all, answers 404."""
    client, kit = sign_in(packer), make_kit()
    other = DesignSizeFactory(revision=DesignRevisionFactory(design=DesignFactory()), size=kit.size)
    assert client.get(address(other, query=f"?kit={kit.code}")).status_code == 404
    assert client.get(address(other, query="?kit=KNONE4")).status_code == 404


def test_kit_whose_plan_cannot_be_read(make_kit: MAKE_KIT, packer: Person, sign_in: SIGN_IN) -> None:
    """A kit whose plan is damaged has no pattern, and the page says whom to ask."""
    kit = make_kit()
    Plan.objects.filter(pk=kit.lay.plan_id).update(document={})
    row = DesignSize.objects.get(revision=kit.design_revision, size=kit.size)
    url = address(row, query=f"?for=worn&kit={kit.code}")
    assert "Please ask the coordinator" in text_of(sign_in(packer), url, status=422)


def test_memorial_in_gentle_words(wrap: DesignSize, packer: Person, sign_in: SIGN_IN) -> None:
    """The pattern of a memorial gown says whom it is for, gently, and never uses that word to the reader."""
    text = text_of(sign_in(packer), address(wrap, query="?for=memorial"))
    assert "For babies who die, before or soon after birth." in text
    assert "memorial" not in text.replace("for=memorial", "").lower()


def test_large_print_makes_room_for_itself(wrap: DesignSize) -> None:
    """Larger type above each tile leaves less of the page for the pattern, and the type in it is 14 pt."""
    usual, large = (A4.tile(has_large_print=is_large) for is_large in (False, True))
    assert usual.height_mm - large.height_mm == pytest.approx(4.0)
    assert LARGE_MM * 72 / 25.4 >= 14
    need = gown_need(revision=wrap.revision, size=wrap.size)
    pattern = pattern_of(need, design_size=wrap, purpose="worn", size="40 cm", type_mm=LARGE_MM)
    assert tiled_pattern(pattern, LETTER, has_large_print=True).sheet.tile.height_mm < usual.height_mm


@pytest.mark.parametrize("count", [3, 20])
def test_far_too_many_pages_are_refused(make_kit: MAKE_KIT, count: int) -> None:
    """A pattern of more pages than anybody would stick together is refused, naming the large page instead."""
    kit = make_kit()
    row = DesignSize.objects.get(revision=kit.design_revision, size=kit.size)
    for number in range(count):
        RectanglePiece.objects.create(
            design_size=row, name=f"sheet {number}", piece_count=1, width_um=1_500_000, length_um=1_500_000
        )
    need = gown_need(revision=row.revision, size=row.size)
    pattern = pattern_of(need, design_size=row, purpose="worn", size="46 cm", type_mm=USUAL_MM)
    with pytest.raises(TooManyTiles, match="one large page at a copy shop"):
        tiled_pattern(pattern, A4, has_large_print=False)
    assert MOST_TILES == 150
