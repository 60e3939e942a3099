"""Who gets a lay's cutting sheet, what it warns of, and that hostile names stay words."""

from dataclasses import replace
from datetime import UTC, datetime

import pytest
from django.template.loader import render_to_string
from django.urls import reverse

from gowngroup.batches.models import Kit, Lay, Plan
from gowngroup.people.models import Person
from gowngroup.planning.lay import lay_rows
from gowngroup.planning.lay.folded import folded
from gowngroup.printing.planner.cutting import NoCuttingSheet
from gowngroup.stock.models import Lot
from tests.factories import KitFactory, LayFactory, LotFactory
from tests.printing.conftest import SIGN_IN
from tests.printing.cutting_lays import context_of, cut_of, lay_of, sheet_of

HOSTILE = "</title></svg><script>alert(1)</script><img src=file:///etc/passwd>{{ 7 }}\"' onload=x"
AT = datetime(2026, 3, 12, tzinfo=UTC)


@pytest.fixture
def lay(db: None) -> Lay:
    """A committed lay of two kits, measured and ready to be cut."""
    lot = LotFactory(state=Lot.State.MEASURED)
    made: Lay = LayFactory(lot=lot, number=3)
    document = lay_of(cut_of(2)).plan.document
    document["plan"]["cuts"][0]["lot_key"] = str(lot.pk)
    document["lots"] = {str(lot.pk): {**document["lots"]["1"], "code": lot.code}}
    Plan.objects.filter(pk=made.plan_id).update(document=document)
    KitFactory(lay=made, number=1)
    KitFactory(lay=made, number=2, state=Kit.State.WRITTEN_OFF)
    return Lay.objects.get(pk=made.pk)


def sheet_html(made: Lay) -> str:
    """The sheet as it is printed."""
    return render_to_string("printing/cutting.html", {**context_of(made), "is_pdf": True})


def test_packer_comes_to_it_from_the_lay(lay: Lay, packer: Person, sign_in: SIGN_IN) -> None:
    """The page of the lay leads to its cutting sheet, which names both kits by their codes and says which is off."""
    client, address = sign_in(packer), reverse("printing:cutting", args=[lay.pk])
    assert address in client.get(reverse("batches:lay_page", args=[lay.pk])).content.decode()
    text = client.get(address).content.decode()
    assert reverse("printing:cutting_pdf", args=[lay.pk]) in text
    assert text.count("This kit was written off") == 1
    assert text.count(f"lay {lay.number}, ") == 1 + text.count('class="drawing')
    assert text.count(f", batch {lay.plan.batch.number}") == 2 + text.count('class="drawing')
    for forbidden in (" style=", "<script", "<style"):
        assert forbidden not in text


def test_volunteers_do_not_cut(lay: Lay, volunteer: Person, coordinator: Person, sign_in: SIGN_IN) -> None:
    """The sheet is for who cuts: the coordinator may have it, a volunteer not."""
    address = reverse("printing:cutting", args=[lay.pk])
    assert sign_in(coordinator).get(address).status_code == 200
    assert sign_in(volunteer).get(address).status_code == 403


@pytest.mark.parametrize("name", ["cutting", "cutting_pdf"])
def test_no_sheet_without_a_committed_plan(lay: Lay, packer: Person, sign_in: SIGN_IN, name: str) -> None:
    """A lay that is not there, or whose plan is not committed, answers 404."""
    client = sign_in(packer)
    assert client.get(reverse(f"printing:{name}", args=[lay.pk + 1000])).status_code == 404
    Plan.objects.filter(pk=lay.plan_id).update(committed_at=None)
    assert client.get(reverse(f"printing:{name}", args=[lay.pk])).status_code == 404


@pytest.mark.parametrize("name", ["cutting", "cutting_pdf"])
@pytest.mark.parametrize("document", [{}, {"format_version": 99}])
def test_plan_that_cannot_be_read(
    lay: Lay, packer: Person, sign_in: SIGN_IN, name: str, document: dict[str, int]
) -> None:
    """Where the stored plan is damaged the page says so, and leads back to the lay."""
    Plan.objects.filter(pk=lay.plan_id).update(document=document)
    response = sign_in(packer).get(reverse(f"printing:{name}", args=[lay.pk]))
    assert response.status_code == 422
    text = response.content.decode()
    assert "Please ask the coordinator" in text
    assert reverse("batches:lay_page", args=[lay.pk]) in text


def test_lay_the_plan_knows_nothing_of() -> None:
    """A lay of a lot that stands nowhere in its plan has no sheet."""
    lay = lay_of(cut_of(1))
    lay.lot_id = 99
    with pytest.raises(NoCuttingSheet):
        sheet_of(lay)


@pytest.mark.parametrize(
    ("before", "state", "words"),
    [
        ("nothing", Lot.State.MEASURED, ""),
        ("wash and measure", Lot.State.MEASURED, "Wash, dry and measure it first."),
        ("measure", Lot.State.WASHED, "Measure it first."),
        ("nothing", Lot.State.AS_GIVEN, "Wash, dry and measure it first."),
    ],
)
def test_wash_and_measure_first(before: str, state: str, words: str) -> None:
    """Cloth planned or lying there unmeasured is washed and measured first; the sheet tells what the lay needs."""
    sheet = sheet_of(lay_of(cut_of(1, before_cutting=before), lot_state=state))
    assert sheet.wash_first.startswith(words)
    assert bool(sheet.wash_first) == bool(words)
    assert not words or "110 cm between the selvedges" in sheet.wash_first


def test_folded_cloth_is_folded_as_far_as_it_is_cut_double() -> None:
    """The sheet says up to where two layers are cut, and draws the fold that far and no further."""
    cut = cut_of(2)
    lay = lay_of(replace(cut, lay=folded(lay_rows)(cut.pieces, cut.strip)))
    sheet, text = sheet_of(lay), sheet_html(lay)
    assert sheet.folded
    assert f"cut both layers at once up to {sheet.folded}" in text
    assert "flat in one layer" not in text
    assert 'class="fold" d="M' in text
    assert 'class="fold" d=""' in sheet_html(lay_of(cut))


def test_freed_and_cut_lays_say_so() -> None:
    """A lay that was planned anew must not be cut; one that is cut says when and how much."""
    lay = lay_of(cut_of(1))
    lay.cut_at, lay.cut_length_um = AT, 1_250_000
    assert "125\u00a0cm were measured off" in sheet_html(lay)
    lay.freed_at = AT
    assert "Do not cut it." in sheet_html(lay)


@pytest.fixture
def hostile() -> str:
    """A sheet with hostile words as the name of piece, design, cloth, place and kit."""
    lay = lay_of(cut_of(1, gown=((HOSTILE, ((0, 0), (900, 0), (900, 300), (0, 300)), 2),)), design=HOSTILE)
    lay.plan.document["lots"]["1"] |= {"material": HOSTILE, "place": HOSTILE}
    return sheet_html(lay)


def test_hostile_names_stay_words(hostile: str) -> None:
    """Nothing typed as a name opens a tag, an attribute or a template: it is printed as it was typed."""
    assert "<script" not in hostile
    assert "<img" not in hostile
    assert hostile.count("&lt;script&gt;alert(1)&lt;/script&gt;") >= 6
    assert hostile.count("{{ 7 }}") >= 6
    assert "\"' onload" not in hostile
