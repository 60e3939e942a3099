"""A drop-off is started, leaves with a receipt number, is signed for, comes back or is called off."""

from collections.abc import Iterable, Mapping
from datetime import date, datetime, timedelta

from django.db.models import Count
from django.utils import timezone
from django.utils.translation import gettext as _

from gowngroup.deliveries.errors import (
    DropOffMovedOn,
    ImpossibleDay,
    NothingPacked,
    ReasonMissing,
    WardRefusesGown,
    WardTakesNothing,
    WhoSigned,
)
from gowngroup.deliveries.models import DropOff, DropOffGown, NumberNote
from gowngroup.deliveries.queries import gown_blocks
from gowngroup.gowns.actions import bring_back_gowns, send_gowns
from gowngroup.people.models import Person
from gowngroup.records.actions import action, next_number, record
from gowngroup.records.codes import spaced
from gowngroup.wards.actions import book_met, book_unmet
from gowngroup.wards.models import RequestLine, Ward
from gowngroup.wards.queries import open_blocks

State = DropOff.State
FURTHEST_DAYS = 120


@action
def start_drop_off(
    *,
    ward: Ward,
    planned_on: date,
    driver: Person | None,
    by: Person,
    at: datetime,
    is_urgent: bool = False,
    note: str = "",
    request_key: str = "",
) -> DropOff:
    """Begin to pack for one drive to one ward."""
    _refuse_day(planned_on, at)
    blocks = open_blocks(ward, planned_on)
    if blocks:
        raise WardTakesNothing(" ".join(blocks), field="ward")
    drop_off = DropOff.objects.create(
        ward=ward, planned_on=planned_on, driver=driver, is_urgent=is_urgent, note=note
    )
    record(by=by, at=at, did="start_drop_off", subject=drop_off, changes={"ward": ward.pk})
    return drop_off


def _refuse_day(planned_on: date, at: datetime) -> None:
    today = timezone.localdate(at)
    if not today <= planned_on <= today + timedelta(days=FURTHEST_DAYS):
        raise ImpossibleDay(
            _("The day of a drop-off lies between today and %(days)d days ahead.") % {"days": FURTHEST_DAYS},
            field="planned_on",
        )


def move_drop_off(drop_off: DropOff, *, from_state: str, **facts: object) -> None:
    """Bring a drop-off from one state on, by one conditional UPDATE, or say where it is by now."""
    changed = DropOff.objects.filter(pk=drop_off.pk, state=from_state).update(**facts)
    drop_off.refresh_from_db()
    if not changed:
        raise DropOffMovedOn(
            _("This drop-off is “%(state)s” by now; open its page and go on from there.")
            % {"state": drop_off.get_state_display()}
        )


@action
def send_drop_off(*, drop_off: DropOff, by: Person, at: datetime, request_key: str = "") -> DropOff:
    """Let a packed drop-off leave: its gowns leave the shelf, it gets its receipt number, what was asked is met."""
    move_drop_off(
        drop_off,
        from_state=State.PACKING,
        state=State.ON_THE_WAY,
        left_at=at,
        receipt_number=_next_receipt_number(at),
    )
    rows = _rows(drop_off)
    if not rows:
        raise NothingPacked(_("Nothing is packed yet. Fill it from the shelf, or scan a gown."))
    _refuse_broken_rules(drop_off, rows, at)
    send_gowns(gowns=[row.gown for row in rows], by=by, at=at)
    for line, count in _lines(drop_off):
        book_met(request_line=line, gown_count=count, by=by, at=at)
    record(
        by=by,
        at=at,
        did="send_drop_off",
        subject=drop_off,
        changes={"state": [State.PACKING, State.ON_THE_WAY], "receipt_number": drop_off.receipt_number},
    )
    return drop_off


def _next_receipt_number(at: datetime) -> str:
    year = timezone.localdate(at).year
    return f"{year}-{next_number(f'receipt-{year}'):04d}"


def _rows(drop_off: DropOff) -> list[DropOffGown]:
    kept = drop_off.gown_rows.filter(is_removed=False)
    return list(kept.select_related("gown__size", "gown__design_revision", "gown__outer_lot__material"))


def _refuse_broken_rules(drop_off: DropOff, rows: Iterable[DropOffGown], at: datetime) -> None:
    """The ward's rules may have changed since a gown was packed."""
    day = timezone.localdate(at)
    for row in rows:
        blocks = gown_blocks(drop_off.ward, row.gown, on=day)
        if blocks:
            raise WardRefusesGown(
                _("Gown %(gown)s cannot go: %(why)s Take it out of this drop-off, or ask the ward.")
                % {"gown": spaced(row.gown.code), "why": " ".join(blocks)}
            )


def _lines(drop_off: DropOff) -> list[tuple[RequestLine, int]]:
    counted = (
        drop_off.gown_rows.filter(is_removed=False, request_line__isnull=False)
        .order_by(
            "request_line__request", "request_line"
        )  # always alike, so that two drives never block each other
        .values("request_line")
        .annotate(gowns=Count("pk"))
    )
    lines = RequestLine.objects.select_related("request").in_bulk([row["request_line"] for row in counted])
    return [(lines[row["request_line"]], row["gowns"]) for row in counted]


@action
def receive_drop_off(
    *,
    drop_off: DropOff,
    signed_name: str,
    differences: Iterable[Mapping[str, object]],
    by: Person,
    at: datetime,
    request_key: str = "",
) -> DropOff:
    """Note that the ward signed, with the differences it found line by line."""
    if not signed_name.strip():
        raise WhoSigned(
            _("Please write the name of who signed, as printed on the receipt."), field="signed_name"
        )
    move_drop_off(
        drop_off,
        from_state=State.ON_THE_WAY,
        state=State.RECEIVED,
        received_at=at,
        signed_name=signed_name.strip(),
        differences=list(differences),
    )
    record(
        by=by,
        at=at,
        did="receive_drop_off",
        subject=drop_off,
        changes={"state": [State.ON_THE_WAY, State.RECEIVED], "fields": ["signed_name", "differences"]},
    )
    return drop_off


@action
def bring_drop_off_back(
    *, drop_off: DropOff, reason: str, by: Person, at: datetime, request_key: str = ""
) -> DropOff:
    """Put everything back onto the shelf because nobody took it; its receipt number stays, explained."""
    if not reason.strip():
        raise ReasonMissing(_("Please say why it came back, such as “nobody there”."), field="reason")
    move_drop_off(drop_off, from_state=State.ON_THE_WAY, state=State.CALLED_OFF)
    rows = _rows(drop_off)
    for line, count in _lines(drop_off):
        book_unmet(request_line=line, gown_count=count, by=by, at=at)
    bring_back_gowns(gowns=[row.gown for row in rows], by=by, at=at)
    drop_off.gown_rows.filter(is_removed=False).update(is_removed=True)
    number = str(drop_off.receipt_number)
    NumberNote.objects.create(receipt_number=number, reason=reason.strip()[:200], at=at, by=by)
    record(
        by=by,
        at=at,
        did="bring_drop_off_back",
        subject=drop_off,
        changes={"state": [State.ON_THE_WAY, State.CALLED_OFF], "gowns": [row.gown_id for row in rows]},
    )
    return drop_off


@action
def call_drop_off_off(*, drop_off: DropOff, by: Person, at: datetime, request_key: str = "") -> DropOff:
    """Give up a drop-off that has not left; its gowns are free again."""
    move_drop_off(drop_off, from_state=State.PACKING, state=State.CALLED_OFF)
    drop_off.gown_rows.filter(is_removed=False).update(is_removed=True)
    record(
        by=by,
        at=at,
        did="call_drop_off_off",
        subject=drop_off,
        changes={"state": [State.PACKING, State.CALLED_OFF]},
    )
    return drop_off
