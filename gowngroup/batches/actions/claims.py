"""Who takes a kit home, gives it back, or brings its gowns in."""

from datetime import date, datetime, timedelta

from django.db.models import F
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from gowngroup.batches.actions.moves import KitMovedOn, end_claim, move_kit
from gowngroup.batches.models import Claim, Kit, KitReturn
from gowngroup.batches.queries.claims import day_of, due_if_taken, waiting_kits
from gowngroup.people.models import Person
from gowngroup.people.queries import has_role, the_group
from gowngroup.records.actions import action, record
from gowngroup.records.errors import Refusal, Taken

LONGEST_MIN = 500 * 60
MOST_FLOSS_CUTS = 400
LATEST_DUE = timedelta(days=366)
CAN_COME_BACK = (Kit.State.CLAIMED, Kit.State.LOST)


class AlreadyClaimed(Taken):
    """Somebody else, or she herself, was first."""


class ClaimLimitReached(Taken):
    """The person has as many kits as one person may have at once."""


class NotOffered(Taken):
    """The kit has not been offered to the volunteers yet."""


class NotAgreedToMemorial(Refusal):
    """Gowns for babies who die go only to those who said yes to them."""


class NotWithTheGroup(Refusal):
    """The person has left the group."""


class KitNotHeld(Taken):
    """The kit is no longer with the person it was given back for."""


class MoreThanMade(Refusal):
    """More gowns than the kit still holds, or none at all."""


class HoursImplausible(Refusal):
    """The time spent is not likely."""


class FlossUnclear(Refusal):
    """What was said of the floss does not go together."""


class DueDateImplausible(Refusal):
    """The new date is past or too far away."""


@action
def claim_kit(*, kit: Kit, by: Person, at: datetime, request_key: str = "") -> Claim:
    """Take a waiting kit home, if nobody was first and she has fewer than the group's limit."""
    return _claim(kit, person=by, by=by, at=at)


@action
def claim_for(*, kit: Kit, person: Person, by: Person, at: datetime, request_key: str = "") -> Claim:
    """Hand a waiting kit out to somebody who does not claim on the pages herself."""
    return _claim(kit, person=person, by=by, at=at)


def _claim(kit: Kit, *, person: Person, by: Person, at: datetime) -> Claim:
    _lock(person)
    _check_agreed(kit, person)
    group = the_group()
    due_on = due_if_taken(group, at)
    taken = Kit.objects.filter(pk=kit.pk, state=Kit.State.WAITING).update(
        state=Kit.State.CLAIMED, holder=person, due_on=due_on
    )
    kit.refresh_from_db()
    if not taken:
        raise _too_late(kit, person)
    if Kit.objects.filter(holder=person, state=Kit.State.CLAIMED).count() > group.claim_limit_count:
        raise ClaimLimitReached(_limit_sentence(group.claim_limit_count))
    changes = {"state": [Kit.State.WAITING, Kit.State.CLAIMED], "holder_id": [None, person.pk]}
    record(by=by, at=at, did="claim_kit", subject=kit, changes=changes)
    return Claim.objects.create(kit=kit, person=person, claimed_by=by, claimed_at=at, due_on=due_on)


def _lock(person: Person) -> None:
    """Keep the person's row until the transaction ends, so that two tabs cannot both pass the limit."""
    if not Person.objects.filter(pk=person.pk, is_active=True).update(is_active=F("is_active")):
        raise NotWithTheGroup(_("This person is no longer with the group."), field="person")


def _check_agreed(kit: Kit, person: Person) -> None:
    person.refresh_from_db(fields=["has_agreed_to_memorial"])
    if kit.is_memorial() and not person.has_agreed_to_memorial:
        raise NotAgreedToMemorial(
            _(
                "This kit makes gowns for babies who die, before or soon after birth. "
                "It goes only to people who have said yes to them; please choose another kit."
            ),
            field="person",
        )


def _too_late(kit: Kit, person: Person) -> Taken:
    if kit.offered_at is None:
        return NotOffered(
            _("Kit %(kit)s has not been offered yet. Pack and offer it first.") % {"kit": kit.code},
            field="code",
        )
    waiting_count = waiting_kits(person).count()
    if kit.holder_id == person.pk:
        return AlreadyClaimed(_("This kit has been taken already, by the same person."), field="code")
    return AlreadyClaimed(_taken_sentence(waiting_count), field="code")


def _taken_sentence(waiting_count: int) -> str:
    first = _("Somebody else has just taken this kit.")
    if not waiting_count:
        return first + " " + _("No other kits are waiting just now; more will come.")
    rest = ngettext(
        "There is %(count)d more waiting.", "There are %(count)d more waiting.", waiting_count
    ) % {"count": waiting_count}
    return f"{first} {rest}"


def _limit_sentence(limit_count: int) -> str:
    return ngettext(
        "One person may have %(count)d kit at once. Bring it in or give it back, then take another.",
        "One person may have %(count)d kits at once. Bring one in or give one back, then take another.",
        limit_count,
    ) % {"count": limit_count}


@action
def give_back(*, kit: Kit, by: Person, at: datetime, request_key: str = "") -> Kit:
    """Put a claimed kit back among those waiting; nobody is asked why."""
    holder_id = kit.holder_id
    now = Kit.objects.select_for_update().get(pk=kit.pk)
    is_hers = now.holder_id == by.pk or (now.holder_id == holder_id and has_role(by, "packer"))
    if now.holder_id is None or not is_hers:
        raise KitNotHeld(_("This kit has been given back or brought in already."))
    move_kit(
        kit,
        from_states=(Kit.State.CLAIMED,),
        to=Kit.State.WAITING,
        did="give_back",
        by=by,
        at=at,
        holder=None,
        due_on=None,
    )
    end_claim(kit, end=Claim.End.GIVEN_BACK, at=at)
    return kit


@action
def extend_due(*, kit: Kit, due_on: date, by: Person, at: datetime, request_key: str = "") -> Kit:
    """Give the holder of a kit until another day."""
    today = day_of(at, the_group())
    if not today <= due_on <= today + LATEST_DUE:
        raise DueDateImplausible(_("Please choose a day from today on, within a year."), field="due_on")
    before = Kit.objects.select_for_update().get(pk=kit.pk)
    if before.state != Kit.State.CLAIMED:
        raise KitMovedOn(_("Kit %(kit)s is with nobody just now.") % {"kit": kit.code})
    Kit.objects.filter(pk=kit.pk).update(due_on=due_on)
    kit.refresh_from_db()
    Claim.objects.filter(kit=kit, ended_at__isnull=True).update(due_on=due_on)
    record(by=by, at=at, did="extend_due", subject=kit, changes={"due_on": [str(before.due_on), str(due_on)]})
    return kit


@action
def return_gowns(
    *,
    kit: Kit,
    gown_count: int,
    duration_min: int | None = None,
    remarks: str = "",
    are_needles_counted: bool = False,
    floss_outcome: str = "",
    floss_cut_count: int | None = None,
    by: Person,
    at: datetime,
    request_key: str = "",
) -> KitReturn:
    """Take in gowns of a kit, all or some; a kit that was lost may still come back."""
    _check_duration(duration_min)
    _check_floss(floss_outcome, floss_cut_count)
    before = Kit.objects.select_for_update().get(pk=kit.pk)
    _check_count(before, gown_count)
    back_count = before.returned_count + gown_count
    is_whole = back_count == before.gown_count
    ending = {"state": Kit.State.RETURNED, "holder": None, "due_on": None} if is_whole else {}
    Kit.objects.filter(pk=kit.pk).update(returned_count=back_count, **ending)
    kit.refresh_from_db()
    if is_whole:
        end_claim(kit, end=Claim.End.RETURNED, at=at)
    record(by=by, at=at, did="return_gowns", subject=kit, changes=_return_changes(before, kit))
    return KitReturn.objects.create(
        kit=kit,
        person_id=before.holder_id or _last_holder_id(before),
        gown_count=gown_count,
        duration_min=duration_min,
        remarks=remarks,
        are_needles_counted=are_needles_counted,
        floss_outcome=floss_outcome,
        floss_cut_count=floss_cut_count,
        returned_at=at,
    )


def _check_duration(duration_min: int | None) -> None:
    if duration_min is not None and not 0 < duration_min <= LONGEST_MIN:
        raise HoursImplausible(
            _("Please give the hours spent as more than none and at most %(most)d, or leave them empty.")
            % {"most": LONGEST_MIN // 60},
            field="duration_min",
        )


def _check_floss(outcome: str, cut_count: int | None) -> None:
    can_be_counted = outcome in (KitReturn.FlossOutcome.SHORT, KitReturn.FlossOutcome.LEFT)
    if cut_count is not None and not can_be_counted:
        raise FlossUnclear(
            _(
                "Please say whether these lengths of floss were left or were sent on, or leave the number empty."
            ),
            field="floss_outcome",
        )
    if cut_count is not None and not 0 < cut_count <= MOST_FLOSS_CUTS:
        raise FlossUnclear(
            _("Please count between 1 and %(most)d lengths of floss, or leave the number empty.")
            % {"most": MOST_FLOSS_CUTS},
            field="floss_cut_count",
        )


def _last_holder_id(kit: Kit) -> int | None:
    return kit.claims.values_list("person_id", flat=True).first()


def _check_count(kit: Kit, gown_count: int) -> None:
    if kit.state not in CAN_COME_BACK:
        raise KitMovedOn(
            _("Kit %(kit)s is “%(state)s”, so no gowns can come back from it.")
            % {"kit": kit.code, "state": kit.get_state_display()}
        )
    if not 0 < gown_count <= kit.open_count:
        numbers = {
            "kit": kit.code,
            "made": kit.gown_count,
            "back": kit.returned_count,
            "open": kit.open_count,
        }
        raise MoreThanMade(
            _(
                "Gowns in kit %(kit)s: %(made)d, back before: %(back)d. "
                "So at least 1 and at most %(open)d can come back now."
            )
            % numbers,
            field="gown_count",
        )


def _return_changes(before: Kit, after: Kit) -> dict[str, object]:
    names = ("returned_count", "state", "holder_id")
    pairs = {name: [getattr(before, name), getattr(after, name)] for name in names}
    return {name: pair for name, pair in pairs.items() if pair[0] != pair[1]}
