"""Taking off the shelf what a lay or kit uses: first what its plan reserved, then what is free."""

from datetime import datetime

from django.db.models import F

from gowngroup.batches.models import Kit, KitLine, Lay, Reservation
from gowngroup.catalog.models import MaterialKind
from gowngroup.people.models import Person
from gowngroup.stock.actions import issue_free, issue_reserved, release_amount
from gowngroup.stock.models import Lot


def draw_lay(lay: Lay, lot: Lot, cut_length_um: int, *, by: Person, at: datetime) -> None:
    """Book the length really cut off its lot and end what was reserved for the lay."""
    reservation = Reservation.objects.filter(lay_id=lay.pk).first()
    reserved = use_up(reservation, reservation.amount) if reservation else 0
    _issue(lot, cut_length_um, reserved, reference=f"lay {lay.pk}", by=by, at=at)


def draw_lines(kit: Kit, *, by: Person, at: datetime) -> None:
    """Book what goes into a kit off its lots, always in the same order so that two packers never block."""
    for line, lot in _booked_lines(kit):
        reserved = use_up(_held_for(kit, lot), line.amount)
        _issue(lot, line.amount, reserved, reference=f"kit {kit.code}", by=by, at=at)


def free_lines(kit: Kit, *, by: Person, at: datetime) -> None:
    """Set free what the plan holds for a kit that will not be packed."""
    for line, lot in _booked_lines(kit):
        reserved = use_up(_held_for(kit, lot), line.amount)
        if reserved:
            release_amount(lot=lot, amount=reserved, reference=f"kit {kit.code}", by=by, at=at)


def _issue(lot: Lot, amount: int, reserved: int, *, reference: str, by: Person, at: datetime) -> None:
    if reserved:
        issue_reserved(lot=lot, amount=amount, reserved_amount=reserved, reference=reference, by=by, at=at)
    else:
        issue_free(lot=lot, amount=amount, reference=reference, by=by, at=at)


def use_up(reservation: Reservation | None, most: int) -> int:
    """Take so much at most of what is still held; gives what was taken."""
    if reservation is None:
        return 0
    row = Reservation.objects.select_for_update().get(pk=reservation.pk)
    taken = min(row.open_amount, most)
    Reservation.objects.filter(pk=row.pk).update(open_amount=F("open_amount") - taken)
    return taken


def _booked_lines(kit: Kit) -> list[tuple[KitLine, Lot]]:
    """The lines that come off the shelf with this kit; its cloth is booked when the lay is cut."""
    lines = kit.lines.filter(lot__isnull=False, amount__gt=0).exclude(kind=MaterialKind.CLOTH)
    rows = lines.select_related("lot__material").order_by("lot_id", "position")
    return [(line, line.lot) for line in rows if line.lot is not None]


def _held_for(kit: Kit, lot: Lot) -> Reservation | None:
    return Reservation.objects.filter(plan_id=kit.lay.plan_id, lot=lot, lay__isnull=True).first()
