"""Gowns come back, all or some; kits that are lost, found again, or written off."""

from datetime import datetime

import pytest

from gowngroup.batches.actions import (
    HoursImplausible,
    KitMovedOn,
    MoreThanMade,
    ReasonMissing,
    claim_kit,
    give_back,
    lose_kit,
    return_gowns,
    write_off_kit,
)
from gowngroup.batches.models import Claim, Kit, KitReturn, Reservation
from gowngroup.batches.queries import kit_violations
from gowngroup.people.models import Group, Person
from gowngroup.records.models import TrailLine
from gowngroup.stock.actions import receive_lot, reserve_amount
from gowngroup.stock.models import Lot
from tests.factories import KitFactory, KitLineFactory, MaterialFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def kit_of_three(group: Group, volunteer: Person, at: datetime) -> Kit:
    """A kit of three gowns at the volunteer's home."""
    kit = KitFactory(state=Kit.State.WAITING, gown_count=3)
    return claim_kit(kit=kit, by=volunteer, at=at).kit


def kit_in(state: str, holder: Person) -> Kit:
    return KitFactory(state=state, holder=holder if state == "claimed" else None)


def test_all_gowns_back(kit_of_three: Kit, inspector: Person, volunteer: Person, at: datetime) -> None:
    """With its last gown the kit is back, its claim ended, and what she told is kept."""
    row = return_gowns(
        kit=kit_of_three,
        gown_count=3,
        duration_min=400,
        remarks="Lace was short",
        are_needles_counted=True,
        by=inspector,
        at=at,
    )
    assert (row.kit.state, row.kit.holder, row.kit.returned_count) == (Kit.State.RETURNED, None, 3)
    assert (row.person, row.duration_min, row.remarks, row.are_needles_counted) == (
        volunteer,
        400,
        "Lace was short",
        True,
    )
    assert Claim.objects.get().end == Claim.End.RETURNED
    assert kit_violations() == []


def test_some_gowns_back_keep_the_claim(kit_of_three: Kit, inspector: Person, at: datetime) -> None:
    """After a part the rest stays with her, due as before; the rest closes the kit."""
    due_on = kit_of_three.due_on
    kit = return_gowns(kit=kit_of_three, gown_count=1, by=inspector, at=at).kit
    assert (kit.state, kit.open_count, kit.due_on) == (Kit.State.CLAIMED, 2, due_on)
    assert Claim.objects.get().ended_at is None
    kit = return_gowns(kit=kit_of_three, gown_count=2, by=inspector, at=at).kit
    assert kit.state == Kit.State.RETURNED
    assert TrailLine.objects.filter(did="return_gowns").count() == 2


@pytest.mark.parametrize("gown_count", [0, -1, 3, 10**12])
def test_never_more_back_than_out(
    kit_of_three: Kit, inspector: Person, at: datetime, gown_count: int
) -> None:
    """The gowns of all returns never exceed the kit's; nor can none come back."""
    return_gowns(kit=kit_of_three, gown_count=1, by=inspector, at=at)
    with pytest.raises(MoreThanMade, match="at most 2") as refusal:
        return_gowns(kit=kit_of_three, gown_count=gown_count, by=inspector, at=at)
    assert refusal.value.field == "gown_count"
    assert KitReturn.objects.count() == 1


@pytest.mark.parametrize("duration_min", [0, -5, 30_001])
def test_unlikely_hours_are_asked_back(
    kit_of_three: Kit, inspector: Person, at: datetime, duration_min: int
) -> None:
    """Time spent is left empty or lies within what a kit can take."""
    with pytest.raises(HoursImplausible) as refusal:
        return_gowns(kit=kit_of_three, gown_count=1, duration_min=duration_min, by=inspector, at=at)
    assert refusal.value.field == "duration_min"


def test_the_rest_of_a_kit_can_be_given_back(kit_of_three: Kit, volunteer: Person, at: datetime) -> None:
    """Somebody else may sew the rest of a kit: it waits with what is still open."""
    return_gowns(kit=kit_of_three, gown_count=1, by=volunteer, at=at)
    kit = give_back(kit=kit_of_three, by=volunteer, at=at)
    assert (kit.state, kit.open_count) == (Kit.State.WAITING, 2)


@pytest.mark.parametrize("state", ["planned", "cut", "packed", "waiting", "returned", "written off"])
def test_gowns_come_only_from_kits_that_are_out(
    group: Group, inspector: Person, at: datetime, state: str
) -> None:
    """Nothing can come back from a kit that nobody has taken, or that is done with."""
    with pytest.raises(KitMovedOn):
        return_gowns(kit=kit_in(state, inspector), gown_count=1, by=inspector, at=at)


def test_a_lost_kit_may_turn_up(
    kit_of_three: Kit, packer: Person, inspector: Person, volunteer: Person, at: datetime
) -> None:
    """A lost kit is nobody's; when its gowns turn up they count for who had it last."""
    kit = lose_kit(kit=kit_of_three, reason="Left on the bus", by=packer, at=at)
    assert (kit.state, kit.holder, kit.ended_reason) == (Kit.State.LOST, None, "Left on the bus")
    assert Claim.objects.get().end == Claim.End.LOST
    row = return_gowns(kit=kit, gown_count=1, by=inspector, at=at)
    assert (row.person, row.kit.state) == (volunteer, Kit.State.LOST)
    assert return_gowns(kit=kit, gown_count=2, by=inspector, at=at).kit.state == Kit.State.RETURNED
    assert Claim.objects.get().end == Claim.End.LOST
    assert kit_violations() == []


@pytest.mark.parametrize("state", ["planned", "cut", "lost", "returned", "written off"])
def test_what_cannot_be_lost(group: Group, packer: Person, at: datetime, state: str) -> None:
    """Only a kit that is packed or out can be lost."""
    with pytest.raises(KitMovedOn):
        lose_kit(kit=kit_in(state, packer), reason="gone", by=packer, at=at)


@pytest.mark.parametrize("state", ["planned", "cut", "packed", "waiting", "claimed", "lost"])
def test_writing_off(group: Group, packer: Person, at: datetime, state: str) -> None:
    """A kit can be written off at any time before it is back; its reason stays."""
    kit = write_off_kit(kit=kit_in(state, packer), reason=" scorched ", by=packer, at=at)
    assert (kit.state, kit.holder, kit.ended_reason) == (Kit.State.WRITTEN_OFF, None, "scorched")


@pytest.mark.parametrize("state", ["returned", "written off"])
def test_what_cannot_be_written_off(group: Group, packer: Person, at: datetime, state: str) -> None:
    """A kit that is back, or written off, stays so."""
    with pytest.raises(KitMovedOn):
        write_off_kit(kit=kit_in(state, packer), reason="x", by=packer, at=at)


def test_writing_off_ends_the_claim(held_kit: Kit, packer: Person, at: datetime) -> None:
    """The claim of a kit that is written off has ended that way."""
    write_off_kit(kit=held_kit, reason="scorched", by=packer, at=at)
    assert Claim.objects.get().end == Claim.End.WRITTEN_OFF


@pytest.mark.parametrize("act", [lose_kit, write_off_kit])
def test_a_reason_is_needed(waiting_kit: Kit, packer: Person, at: datetime, act: type) -> None:
    """No kit is given up without a word why."""
    with pytest.raises(ReasonMissing) as refusal:
        act(kit=waiting_kit, reason="  ", by=packer, at=at)
    assert refusal.value.field == "reason"


@pytest.mark.parametrize(("state", "freed"), [("cut", 400_000), ("packed", 0)])
def test_what_was_not_packed_is_free_again(packer: Person, at: datetime, state: str, freed: int) -> None:
    """Writing off a kit that was not packed frees the lace the plan held for it, and no more."""
    lot = receive_lot(material=MaterialFactory(kind="lace"), amount=2_000_000, by=packer, at=at)
    reserve_amount(lot=lot, amount=900_000, reference="plan", by=packer, at=at)
    kit = KitFactory(state=state)
    KitLineFactory(kit=kit, kind="lace", lot=lot, amount=400_000)
    Reservation.objects.create(plan=kit.lay.plan, lot=lot, amount=900_000, open_amount=900_000)
    write_off_kit(kit=kit, reason="scorched", by=packer, at=at)
    assert Lot.objects.get(pk=lot.pk).reserved_amount == 900_000 - freed
    assert Reservation.objects.get().open_amount == 900_000 - freed


def test_the_audit_sees_a_hand_made_change(kit_of_three: Kit) -> None:
    """Kits changed past the actions are named: gowns back without a return, a claim left open."""
    Kit.objects.update(returned_count=1)
    assert kit_violations() == [f"kit {kit_of_three.code}: its gowns back differ from its returns"]
    Kit.objects.update(state=Kit.State.RETURNED, holder=None)
    assert len(kit_violations()) == 3
