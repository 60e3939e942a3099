"""The one place that changes a gown's state: a conditional update and a trail line."""

from collections.abc import Collection
from datetime import datetime

from django.utils.translation import gettext as _

from gowngroup.gowns.actions.errors import GownMovedOn
from gowngroup.gowns.models import Gown
from gowngroup.people.models import Person
from gowngroup.records.actions import record
from gowngroup.records.codes import spaced


def move_gown(
    gown: Gown,
    *,
    from_states: Collection[str],
    to: str,
    did: str,
    by: Person,
    at: datetime,
    also: dict[str, object] | None = None,
    noted: dict[str, object] | None = None,
    is_for_drop_off: bool = False,
) -> None:
    """Bring a gown from one of these states to another, or say where it is by now.

    Whatever is not for its drop-off leaves a packed gown as it is; `noted` goes into the trail beside the
    states.
    """
    packed = Gown.objects.filter(pk=gown.pk, drop_off_rows__is_removed=False)
    rows = Gown.objects.filter(pk=gown.pk, state__in=from_states)
    if not is_for_drop_off:
        rows = rows.exclude(pk__in=packed.values("pk"))
    before = Gown.objects.select_for_update().get(pk=gown.pk).state
    changed = rows.update(state=to, **(also or {}))
    gown.refresh_from_db()
    if not changed:
        raise moved_on(gown, is_packed=not is_for_drop_off and packed.exists())
    record(by=by, at=at, did=did, subject=gown, changes={"state": [before, to], **(noted or {})})


def moved_on(gown: Gown, *, is_packed: bool = False) -> GownMovedOn:
    """Where a gown is by now, for somebody who expected it elsewhere."""
    if is_packed:
        sentence = _("Gown %(gown)s is packed for a ward: take it out of its drop-off first.")
    else:
        sentence = _("Gown %(gown)s is “%(state)s” by now; open its page and go on from there.")
    return GownMovedOn(sentence % {"gown": spaced(gown.code), "state": gown.get_state_display()})
