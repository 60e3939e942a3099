"""How a kit moves from one state to the next, and how a claim ends; used by the actions beside it."""

from collections.abc import Collection
from datetime import datetime

from django.utils.translation import gettext as _

from gowngroup.batches.models import Call, Claim, Kit
from gowngroup.people.models import Person
from gowngroup.records.actions import record
from gowngroup.records.errors import Taken


class KitMovedOn(Taken):
    """The kit is no longer where it was when the page was shown."""


def move_kit(
    kit: Kit,
    *,
    from_states: tuple[Kit.State, ...],
    to: Kit.State,
    did: str,
    by: Person,
    at: datetime,
    **fields: object,
) -> str:
    """Move a kit on from one of these states and give the one it was in, or say that it has moved already."""
    before = Kit.objects.select_for_update().get(pk=kit.pk)
    moved = Kit.objects.filter(pk=kit.pk, state__in=from_states).update(state=to, **fields)
    kit.refresh_from_db()
    if not moved:
        raise KitMovedOn(
            _("Kit %(kit)s is “%(state)s” by now, so this cannot be done any more.")
            % {"kit": kit.code, "state": kit.get_state_display()}
        )
    changes: dict[str, object] = {"state": [before.state, to]}
    if before.holder_id != kit.holder_id:
        changes["holder_id"] = [before.holder_id, kit.holder_id]
    record(by=by, at=at, did=did, subject=kit, changes=changes)
    return before.state


def end_claim(kit: Kit, *, end: Claim.End, at: datetime) -> None:
    """End the open claim of a kit, if it has one."""
    Claim.objects.filter(kit=kit, ended_at__isnull=True).update(ended_at=at, end=end)


def close_calls(
    kit: Kit,
    *,
    kinds: Collection[str] = (Call.Kind.HELP, Call.Kind.POST),
    by: Person,
    at: datetime,
) -> None:
    """Nobody needs help with a kit, or to be sent it, that she no longer has; a missing part stays missing."""
    Call.objects.filter(kit=kit, answered_at__isnull=True, kind__in=kinds).update(
        answered_at=at, answered_by=by
    )
