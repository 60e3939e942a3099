"""What was written on the table list of a meeting, entered at once: all of it or nothing."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from django.utils.translation import gettext as _

from gowngroup.batches.actions import claim_for, extend_due, hand_on
from gowngroup.batches.models import Kit
from gowngroup.batches.planner.stages import NEXT_STAGE
from gowngroup.gowns.actions.returns import take_back
from gowngroup.people.models import Person
from gowngroup.records.actions import action
from gowngroup.records.codes import spaced
from gowngroup.records.errors import Refusal


class RowRefused(Refusal):
    """One row of the list cannot be entered, so none is; `kit` tells which."""

    def __init__(self, kit: Kit, refusal: Refusal) -> None:
        super().__init__(_("Kit %(kit)s: %(reason)s") % {"kit": spaced(kit.code), "reason": refusal.message})
        self.status = refusal.status


@dataclass(frozen=True, slots=True, kw_only=True)
class BackRow:
    """What the list says of a kit that was out: gowns that came back, or another day."""

    kit: Kit
    gown_count: int = 0
    are_needles_counted: bool = False
    duration_min: int | None = None
    due_on: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class OutRow:
    """What the list says of a kit that was handed out."""

    kit: Kit
    person: Person


@action
def enter_table_list(
    *, back: Sequence[BackRow], out: Sequence[OutRow], by: Person, at: datetime, request_key: str = ""
) -> None:
    """Enter what was written on a table list: gowns back, more time, kits handed out."""
    for row in back:
        _or_refuse(row.kit, lambda row=row: _enter(row, by, at))  # type: ignore[misc] # bound at once
    for each in out:
        _or_refuse(each.kit, lambda each=each: claim_for(kit=each.kit, person=each.person, by=by, at=at))  # type: ignore[misc] # bound at once


def _or_refuse(kit: Kit, enter: Callable[[], object]) -> None:
    try:
        enter()
    except Refusal as refusal:
        raise RowRefused(kit, refusal) from refusal


def _enter(row: BackRow, by: Person, at: datetime) -> None:
    if row.gown_count:
        book_back(
            kit=row.kit,
            gown_count=row.gown_count,
            are_needles_counted=row.are_needles_counted,
            duration_min=row.duration_min,
            by=by,
            at=at,
        )
    if row.due_on is not None:
        extend_due(kit=row.kit, due_on=row.due_on, by=by, at=at)


@action
def book_back(
    *,
    kit: Kit,
    gown_count: int,
    are_needles_counted: bool,
    duration_min: int | None = None,
    remarks: str = "",
    by: Person,
    at: datetime,
    request_key: str = "",
) -> Kit:
    """Book a kit back at the table: gowns where it is sewn to its end, else its stage is done and it waits again."""
    if kit.stage in NEXT_STAGE:
        hand_on(
            kit=kit,
            are_needles_counted=are_needles_counted,
            duration_min=duration_min,
            remarks=remarks,
            by=by,
            at=at,
        )
    else:
        take_back(
            kit=kit,
            gown_count=gown_count,
            are_needles_counted=are_needles_counted,
            duration_min=duration_min,
            remarks=remarks,
            by=by,
            at=at,
        )
    kit.refresh_from_db()
    return kit
