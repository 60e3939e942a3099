"""Kit sheets with more than usual on them: everything stays on the paper and nothing lies over anything else."""

from collections.abc import Callable

import pytest
from django.urls import reverse

from gowngroup.batches.models import Kit
from gowngroup.catalog.models import ChartRow, DesignRevision, RectanglePiece
from gowngroup.people.models import Group, Person
from tests.factories import ChartRowFactory, WardFactory
from tests.printing.conftest import MAKE_KIT, SIGN_IN
from tests.printing.kit_sheets import overlapping_words, read
from tests.printing.paper.faults import KIT_MM, LARGE_PT, USUAL_PT, faults
from tests.printing.paper.here import PrintedHere
from tests.printing.reading import past_the_edge, written

# WeasyPrint leaves the file of its colour profile to be closed by Python.
pytestmark = pytest.mark.filterwarnings("ignore:unclosed file .*sRGB2014:ResourceWarning")
LONG_NAME = "Donaudampfschifffahrtsgesellschaftskapitänstaufkleid mit Rundpasse, Ärmelspitzenbesatz und Rückenverschlussblende 2026 XL"
WIDEST_CODE = "KWWWNW"  # of all codes in use, by the widths of our faces
MAKE_FULL = Callable[[int, int], Kit]


@pytest.fixture
def full_kit(make_kit: MAKE_KIT, group: Group, revision: DesignRevision) -> MAKE_FULL:
    """A kit with the longest names, so many rows of smocking and pieces, and a ward with much to say."""

    def make(row_count: int, piece_count: int) -> Kit:
        revision.design.name = LONG_NAME[:120]
        revision.design.save()
        group.name = ("Wohltätigkeitsnähkreis " * 6)[:120]
        group.save()
        last = ChartRow.objects.get(chart=revision.chart, position=3)
        for position in range(4, row_count + 1):
            ChartRowFactory(
                chart=revision.chart, position=position, stitch="wave", step_count=1, rise_half_spaces=1,
                top_half_space=last.top_half_space + 2 * (position - 3), floss_role="ABCD"[position % 4],
                is_back_smocking=position == 6, start=("centre", "left", "right")[position % 3],
            )  # fmt: skip
        for number in range(piece_count - 2):
            RectanglePiece.objects.create(
                design_size=revision.sizes.get(), name=f"Belegstreifenverstärkungsstück {number} {'m' * 20}",
                part="other", piece_count=2, width_um=1_200_000, length_um=1_200_000,
            )  # fmt: skip
        kit = make_kit(gown_count=12, code=WIDEST_CODE)
        WardFactory(
            sizes=[kit.size],
            name="Frühgeborenenintensivüberwachungsstation",
            rules=("Bitte keine Säuglingsausstattungsgegenstände mit Duft. " * 40)[:2000],
        )
        return kit

    return make


@pytest.mark.parametrize(
    ("paper", "has_large_print", "rows", "pieces", "most_pages"),
    [
        ("A4", False, 12, 10, 4),
        ("Letter", False, 12, 30, 4),
        ("A4", True, 12, 10, 6),
        ("Letter", True, 5, 30, 6),
    ],
)
def test_the_most_there_can_be_stays_on_the_paper(
    full_kit: MAKE_FULL,
    packer: Person,
    sign_in: SIGN_IN,
    printed_here: PrintedHere,
    paper: str,
    has_large_print: bool,
    rows: int,
    pieces: int,
    most_pages: int,
) -> None:
    """Longest names, twelve rows, thirty pieces, a 2,000-character note: all inside the margins, page one enough."""
    packer.paper_size, packer.has_large_print = paper, has_large_print
    packer.save()
    address = reverse("printing:kit_sheet_pdf", args=[full_kit(rows, pieces).code])
    sheet = printed_here.sheet(sign_in(packer), address)
    least_pt = LARGE_PT if has_large_print else USUAL_PT
    # Twelve rows of smocking over all pleats are darker than any page of words.
    if (paper == "A4") != has_large_print:  # the other two differ in numbers alone
        assert faults(sheet, margin_mm=KIT_MM, least_pt=least_pt, most_ink=0.1) == ""
    pdf = read(sheet.content)
    assert [past_the_edge(page) for page in pdf.pages] == [[]] * len(pdf.pages)
    assert [overlapping_words(page) for page in pdf.pages] == [[]] * len(pdf.pages)
    assert len(pdf.pages) <= most_pages
    if not has_large_print:
        assert "Sewittogether." in written(pdf.pages[0])
