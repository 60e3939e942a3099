"""Who takes a kit home, gives it back, and has longer for it."""

from datetime import date, datetime, timedelta
from typing import cast

from django.db.models import F, Q
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from gowngroup.batches.actions.calls import ask_to_post
from gowngroup.batches.actions.moves import KitMovedOn, close_calls, end_claim, move_kit
from gowngroup.batches.models import Claim, HandOver, Kit, KitWish
from gowngroup.batches.planner.waiting_words import others_waiting, why_not_waiting
from gowngroup.batches.queries.claims import bundle_count, day_of, due_if_taken, waiting_kits
from gowngroup.batches.queries.kits import NOT_READY
from gowngroup.people.models import Person
from gowngroup.people.queries import has_role, the_group
from gowngroup.records.actions import action, record
from gowngroup.records.errors import Refusal, Taken

LATEST_DUE = timedelta(days=366)


class AlreadyClaimed(Taken):
    """Somebody else, or she herself, was first."""


class ClaimLimitReached(Taken):
    """The person has as many kits as one person may have at once."""


class NotOffered(Taken):
    """The kit has not been offered to the volunteers yet."""


class NotWaiting(Taken):
    """The kit is back, lost or written off, so that nobody can take it any more."""


class KeptForSomebody(Taken):
    """The kit is kept for somebody else."""


class NotAgreedToMemorial(Refusal):
    """Gowns for babies who die go only to those who said yes to them."""


class NotWithTheGroup(Refusal):
    """The person has left the group."""


class KitNotHeld(Taken):
    """The kit is no longer with the person it was given back for."""


class KeptNoMore(Taken):
    """The kit is not kept for this person, or has been taken."""


class DueDateImplausible(Refusal):
    """The new date is past or too far away."""


@action
def claim_kit(
    *, kit: Kit, is_to_be_posted: bool = False, by: Person, at: datetime, request_key: str = ""
) -> Claim:
    """Take a waiting kit home with its matched set, if nobody was first and she has fewer than the group's limit."""
    claim = _claim(kit, person=by, by=by, at=at)
    if is_to_be_posted and claim.kit.can_be_posted:
        ask_to_post(kit=claim.kit, by=by, at=at)
    return claim


@action
def claim_for(*, kit: Kit, person: Person, by: Person, at: datetime, request_key: str = "") -> Claim:
    """Hand a waiting kit out to somebody who does not claim on the pages herself."""
    return _claim(kit, person=person, by=by, at=at)


def _claim(kit: Kit, *, person: Person, by: Person, at: datetime) -> Claim:
    _lock(person)
    _check_agreed(kit, person)
    group = the_group()
    together = _together(kit)
    kept_ids = set(Kit.objects.filter(kept_for=person).values_list("pk", flat=True))
    _take(kit, together, person, due_on=due_if_taken(group, at))
    if bundle_count(person) > group.claim_limit_count:
        raise ClaimLimitReached(
            _limit_sentence(group.claim_limit_count, of="" if by == person else person.name)
        )
    KitWish.objects.filter(person=person).update(waits_since=at)
    HandOver.objects.filter(kit=kit, to_person__isnull=True).update(to_person=person, taken_at=at)
    claims = [_note_claim(each, person, was_kept=each.pk in kept_ids, by=by, at=at) for each in together]
    return next(claim for claim in claims if claim.kit_id == kit.pk)


def _together(kit: Kit) -> list[Kit]:
    """The kit with the fellows of its matched set that wait, their rows kept until the transaction ends."""
    if kit.matched_set_id is None:
        return [kit]
    rows = Kit.objects.select_for_update().filter(matched_set_id=kit.matched_set_id).order_by("pk")
    kits = list(rows)
    if any(each.state in NOT_READY for each in kits):
        raise NotOffered(
            _("Kit %(kit)s belongs to a matched set. Offer the other kits of the set first.")
            % {"kit": kit.code},
            field="code",
        )
    waiting = [each for each in kits if each.state == Kit.State.WAITING and each.pk != kit.pk]
    return [kit, *waiting]


def _take(kit: Kit, together: list[Kit], person: Person, *, due_on: date) -> None:
    """Take all of these kits, if every one still waits and none is kept for somebody else."""
    free = Kit.objects.filter(Q(kept_for__isnull=True) | Q(kept_for=person), state=Kit.State.WAITING)
    mine = free.filter(pk__in=[each.pk for each in together])
    taken = mine.update(state=Kit.State.CLAIMED, holder=person, due_on=due_on, kept_for=None)
    for each in together:
        each.refresh_from_db()
    if taken < len(together):
        raise _too_late(kit, person)


def _note_claim(kit: Kit, person: Person, *, was_kept: bool, by: Person, at: datetime) -> Claim:
    changes = {"state": [Kit.State.WAITING, Kit.State.CLAIMED], "holder_id": [None, person.pk]}
    record(by=by, at=at, did="claim_kit", subject=kit, changes=changes)
    due_on = cast("date", kit.due_on)
    return Claim.objects.create(
        kit=kit, person=person, claimed_by=by, claimed_at=at, due_on=due_on, was_kept=was_kept
    )


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
    if kit.holder_id == person.pk:
        return AlreadyClaimed(_("This kit has been taken already, by the same person."), field="code")
    if kit.kept_for_id not in (None, person.pk):
        return KeptForSomebody(_("This kit is being kept for somebody; please choose another."), field="code")
    is_out = kit.state in (Kit.State.CLAIMED, Kit.State.WAITING)
    first = _("Somebody else has just taken this kit.") if is_out else why_not_waiting(kit)
    others = others_waiting(waiting_kits(person).count())
    return (AlreadyClaimed if is_out else NotWaiting)(f"{first} {others}", field="code")


def _limit_sentence(limit_count: int, *, of: str) -> str:
    """Why there is no further kit: for herself, or for who speaks for somebody else."""
    if of:
        return ngettext(
            "%(name)s has %(count)d kit at home, as many as one person may have at once. Take it back first.",
            "%(name)s has %(count)d kits at home, as many as one person may have at once. Take one back first.",
            limit_count,
        ) % {"name": of, "count": limit_count}
    return ngettext(
        "One person may have %(count)d kit at once. Bring it in or give it back, then take another.",
        "One person may have %(count)d kits at once. Bring one in or give one back, then take another.",
        limit_count,
    ) % {"count": limit_count}


@action
def give_back(*, kit: Kit, by: Person, at: datetime, request_key: str = "") -> Kit:
    """Put a claimed kit, with its matched set, back among those waiting; nobody is asked why."""
    holder_id = kit.holder_id
    held = _held_together(kit)
    now = next(each for each in held if each.pk == kit.pk)
    is_hers = now.holder_id == by.pk or (now.holder_id == holder_id and has_role(by, "packer"))
    if now.holder_id is None or not is_hers:
        raise KitNotHeld(_("This kit has been given back or brought in already."))
    for each in [each for each in held if each.holder_id == now.holder_id]:
        _put_back(each, by=by, at=at)
    kit.refresh_from_db()
    return kit


def _held_together(kit: Kit) -> list[Kit]:
    """The kit and its matched set, their rows kept until the transaction ends."""
    fellows = Q(pk=kit.pk)
    if kit.matched_set_id is not None:
        fellows |= Q(matched_set_id=kit.matched_set_id)
    return list(Kit.objects.select_for_update().filter(fellows).order_by("pk"))


def _put_back(kit: Kit, *, by: Person, at: datetime) -> None:
    claimed, waiting = Kit.State.CLAIMED, Kit.State.WAITING
    claims = Claim.objects.filter(kit=kit, ended_at__isnull=True)
    handed = HandOver.objects.filter(kit=kit, to_person=kit.holder, taken_at__in=claims.values("claimed_at"))
    handed.update(to_person=None, taken_at=None)
    move_kit(kit, from_states=(claimed,), to=waiting, did="give_back", by=by, at=at, holder=None, due_on=None)
    end_claim(kit, end=Claim.End.GIVEN_BACK, at=at)
    close_calls(kit, by=by, at=at)


@action
def undo_claim(*, claim: Claim, by: Person, at: datetime, request_key: str = "") -> Kit:
    """Take back that a kit was handed out, as after a slip at the table: it waits as before, and for whom it was kept."""
    _held_together(claim.kit)
    if not Claim.objects.filter(pk=claim.pk, ended_at__isnull=True).exists():
        raise KitNotHeld(_("This kit has been given back or brought in already."))
    kit = give_back(kit=claim.kit, by=by, at=at)
    kept = Claim.objects.filter(person=claim.person, claimed_at=claim.claimed_at, was_kept=True)
    Kit.objects.filter(state=Kit.State.WAITING, pk__in=kept.values("kit")).update(kept_for=claim.person)
    kit.refresh_from_db()
    return kit


@action
def let_kept_kit_go(*, kit: Kit, by: Person, at: datetime, request_key: str = "") -> Kit:
    """Leave a kit that is kept for oneself, with its matched set, to whoever would like it."""
    kept = [each for each in _held_together(kit) if each.kept_for_id == by.pk]
    if kit.pk not in [each.pk for each in kept]:
        raise KeptNoMore(_("This kit is not kept for you any more."))
    Kit.objects.filter(pk__in=[each.pk for each in kept]).update(kept_for=None)
    for each in kept:
        record(by=by, at=at, did="let_kept_kit_go", subject=each, changes={"kept_for": [by.pk, None]})
    kit.refresh_from_db()
    return kit


@action
def extend_due(*, kit: Kit, due_on: date, by: Person, at: datetime, request_key: str = "") -> Kit:
    """Give the holder of a kit, and of its matched set, until another day."""
    today = day_of(at, the_group())
    if not today <= due_on <= today + LATEST_DUE:
        raise DueDateImplausible(_("Please choose a day from today on, within a year."), field="due_on")
    before = Kit.objects.select_for_update().get(pk=kit.pk)
    if before.state != Kit.State.CLAIMED:
        raise KitMovedOn(_("Kit %(kit)s is with nobody just now.") % {"kit": kit.code})
    held = [each for each in _held_together(kit) if each.holder_id == before.holder_id]
    Kit.objects.filter(pk__in=[each.pk for each in held]).update(due_on=due_on)
    Claim.objects.filter(kit__in=held, ended_at__isnull=True).update(due_on=due_on)
    kit.refresh_from_db()
    record(by=by, at=at, did="extend_due", subject=kit, changes={"due_on": [str(before.due_on), str(due_on)]})
    return kit
