"""Gowns leave with a drop-off, or come back from one that nobody took."""

from collections.abc import Sequence
from datetime import datetime

from gowngroup.gowns.actions.moves import move_gown
from gowngroup.gowns.models import Gown
from gowngroup.people.models import Person
from gowngroup.records.actions import action


@action
def send_gowns(*, gowns: Sequence[Gown], by: Person, at: datetime, request_key: str = "") -> None:
    """Let passed gowns leave the shelf, all of them or none."""
    for gown in sorted(gowns, key=lambda each: each.pk):
        move_gown(
            gown,
            from_states=[Gown.State.PASSED],
            to=Gown.State.LEFT,
            did="send_gown",
            by=by,
            at=at,
            is_for_drop_off=True,
        )


@action
def bring_back_gowns(*, gowns: Sequence[Gown], by: Person, at: datetime, request_key: str = "") -> None:
    """Put gowns that a ward could not take back onto the shelf."""
    for gown in sorted(gowns, key=lambda each: each.pk):
        move_gown(
            gown,
            from_states=[Gown.State.LEFT],
            to=Gown.State.PASSED,
            did="bring_back_gown",
            by=by,
            at=at,
            is_for_drop_off=True,
        )
