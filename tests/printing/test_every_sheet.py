"""Every sheet at its fullest, asked once for all: conforming, in order, on the paper, large, black, its codes read.

Kit sheets are asked so in test_kit_stress and test_kit_paper, letters of thanks and the year in test_thanks, where they are made.
"""

from collections.abc import Callable
from typing import Any

import pytest
from django.urls import reverse

from gowngroup.people.models import Group, Person
from gowngroup.printing.pdf import html_of, pdf_of
from tests.printing.conftest import MAKE_DROP_OFF, MAKE_GOWN, MAKE_KIT, SIGN_IN
from tests.printing.cutting_lays import A4, LETTER, SHOWY, context_of, cut_of, lay_of
from tests.printing.paper.conforming import ARCHIVE
from tests.printing.paper.faults import (
    DRAWING_MM,
    IN_PIECES_PT,
    LABEL_MM,
    LABEL_PT,
    LARGE_PT,
    TEXT_MM,
    TILE_MM,
    USUAL_PT,
    faults,
)
from tests.printing.paper.here import Printed, PrintedHere
from tests.printing.paper.scenes import Scene, long_text, widest_codes

# WeasyPrint leaves the file of its colour profile to be closed by Python.
pytestmark = pytest.mark.filterwarnings("ignore:unclosed file .*sRGB2014:ResourceWarning")
# The larger paper with the smaller type, and the other way about: whatever fits between fits.
ENDS = pytest.mark.parametrize(("paper", "is_large"), [("A4", False), ("Letter", True)])


@pytest.fixture
def make_gown(make_gown: MAKE_GOWN) -> MAKE_GOWN:
    """Gowns with the widest codes there are."""
    codes = widest_codes("G")
    return lambda **fields: make_gown(**{"code": next(codes)} | fields)


@pytest.fixture
def scene(group: Group, make_gown: MAKE_GOWN, make_drop_off: MAKE_DROP_OFF, make_kit: MAKE_KIT) -> Scene:
    """A group with the longest name, whose sheets are as full as can be."""
    group.name, group.telephone = long_text(120), "0049 30 1234567890 Nebenstelle 12345678"
    group.label_line = "Genäht vom Neugeborenenkreis"
    group.save()
    return Scene(group=group, make_gown=make_gown, make_drop_off=make_drop_off, make_kit=make_kit)


@pytest.fixture
def ask(printed_here: PrintedHere, packer: Person, sign_in: SIGN_IN) -> Callable[..., Printed]:
    """Fetch a sheet as somebody who reads on this paper, in this size of type."""

    def fetch(address: str, *, paper: str, is_large: bool) -> Printed:
        packer.paper_size, packer.has_large_print = paper, is_large
        packer.save()
        return printed_here.sheet(sign_in(packer), address)

    return fetch


@ENDS
@pytest.mark.parametrize("name", ["receipt", "packing", "driver"])
def test_papers_of_a_drop_off(
    name: str, paper: str, is_large: bool, scene: Scene, ask: Callable[..., Printed]
) -> None:
    """Receipt, packing list and driver's sheet with the longest names, forty gowns, a full note, two wards."""
    printed = ask(getattr(scene, name)(), paper=paper, is_large=is_large)
    assert faults(printed, margin_mm=TEXT_MM, least_pt=LARGE_PT if is_large else USUAL_PT) == ""


def test_receipt_on_file(scene: Scene, packer: Person, sign_in: SIGN_IN, printed_here: PrintedHere) -> None:
    """The signed receipt on file is PDF/A-3b, tagged, with differences in both purposes."""
    drop_off = scene.signed_receipt()
    sign_in(packer).post(reverse("printing:receipt_file", args=[drop_off.pk]))
    (printed,) = printed_here.sheets
    assert faults(printed, margin_mm=TEXT_MM, least_pt=USUAL_PT, profile=ARCHIVE) == ""


@pytest.mark.parametrize(
    ("paper", "is_large"), [(A4, True), (LETTER, False)], ids=["A4 large", "Letter usual"]
)
def test_cutting_sheet(paper: Any, is_large: bool, printed_here: PrintedHere) -> None:
    """A lay of two kits of fifteen pieces each, on showy cloth with flaws, with the longest names."""
    lay = lay_of(cut_of(3, SHOWY), design=long_text(80))
    context = context_of(lay, paper=paper, has_large_print=is_large) | {"group": Group(name=long_text(120))}
    pdf_of(html_of("printing/cutting.html", context))
    assert faults(printed_here.sheets[-1], margin_mm=DRAWING_MM, least_pt=IN_PIECES_PT) == ""


@pytest.mark.parametrize(("paper", "is_large"), [("A4", True), ("Letter", False)])
def test_pattern(paper: str, is_large: bool, scene: Scene, ask: Callable[..., Printed]) -> None:
    """Pieces with the longest names over tiles, sixteen of them on Letter."""
    printed = ask(scene.pattern("pattern_pdf", 8 if is_large else 16), paper=paper, is_large=is_large)
    assert faults(printed, margin_mm=TILE_MM, least_pt=LARGE_PT if is_large else USUAL_PT) == ""


def test_pattern_on_one_page(scene: Scene, ask: Callable[..., Printed]) -> None:
    """Eight pieces with the longest names on one large page."""
    printed = ask(scene.pattern("pattern_sheet_pdf", 8), paper="A4", is_large=False)
    assert faults(printed, margin_mm=TILE_MM, least_pt=USUAL_PT) == ""


@pytest.mark.parametrize(
    ("kind", "sheet"),
    [
        ("gown", "a4-3x7"),
        ("gown", "letter-3x10"),
        ("gown", "tape-a4"),
        ("gown", "a4-5x13"),
        ("bag", "a4-2x7"),
        ("bag", "letter-2x5"),
        ("box", "a4-2x7"),
        ("box", "letter-2x5"),
        ("shelf", "a4-3x8"),
        ("shelf", "letter-2x5"),
        ("kit", "a4-2x7"),
    ],
)
def test_labels(kind: str, sheet: str, scene: Scene, ask: Callable[..., Printed]) -> None:
    """Labels of every kind on sheets of both papers; their type may be smaller, for labels are small."""
    printed = ask(scene.label_sheet(kind, sheet), paper="A4", is_large=True)
    assert faults(printed, margin_mm=LABEL_MM, least_pt=LABEL_PT) == ""


def test_label_test_page(scene: Scene, ask: Callable[..., Printed]) -> None:
    """The page that shows how far a printer is out has a heading, too, and words for each frame."""
    printed = ask(f"{reverse('printing:label_test_pdf')}?sheet=a4-5x13", paper="A4", is_large=False)
    assert faults(printed, margin_mm=LABEL_MM, least_pt=LABEL_PT) == ""


@pytest.mark.parametrize(
    ("key", "paper", "is_large"), [("start", "Letter", False), ("trellis-4", "A4", True)]
)
def test_stitch_card(key: str, paper: str, is_large: bool, scene: Scene, ask: Callable[..., Printed]) -> None:
    """The card with the most kinds of pictures, and the one with the most pleats."""
    printed = ask(reverse("printing:stitch_card_pdf", args=[key]), paper=paper, is_large=is_large)
    assert faults(printed, margin_mm=DRAWING_MM, least_pt=LARGE_PT if is_large else USUAL_PT) == ""
