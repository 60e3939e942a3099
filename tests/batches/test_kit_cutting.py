"""Marking a lay as cut: the real length comes off the lot, the rest is free, the kits move on."""

from collections.abc import Callable
from datetime import datetime

import pytest
from django.test import Client
from django.urls import reverse

from gowngroup.batches.actions import ClothNotMeasured, CutTooShort, LayAlreadyCut, cut_lay
from gowngroup.batches.models import Kit, Lay, Reservation
from gowngroup.people.models import Person
from gowngroup.records.errors import Short
from gowngroup.records.models import TrailLine
from gowngroup.stock.actions import receive_lot, reserve_amount
from gowngroup.stock.models import Lot
from gowngroup.stock.queries import violations
from tests.factories import KitFactory, LayFactory, MaterialFactory

pytestmark = pytest.mark.django_db

ON_HAND_UM, PLANNED_UM = 3_000_000, 1_800_000


@pytest.fixture
def lay(packer: Person, at: datetime) -> Lay:
    """A lay of 1.8 m reserved on a lot of 3 m, with two kits."""
    lot = receive_lot(
        material=MaterialFactory(),
        amount=ON_HAND_UM,
        width_um=1_120_000,
        state=Lot.State.MEASURED,
        by=packer,
        at=at,
    )
    lay = LayFactory(lot=lot, length_um=PLANNED_UM)
    reserve_amount(lot=lot, amount=PLANNED_UM, reference="plan", by=packer, at=at)
    Reservation.objects.create(plan=lay.plan, lot=lot, lay=lay, amount=PLANNED_UM, open_amount=PLANNED_UM)
    KitFactory.create_batch(2, lay=lay)
    return lay


def amounts(lay: Lay) -> tuple[int, int]:
    lot = Lot.objects.get(pk=lay.lot_id)
    return lot.on_hand_amount, lot.reserved_amount


@pytest.mark.parametrize("cut_um", [PLANNED_UM, PLANNED_UM - 4_000, PLANNED_UM + 70_000, ON_HAND_UM])
def test_the_real_length_is_booked_off(lay: Lay, packer: Person, at: datetime, cut_um: int) -> None:
    """What was really cut leaves the lot, more or less than planned, and nothing stays reserved."""
    cut_lay(lay=lay, cut_length_um=cut_um, by=packer, at=at)
    assert amounts(lay) == (ON_HAND_UM - cut_um, 0)
    assert lay.reservation.open_amount == 0
    assert (lay.cut_length_um, lay.cut_at) == (cut_um, at)
    assert violations() == []


def test_kits_are_cut_with_their_lay(lay: Lay, packer: Person, at: datetime) -> None:
    """Every planned kit of the lay is cut; one that was written off before stays so."""
    gone = KitFactory(lay=lay, state=Kit.State.WRITTEN_OFF)
    cut_lay(lay=lay, cut_length_um=PLANNED_UM, by=packer, at=at)
    states = list(lay.kits.exclude(pk=gone.pk).values_list("state", flat=True))
    assert states == ["cut", "cut"]
    gone.refresh_from_db()
    assert gone.state == "written off"


def test_a_lay_is_cut_once(lay: Lay, packer: Person, at: datetime) -> None:
    """A lay that is cut cannot be cut again, and the cloth is booked once."""
    cut_lay(lay=lay, cut_length_um=PLANNED_UM, by=packer, at=at)
    with pytest.raises(LayAlreadyCut):
        cut_lay(lay=lay, cut_length_um=PLANNED_UM, by=packer, at=at)
    assert amounts(lay) == (ON_HAND_UM - PLANNED_UM, 0)


def test_unmeasured_cloth_is_not_cut(lay: Lay, packer: Person, at: datetime) -> None:
    """Cloth that was not washed and measured stays whole, and nothing changes."""
    Lot.objects.filter(pk=lay.lot_id).update(state=Lot.State.WASHED)
    with pytest.raises(ClothNotMeasured, match="washed and measured"):
        cut_lay(lay=lay, cut_length_um=PLANNED_UM, by=packer, at=at)
    assert amounts(lay) == (ON_HAND_UM, PLANNED_UM)
    assert Lay.objects.get(pk=lay.pk).cut_at is None


def test_less_than_the_pieces_take_up_is_asked_back(lay: Lay, packer: Person, at: datetime) -> None:
    """A cut shorter than the lay by more than rounding cannot hold its pieces."""
    with pytest.raises(CutTooShort) as refusal:
        cut_lay(lay=lay, cut_length_um=PLANNED_UM - 6_000, by=packer, at=at)
    assert refusal.value.field == "cut_length"
    assert "180 cm" in refusal.value.message
    assert amounts(lay) == (ON_HAND_UM, PLANNED_UM)


def test_more_than_is_free_is_short(lay: Lay, packer: Person, at: datetime) -> None:
    """Cutting more than the lot holds free is refused whole: lay, kits and lot stay as they were."""
    reserve_amount(lot=lay.lot, amount=1_000_000, reference="another plan", by=packer, at=at)
    with pytest.raises(Short):
        cut_lay(lay=lay, cut_length_um=PLANNED_UM + 300_000, by=packer, at=at)
    assert amounts(lay) == (ON_HAND_UM, PLANNED_UM + 1_000_000)
    assert Reservation.objects.get().open_amount == PLANNED_UM
    assert set(Kit.objects.values_list("state", flat=True)) == {"planned"}


def test_each_changed_row_leaves_one_line(lay: Lay, packer: Person, at: datetime) -> None:
    """Cutting writes one line for the lay and one for each kit."""
    cut_lay(lay=lay, cut_length_um=PLANNED_UM, by=packer, at=at)
    subjects = list(TrailLine.objects.filter(did="cut_lay").values_list("subject_type", flat=True))
    assert sorted(subjects) == ["batches.kit", "batches.kit", "batches.lay"]


def test_cutting_through_the_page(lay: Lay, packer: Person, sign_in: Callable[[Person], Client]) -> None:
    """A packer types the measured length and goes on to the kits to pack."""
    client = sign_in(packer)
    assert (
        reverse("batches:lay_page", args=[lay.pk]) in client.get(reverse("batches:lay_list")).content.decode()
    )
    response = client.post(reverse("batches:lay_page", args=[lay.pk]), {"cut_length": "184,5"}, follow=True)
    assert response.redirect_chain == [(reverse("batches:kits_to_pack"), 302)]
    assert amounts(lay) == (ON_HAND_UM - 1_845_000, 0)
    assert (
        "Everything that is planned has been cut." in client.get(reverse("batches:lay_list")).content.decode()
    )


@pytest.mark.parametrize(
    ("typed", "sentence", "status"),
    [
        ("", "Please fill this in", 422),
        ("-5", "Please type a number", 422),
        ("0", "not likely here", 422),
        ("72", "typed in another unit", 422),
        ("a lot", "Please type a number", 422),
        ("175", "take up 180 cm", 422),
        ("310", "is not on the shelf any more", 409),
    ],
)
def test_bad_lengths_come_back(
    *, lay: Lay, packer: Person, sign_in: Callable[[Person], Client], typed: str, sentence: str, status: int
) -> None:
    """A length that cannot be is asked back with what was typed; nothing is booked."""
    response = sign_in(packer).post(reverse("batches:lay_page", args=[lay.pk]), {"cut_length": typed})
    assert response.status_code == status
    assert sentence in response.content.decode()
    assert f'value="{typed}"' in response.content.decode() or not typed
    assert amounts(lay) == (ON_HAND_UM, PLANNED_UM)


def test_a_cut_lay_tells_a_late_form(
    lay: Lay, packer: Person, at: datetime, sign_in: Callable[[Person], Client]
) -> None:
    """Who sends the form of a lay that somebody else has cut reads so, with 409."""
    cut_lay(lay=lay, cut_length_um=PLANNED_UM, by=packer, at=at)
    response = sign_in(packer).post(reverse("batches:lay_page", args=[lay.pk]), {"cut_length": "180"})
    assert response.status_code == 409
    assert "already been marked as cut" in response.content.decode()


def test_unwashed_cloth_has_no_form(lay: Lay, packer: Person, sign_in: Callable[[Person], Client]) -> None:
    """The page of a lay on cloth that cannot be cut yet says what to do first."""
    Lot.objects.filter(pk=lay.lot_id).update(state=Lot.State.AS_GIVEN)
    text = sign_in(packer).get(reverse("batches:lay_page", args=[lay.pk])).content.decode()
    assert "must be washed and measured" in text
    assert "cut_length" not in text


def test_a_lay_of_a_plan_not_settled_does_not_exist(
    lay: Lay, packer: Person, sign_in: Callable[[Person], Client]
) -> None:
    """Only lays of a committed plan can be cut."""
    type(lay.plan).objects.update(committed_at=None)
    client = sign_in(packer)
    assert client.get(reverse("batches:lay_page", args=[lay.pk])).status_code == 404
    assert client.get(reverse("batches:lay_page", args=[10**30])).status_code == 404
