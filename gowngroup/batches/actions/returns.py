"""Gowns of a kit come back, all or some; before that she may say that they are finished."""

from datetime import datetime

from django.utils.translation import gettext as _

from gowngroup.batches.actions.moves import KitMovedOn, close_calls, end_claim
from gowngroup.batches.models import Claim, Finish, Kit, KitReturn
from gowngroup.batches.queries.claims import STAFF
from gowngroup.people.models import Person
from gowngroup.people.queries import has_role
from gowngroup.records.actions import action, record
from gowngroup.records.codes import spaced
from gowngroup.records.errors import Refusal, Taken

LONGEST_MIN = 500 * 60
MOST_FLOSS_CUTS = 400
CAN_COME_BACK = (Kit.State.CLAIMED, Kit.State.LOST)


class MoreThanMade(Refusal):
    """More gowns than the kit still holds, or none at all."""


class HoursImplausible(Refusal):
    """The time spent is not likely."""


class FlossUnclear(Refusal):
    """What was said of the floss does not go together."""


class NotHers(Taken):
    """The kit is no longer with the person who speaks of it."""


def may_speak_of(shown: Kit, holder_id: int | None, by: Person) -> bool:
    """May somebody say how a kit stands: its holder, or staff for the holder they were shown?"""
    is_for_her = holder_id == shown.holder_id and has_role(by, *STAFF)
    return holder_id is not None and (holder_id == by.pk or is_for_her)


@action
def say_finished(
    *,
    kit: Kit,
    gown_count: int,
    are_needles_counted: bool,
    duration_min: int | None = None,
    remarks: str = "",
    by: Person,
    at: datetime,
    request_key: str = "",
) -> Finish:
    """Say that the gowns of a kit are finished and will be brought in; saying it again puts it right."""
    check_duration(duration_min)
    claim = Claim.objects.select_for_update().filter(kit=kit, ended_at__isnull=True).first()
    if claim is None or not may_speak_of(kit, claim.person_id, by):
        raise NotHers(_("This kit has been given back or brought in already."))
    _check_count(Kit.objects.get(pk=kit.pk), gown_count)
    said = {
        "gown_count": gown_count,
        "are_needles_counted": are_needles_counted,
        "duration_min": duration_min,
        "remarks": remarks,
        "said_at": at,
    }
    finish, _is_new = Finish.objects.update_or_create(claim=claim, defaults=said)
    record(by=by, at=at, did="say_finished", subject=kit, changes={"gown_count": [None, gown_count]})
    return finish


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
    check_duration(duration_min)
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
        close_calls(kit, by=by, at=at)
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


@action
def undo_return(*, back: KitReturn, by: Person, at: datetime, request_key: str = "") -> Kit:
    """Take back that gowns of a kit came back, as after a slip at the table; her kit is hers again."""
    kit = Kit.objects.select_for_update().get(pk=back.kit_id)
    newest_id = kit.returns.order_by("-pk").values_list("pk", flat=True).first()
    claim = kit.claims.filter(person=back.person).order_by("-claimed_at", "-pk").first()
    was_whole = kit.state == Kit.State.RETURNED
    can_be_undone = claim is not None and (claim.end == Claim.End.RETURNED if was_whole else not claim.end)
    if newest_id != back.pk or claim is None or not can_be_undone:
        raise KitMovedOn(
            _("This cannot be undone any more: more has happened with kit %(kit)s.")
            % {"kit": spaced(kit.code)}
        )
    again = {"state": Kit.State.CLAIMED, "holder": claim.person, "due_on": claim.due_on} if was_whole else {}
    Kit.objects.filter(pk=kit.pk).update(returned_count=kit.returned_count - back.gown_count, **again)
    Claim.objects.filter(pk=claim.pk).update(ended_at=None, end="")
    before = Kit.objects.get(pk=kit.pk)
    record(by=by, at=at, did="undo_return", subject=kit, changes=_return_changes(kit, before))
    back.delete()
    return before


def check_duration(duration_min: int | None) -> None:
    if duration_min is not None and not 0 < duration_min <= LONGEST_MIN:
        raise HoursImplausible(
            _("Please give the hours spent, more than 0 and at most %(most)d, or leave them empty.")
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
            % {"kit": spaced(kit.code), "state": kit.get_state_display()}
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
