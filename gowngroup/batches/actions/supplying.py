"""What was short when kits were made, put by for them once it lies on the shelf."""

from collections.abc import Iterable
from datetime import datetime

from django.db.models import F
from django.utils.translation import gettext as _

from gowngroup.batches.models import Kit, KitLine, Plan, Reservation
from gowngroup.batches.planner.missing import BEING_PACKED, Arrived, arrived
from gowngroup.batches.planner.shelf import is_package, lot_id_of
from gowngroup.people.models import Person
from gowngroup.people.queries import group_reader
from gowngroup.records.actions import action, record
from gowngroup.records.errors import Taken
from gowngroup.records.reader import reading_as
from gowngroup.stock.actions import open_package, reserve_amount
from gowngroup.stock.models import Lot


class NothingArrived(Taken):
    """Nothing that kits wait for lies free on the shelf."""


@action
def put_by_arrived(*, by: Person, at: datetime, request_key: str = "") -> tuple[str, ...]:
    """Hold what now lies on the shelf for kits that were made without it, the oldest first; gives the kits' codes.

    Their lines name the lot from then on, and what is held is booked off it when the kit is packed.
    """
    # Nobody packs, plans anew or gives up these kits until this is done.
    list(Kit.objects.select_for_update().filter(state__in=BEING_PACKED).order_by("pk"))
    with reading_as(group_reader()):
        found = arrived()
    if not found:
        raise NothingArrived(_("Nothing that kits wait for lies free on the shelf now."))
    lots = _opened(found, by=by, at=at)
    for each in sorted(found, key=lambda one: lots[one.supply_key].pk):
        _hold(each, lots[each.supply_key], by=by, at=at)
    return tuple(dict.fromkeys(each.line.kit.code for each in found))


def _opened(found: Iterable[Arrived], *, by: Person, at: datetime) -> dict[str, Lot]:
    """The lot each supply lies in; unopened packages are opened, in the order of their lots."""
    lots = {}
    for key in sorted({each.supply_key for each in found}, key=lambda each: (lot_id_of(each), each)):
        lot = Lot.objects.select_related("material").get(pk=lot_id_of(key))
        lots[key] = open_package(lot=lot, by=by, at=at) if is_package(key) else lot
    return lots


def _hold(each: Arrived, lot: Lot, *, by: Person, at: datetime) -> None:
    plan, line = each.line.kit.lay.plan, each.line
    reserve_amount(lot=lot, amount=each.amount, reference=f"plan {plan.pk}", by=by, at=at)
    _add_to_reservation(plan, lot, each.amount)
    KitLine.objects.filter(pk=line.pk).update(lot=lot, amount=each.amount, text=each.text)
    changes = {"lot_id": [None, lot.pk], "amount": [0, each.amount]}
    record(by=by, at=at, did="put_by_arrived", subject=line, changes=changes)


def _add_to_reservation(plan: Plan, lot: Lot, amount: int) -> None:
    """A plan has one reservation of a lot for its kits."""
    held = Reservation.objects.filter(plan=plan, lot=lot, lay__isnull=True)
    if not held.update(amount=F("amount") + amount, open_amount=F("open_amount") + amount):
        Reservation.objects.create(plan=plan, lot=lot, amount=amount, open_amount=amount)
