"""Planning anew what a committed plan has not cut yet; what is cut, packed or being sewn stays as it is."""

from collections.abc import Iterable, Mapping
from datetime import datetime

from django.db.models import Case, Q, Value, When
from django.utils.translation import gettext as _

from gowngroup.batches.actions.booking import free_lines, use_up
from gowngroup.batches.actions.closing import NotUnderWay
from gowngroup.batches.actions.jobs import new_job
from gowngroup.batches.actions.moves import move_kit
from gowngroup.batches.models import Batch, Kit, KitLine, Lay, Plan, Reservation
from gowngroup.batches.planner.document import UNREADABLE, StoredPlan
from gowngroup.batches.planner.order import Rest
from gowngroup.batches.planner.progress import Progress
from gowngroup.batches.planner.rest import is_rest_as_planned, rest_of, uncut_kits, uncut_lays
from gowngroup.batches.queries.plans import committed_plan
from gowngroup.catalog.models import MaterialKind
from gowngroup.people.models import Person
from gowngroup.records.actions import action, record
from gowngroup.records.errors import Refusal, Taken
from gowngroup.records.models import Job
from gowngroup.stock.actions import release_amount
from gowngroup.stock.models import Lot


class NothingLeftToPlan(Refusal):
    """Every kit the plan could make is cut."""


class PlanNotReadable(Refusal):
    """The plan was stored in a form this version does not read."""


class PackedAlready(Taken):
    """Something lies in the bag of a kit that is still to be cut."""


class RestChanged(Taken):
    """A lay was cut, a kit given up, or the rest planned anew since the plan was made."""


@action
def start_replanning(*, batch: Batch, by: Person, at: datetime, request_key: str = "") -> Job:
    """Note that what is not cut yet of a batch under way is to be planned anew; one job at a time."""
    plan = plan_under_way(batch)
    require_rest(plan)
    job = new_job(batch, by=by, at=at, progress=Progress(replaces=plan.pk).document())
    record(by=by, at=at, did="start_replanning", subject=batch, changes={"plan_id": plan.pk})
    return job


def plan_under_way(batch: Batch) -> Plan:
    """The plan a batch is made by, its batch's row kept until the transaction ends."""
    held = Batch.objects.filter(pk=batch.pk, state=Batch.State.COMMITTED).update(month=batch.month)
    plan = committed_plan(batch)
    if not held or plan is None:
        raise NotUnderWay(_("This batch is not under way, so there is no rest of it to plan."))
    return plan


def require_rest(plan: Plan) -> None:
    """Refuse where nothing is left to be planned, or where things lie in the bags of kits to be planned."""
    try:
        stored = StoredPlan.of(plan)
        homeless = any(kit.lot_key is None for kit in stored.plan.kits) or stored.document["refused"]
    except UNREADABLE as error:
        raise PlanNotReadable(
            _("The plan of this batch is stored in a form this version does not read.")
        ) from error
    if not homeless and not uncut_lays(plan).exists():
        raise NothingLeftToPlan(_("Everything of this batch is cut already; nothing is left to be planned."))
    _require_empty_bags(plan)


def _require_empty_bags(plan: Plan) -> None:
    ticked = KitLine.objects.filter(kit__in=uncut_kits(plan), ticked_at__isnull=False)
    line = ticked.select_related("kit").order_by("kit_id", "position").first()
    if line is not None:
        raise PackedAlready(
            _(
                "Kit %(kit)s is not cut yet, and something lies in its bag already: %(line)s. "
                "Put that back on the shelf and take its tick off, or cut its lay first; then plan the rest."
            )
            % {"kit": line.kit.code, "line": line.text}
        )


def hold_rest(batch: Batch, planned: Rest) -> Plan:
    """The plan whose rest was planned, as long as the same lays and kits are still to be cut; its batch is held."""
    plan = plan_under_way(batch)
    if plan.pk != planned.plan_id or not is_rest_as_planned(planned, rest_of(plan)):
        raise RestChanged(
            _(
                "A lay was cut, a kit given up, or the rest planned anew since this plan was made. "
                "Plan what is not cut yet once more."
            )
        )
    return plan


def set_rest_free(
    plan: Plan, planned: Rest, also: Iterable[int], *, by: Person, at: datetime
) -> dict[str, Kit]:
    """Take the uncut lays out of a plan, with everything held for them; gives their kits by number.

    Rows are kept in the order of cutting and packing, then lots in the order of committing, so that nobody who cuts,
    packs or commits at the same moment blocks another.
    """
    freed = Lay.objects.filter(pk__in=planned.lay_ids, cut_at__isnull=True, freed_at__isnull=True)
    if freed.update(freed_at=at) != len(planned.lay_ids):
        raise RestChanged(_("A lay was cut at this very moment. Plan what is not cut yet once more."))
    kits = list(
        Kit.objects.select_for_update()
        .filter(lay__in=planned.lay_ids, state=Kit.State.PLANNED)
        .order_by("pk")
    )
    _hold_lots(plan, also)
    for lay in Lay.objects.filter(pk__in=planned.lay_ids).order_by("lot_id"):
        _set_lay_free(lay, by=by, at=at)
    for kit in kits:
        free_lines(kit, by=by, at=at)
    Plan.objects.filter(pk=plan.pk).update(replaced_at=at)
    return {str(kit.number): kit for kit in kits}


def _hold_lots(plan: Plan, also: Iterable[int]) -> None:
    rows = Reservation.objects.select_for_update().filter(plan=plan).order_by("lot_id", "pk")
    lot_ids = {row.lot_id for row in rows} | set(also)
    is_cloth = Case(When(Q(material__kind=MaterialKind.CLOTH), then=Value(1)), default=Value(0))
    lots = Lot.objects.filter(pk__in=lot_ids).annotate(is_cloth=is_cloth).order_by("is_cloth", "pk")
    list(lots.select_for_update(of=("self",)))


def _set_lay_free(lay: Lay, *, by: Person, at: datetime) -> None:
    reservation = Reservation.objects.filter(lay=lay).first()
    amount = use_up(reservation, reservation.amount) if reservation else 0
    if amount:
        release_amount(lot=lay.lot, amount=amount, reference=f"lay {lay.pk}", by=by, at=at)
    record(by=by, at=at, did="free_lay", subject=lay)


def give_up_homeless(kits: Mapping[str, Kit], plan: Plan, *, by: Person, at: datetime) -> None:
    """Write off the kits the new plan finds no cloth for; a later plan makes them anew."""
    why = _("No cloth for it in plan %(number)d.") % {"number": plan.number}
    for kit in kits.values():
        move_kit(
            kit,
            from_states=(Kit.State.PLANNED,),
            to=Kit.State.WRITTEN_OFF,
            did="write_off_kit",
            by=by,
            at=at,
            ended_reason=why[:200],
        )
