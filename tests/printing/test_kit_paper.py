"""The kit sheet as paper: codes that a phone reads, a guide at true size, tags, type, and names from everywhere."""

from itertools import pairwise
from statistics import median
from typing import Any

import pytest
from django.conf import settings
from django.urls import reverse

from gowngroup.batches.models import Kit
from gowngroup.catalog.models import DesignRevision, RectanglePiece
from gowngroup.people.models import Group, Person
from gowngroup.printing.planner import kit_sheet
from tests.printing.conftest import MAKE_KIT, SIGN_IN
from tests.printing.kit_sheets import headings, overlapping_words, printed, read
from tests.printing.paper.codes import decoded, photocopied
from tests.printing.paper.faults import KIT_MM, USUAL_PT, faults, picture_of
from tests.printing.paper.here import PrintedHere
from tests.printing.reading import MM, past_the_edge, said, written

# WeasyPrint leaves the file of its colour profile to be closed by Python.
pytestmark = pytest.mark.filterwarnings("ignore:unclosed file .*sRGB2014:ResourceWarning")
NAMES = {
    "Vietnamese": "Áo cho bé Nguyễn Thị Hồng Phượng",
    "Polish": "Koszulka żółwia Źdźbło Łukaszówna",
    "Greek": "Φόρεμα Ευφροσύνη Αγγελοπούλου",
}


@pytest.mark.parametrize("dpi", [150, 300])
def test_both_codes_are_read_from_the_picture_and_from_a_photocopy(
    usual_sheet: tuple[str, bytes], dpi: int
) -> None:
    """An independent decoder (ISO/IEC 18004) reads the sheet's code and the slip's, also grey, blurred and turned."""
    code, content = usual_sheet
    address = f"{settings.SITE_ADDRESS}{reverse('batches:kit_page', args=[code])}"
    first, *_between, last = read(content).pages
    for page in (first, last):
        picture = picture_of(page, dpi)
        assert decoded(picture) == [address]
        assert decoded(photocopied(picture, dpi)) == [address]


def test_pleating_guide_is_at_true_size(usual_sheet: tuple[str, bytes]) -> None:
    """Rows lie 9.525 mm apart (3/8 in, common practice), pleats 6.35 mm, and the bar measures 50.0 mm on paper."""
    page = read(usual_sheet[1]).pages[1]
    lines = [line for line in (*page.lines, *page.curves) if line["x0"] > 105 * MM]
    bar = next(line for line in lines if line["linewidth"] > 1.0 * MM)
    assert bar["width"] / MM == pytest.approx(50.0, abs=0.1)
    rows = sorted({round(line["top"] / MM, 2) for line in lines if line["width"] > 51 * MM})
    assert len(rows) == 6 + 5
    assert [low - high for high, low in pairwise(rows)] == pytest.approx([9.525 / 2] * 10, abs=0.03)
    upright = sorted({round(x / MM, 2) for x in _ticks(page)})
    assert [right - left for left, right in pairwise(upright)] == pytest.approx(
        [6.35] * (len(upright) - 1), abs=0.03
    )


def _ticks(page: Any) -> list[float]:
    """Where the short upright marks of the pleats stand."""
    return [
        line["x0"]
        for line in (*page.lines, *page.curves)
        if line["height"] == pytest.approx(2.4 * MM, abs=0.05) and line["width"] < 0.1
    ]


def test_headings_and_tables_are_tagged_in_order(usual_sheet: tuple[str, bytes]) -> None:
    """One heading of the first level comes first (ISO 14289-1, 7.4), all others are of the second."""
    found = headings(usual_sheet[1])
    assert found[0] == "/H1"
    assert set(found[1:]) == {"/H2"}
    assert len(found) >= 7


def test_slip_to_tear_off(usual_sheet: tuple[str, bytes]) -> None:
    """Below the line to cut: the code, gowns, hours, needles yes or no, floss and what is left over."""
    code, content = usual_sheet
    text = written(read(content).pages[-1])
    slip = text[text.index("Pleasebringthisback") :]
    for words in (
        f"{code[:3]}-{code[3:]}",
        "Gownsinthisbag:of1gown",
        "Hours",
        "needles",
        "yes",
        "no",
        "Leftover",
    ):
        assert words in slip


def test_nothing_lies_over_anything_else(usual_sheet: tuple[str, bytes]) -> None:
    """No word touches another, no line sticks out."""
    for page in read(usual_sheet[1]).pages:
        assert overlapping_words(page) == []
        assert past_the_edge(page) == []


@pytest.mark.parametrize("stage", ["pleat", "smock", "make up"])
def test_stage_sheet_says_what_its_stage_needs(
    make_kit: MAKE_KIT, packer: Person, sign_in: SIGN_IN, group: Group, printed_here: PrintedHere, stage: str
) -> None:
    """Each stage has its own pieces, drawings and steps, what comes in and to whom it goes, and nothing of the others."""
    group.pick_up_place = "Chapel hall"
    group.save()
    address = reverse("printing:kit_sheet_pdf", args=[make_kit(stage=stage).code])
    sheet = printed_here.sheet(sign_in(packer), address)
    assert faults(sheet, margin_mm=KIT_MM, least_pt=USUAL_PT) == ""
    text = said(read(sheet.content))
    parts = {
        "pleat": ("Topleatonly–stage1of3", "smockedfront1", "Rowstothread", "Pleatthepanel.", "towhoeversmocksit"),
        "smock": (
            "Tosmockonly–stage2of3", "pleatedwith74pleatsin6rows", "oldrose", "Thewholesmockingchart",
            "Therowsofstitches", "Smockfromthecentre.", "towhoevermakesthegownup", "Blockthesmockingto15cm",
        ),
        "make up": (
            "Tomakeuponly–stage3of3", "sleeve2", "Finishedmeasures", "Sewittogether.", "Nolaceattheneck",
            "tobechecked,washedandbagged", "Nocords",
        ),
    }  # fmt: skip
    assert [words for words in parts[stage] if words not in text] == []
    own = {
        "pleat": ("Rowstothread", "Pleatthepanel."),
        "smock": ("oldrose", "Smockfromthecentre."),
        "make up": ("Sewittogether.", "Finishedmeasures"),
    }
    others = [words for other, found in own.items() if other != stage for words in found]
    assert [words for words in others if words in text] == []
    assert "Bringitto:Chapelhall." in text


def test_step_that_tells_no_stage_leaves_all_of_them(make_kit: MAKE_KIT, revision: DesignRevision) -> None:
    """Where the design's own words do not say which step is which, a stage sheet keeps them all."""
    revision.order_of_work = ["Eins.", "Zwei."]
    revision.save()
    assert kit_sheet(make_kit(stage="pleat")).steps == ("Eins.", "Zwei.")


def test_pleated_already(make_kit: MAKE_KIT) -> None:
    """A whole kit that comes pleated says so."""
    assert "The pleating is done already." in kit_sheet(make_kit(is_pleated=True)).notes
    assert "The pleating is done already." not in kit_sheet(make_kit()).notes


def test_large_print_is_fourteen_points_throughout(
    make_kit: MAKE_KIT, packer: Person, sign_in: SIGN_IN
) -> None:
    """No letter is smaller than 14 pt, in drawings and at the foot of the page too, on at most four pages."""
    packer.has_large_print = True
    packer.save()
    pdf = read(printed("large", sign_in(packer), make_kit)[1])
    chars = [char for page in pdf.pages for char in page.chars]
    assert min(char["size"] for char in chars) >= 13.99
    assert median(char["size"] for char in pdf.pages[0].chars) == pytest.approx(14, abs=0.1)
    assert [past_the_edge(page) for page in pdf.pages] == [[]] * len(pdf.pages)
    assert [overlapping_words(page) for page in pdf.pages] == [[]] * len(pdf.pages)
    assert len(pdf.pages) <= 4


def test_names_from_everywhere(
    make_kit: MAKE_KIT, packer: Person, sign_in: SIGN_IN, revision: DesignRevision
) -> None:
    """Names in Vietnamese, Polish and Greek are printed letter by letter in a face that has them."""
    revision.design.name = " ".join(NAMES.values())
    revision.design.save()
    for number, name in enumerate(NAMES.values()):
        RectanglePiece.objects.create(
            design_size=revision.sizes.get(), name=f"{number}{name}", part="other", piece_count=1,
            width_um=100_000, length_um=100_000,
        )  # fmt: skip
    page = read(printed("names", sign_in(packer), make_kit)[1]).pages[0]
    text = written(page)
    for number, name in enumerate(NAMES.values()):
        assert f"{number}{name.replace(' ', '')}" in text
    assert all("Source" in char["fontname"] for char in page.chars)


def test_sheet_of_a_kit_without_trims(make_kit: MAKE_KIT) -> None:
    """A gown without lace or fastening lists its pieces alone."""
    sheet = kit_sheet(make_kit())
    assert (sheet.trims, len(sheet.rows), sheet.first.forms.list) == ((), 2, "table")


@pytest.fixture
def many(make_kit: MAKE_KIT, revision: DesignRevision) -> Kit:
    """A kit of thirty pieces."""
    for number in range(28):
        RectanglePiece.objects.create(
            design_size=revision.sizes.get(), name=f"Belegstreifen {number} {'m' * 30}", part="other",
            piece_count=2, width_um=100_000, length_um=100_000,
        )  # fmt: skip
    return make_kit(gown_count=2)


def test_thirty_pieces_have_their_list_overleaf(many: Kit) -> None:
    """The first page counts them, the next one lists them; it stays one page to sew from."""
    sheet = kit_sheet(many)
    assert sheet.has_list_overleaf
    assert sheet.list_in_short == "118 pieces cut out for 2 gowns: their list is on the next page."
