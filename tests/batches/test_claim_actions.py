"""Taking a kit home, for oneself or for somebody else, giving it back, and having longer."""

from datetime import UTC, date, datetime, timedelta

import pytest

from gowngroup.batches.actions import (
    AlreadyClaimed,
    ClaimLimitReached,
    DueDateImplausible,
    KitMovedOn,
    KitNotHeld,
    NotAgreedToMemorial,
    NotOffered,
    NotWithTheGroup,
    claim_for,
    claim_kit,
    extend_due,
    give_back,
)
from gowngroup.batches.models import Claim, Kit
from gowngroup.batches.queries import kit_violations
from gowngroup.people.models import Group, Person
from gowngroup.records.models import TrailLine
from tests.factories import KitFactory, PersonFactory

pytestmark = pytest.mark.django_db


def test_a_claim_says_who_and_until_when(waiting_kit: Kit, volunteer: Person, at: datetime) -> None:
    """A claimed kit has a holder, a due day four weeks on, one open claim and one line in the trail."""
    claim = claim_kit(kit=waiting_kit, by=volunteer, at=at)
    assert (claim.kit.state, claim.kit.holder) == (Kit.State.CLAIMED, volunteer)
    assert claim.due_on == claim.kit.due_on == date(2026, 4, 7)
    line = TrailLine.objects.get()
    assert line.changes == {"state": ["waiting", "claimed"], "holder_id": [None, volunteer.pk]}
    assert kit_violations() == []


@pytest.mark.parametrize(
    ("zone", "due_on"), [("Pacific/Auckland", date(2026, 4, 8)), ("America/Los_Angeles", date(2026, 4, 7))]
)
def test_due_counts_from_the_groups_own_day(
    waiting_kit: Kit, volunteer: Person, zone: str, due_on: date
) -> None:
    """The day a kit is taken is the day it is where the group lives."""
    Group.objects.update(time_zone=zone)
    late_evening_utc = datetime(2026, 3, 10, 23, 30, tzinfo=UTC)
    assert claim_kit(kit=waiting_kit, by=volunteer, at=late_evening_utc).due_on == due_on


def test_the_second_is_told(held_kit: Kit, colleague: Person, volunteer: Person, at: datetime) -> None:
    """A kit that is taken stays with whoever was first; so does one she has herself."""
    with pytest.raises(AlreadyClaimed, match="No other kits are waiting"):
        claim_kit(kit=held_kit, by=colleague, at=at)
    with pytest.raises(AlreadyClaimed, match="by the same person"):
        claim_kit(kit=held_kit, by=volunteer, at=at)
    assert Claim.objects.get().person == volunteer


def test_one_more_waiting_is_singular(held_kit: Kit, colleague: Person, at: datetime) -> None:
    """The count of kits still waiting is worded for one, and leaves out what she is not shown."""
    KitFactory(state=Kit.State.WAITING)
    KitFactory(state=Kit.State.WAITING, purpose="memorial")
    with pytest.raises(AlreadyClaimed, match=r"There is 1 more waiting\."):
        claim_kit(kit=held_kit, by=colleague, at=at)


@pytest.mark.parametrize("state", ["planned", "cut", "packed"])
def test_a_kit_not_offered_cannot_be_taken(
    group: Group, colleague: Person, packer: Person, at: datetime, state: str
) -> None:
    """Only offered kits can be handed out; the refusal says what to do first."""
    with pytest.raises(NotOffered, match="Pack and offer it first"):
        claim_for(kit=KitFactory(state=state), person=colleague, by=packer, at=at)


def test_the_limit_holds_for_oneself_and_on_behalf(
    group: Group, volunteer: Person, packer: Person, at: datetime
) -> None:
    """Nobody has more kits at once than the group allows, whoever claims; a kit given back makes room."""
    first, second, third = KitFactory.create_batch(3, state=Kit.State.WAITING)
    claim_kit(kit=first, by=volunteer, at=at)
    claim_for(kit=second, person=volunteer, by=packer, at=at)
    with pytest.raises(ClaimLimitReached, match=f"{volunteer.name} has 2 kits at home"):
        claim_for(kit=third, person=volunteer, by=packer, at=at)
    third.refresh_from_db()
    assert third.state == Kit.State.WAITING
    give_back(kit=first, by=volunteer, at=at)
    assert claim_kit(kit=third, by=volunteer, at=at).person == volunteer


def test_memorial_kits_need_agreement(group: Group, volunteer: Person, packer: Person, at: datetime) -> None:
    """A memorial kit goes only to somebody who said yes, asked afresh at the moment of the claim."""
    kit = KitFactory(state=Kit.State.WAITING, purpose="memorial")
    with pytest.raises(NotAgreedToMemorial, match="for babies who die, before or soon after birth"):
        claim_for(kit=kit, person=volunteer, by=packer, at=at)
    Person.objects.filter(pk=volunteer.pk).update(has_agreed_to_memorial=True)
    assert claim_kit(kit=kit, by=volunteer, at=at).kit == kit


def test_claiming_for_somebody_without_email(waiting_kit: Kit, packer: Person, at: datetime) -> None:
    """The claim is hers and says who wrote it down."""
    neighbour = PersonFactory(email="", roles=["volunteer"])
    claim = claim_for(kit=waiting_kit, person=neighbour, by=packer, at=at)
    assert (claim.person, claim.claimed_by, claim.kit.holder) == (neighbour, packer, neighbour)


def test_who_has_left_gets_no_kit(waiting_kit: Kit, packer: Person, at: datetime) -> None:
    """A kit is not handed to somebody who is no longer with the group."""
    gone = PersonFactory(is_active=False, roles=["volunteer"])
    with pytest.raises(NotWithTheGroup):
        claim_for(kit=waiting_kit, person=gone, by=packer, at=at)


def test_giving_back_puts_the_kit_among_those_waiting(held_kit: Kit, volunteer: Person, at: datetime) -> None:
    """A kit given back waits again, in its old place, and the claim has ended."""
    offered_at = held_kit.offered_at
    kit = give_back(kit=held_kit, by=volunteer, at=at)
    assert (kit.state, kit.holder, kit.due_on, kit.offered_at) == ("waiting", None, None, offered_at)
    assert Claim.objects.get().end == Claim.End.GIVEN_BACK
    assert kit_violations() == []


def test_a_packer_gives_back_on_behalf(held_kit: Kit, packer: Person, at: datetime) -> None:
    """Those who run the cupboard may put a kit back for its holder."""
    assert give_back(kit=held_kit, by=packer, at=at).state == Kit.State.WAITING


def test_nobody_gives_back_another_ones_kit(held_kit: Kit, colleague: Person, at: datetime) -> None:
    """A volunteer cannot end another one's claim."""
    with pytest.raises(KitNotHeld):
        give_back(kit=held_kit, by=colleague, at=at)
    assert Claim.objects.get().ended_at is None


def test_a_late_give_back_leaves_the_new_holder_alone(
    held_kit: Kit, volunteer: Person, colleague: Person, packer: Person, at: datetime
) -> None:
    """A form about an earlier holder does not take the kit from the present one, not even a packer's."""
    stale = Kit.objects.get(pk=held_kit.pk)
    give_back(kit=held_kit, by=volunteer, at=at)
    with pytest.raises(KitNotHeld):
        give_back(kit=Kit.objects.get(pk=held_kit.pk), by=volunteer, at=at)
    claim_kit(kit=held_kit, by=colleague, at=at)
    for by in (volunteer, packer):
        with pytest.raises(KitNotHeld):
            give_back(kit=stale, by=by, at=at)
    assert Kit.objects.get(pk=held_kit.pk).holder == colleague


def test_more_time_moves_kit_and_claim(held_kit: Kit, packer: Person, at: datetime) -> None:
    """A new due day stands on the kit and its claim."""
    kit = extend_due(kit=held_kit, due_on=date(2026, 5, 20), by=packer, at=at)
    assert kit.due_on == Claim.objects.get().due_on == date(2026, 5, 20)


@pytest.mark.parametrize("days", [-1, 367])
def test_an_unlikely_day_is_asked_back(held_kit: Kit, packer: Person, at: datetime, days: int) -> None:
    """A due day that is past, or more than a year away, is a slip of the pen."""
    with pytest.raises(DueDateImplausible) as refusal:
        extend_due(kit=held_kit, due_on=at.date() + timedelta(days=days), by=packer, at=at)
    assert refusal.value.field == "due_on"


def test_no_time_for_a_kit_nobody_has(waiting_kit: Kit, packer: Person, at: datetime) -> None:
    """Only a kit that is being sewn has a due day."""
    with pytest.raises(KitMovedOn):
        extend_due(kit=waiting_kit, due_on=at.date(), by=packer, at=at)


def test_a_replayed_form_gets_the_first_answer(waiting_kit: Kit, volunteer: Person, at: datetime) -> None:
    """The same request key answers with the same claim, even after the kit was given back."""
    first = claim_kit(kit=waiting_kit, by=volunteer, at=at, request_key="k")
    give_back(kit=first.kit, by=volunteer, at=at)
    assert claim_kit(kit=waiting_kit, by=volunteer, at=at, request_key="k") == first
    assert Kit.objects.get().state == Kit.State.WAITING
