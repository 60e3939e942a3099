"""Plans, and whether what they hold agrees with kits and shelf."""

from collections.abc import Collection, Iterator

from django.db.models import Count, F, Q, QuerySet, Sum
from django.db.models.functions import Coalesce
from django.http import Http404

from gowngroup.batches.models import Batch, Kit, KitLine, Lay, MatchedSet, Plan, Reservation
from gowngroup.catalog.models import MaterialKind
from gowngroup.records.models import Job
from gowngroup.stock.models import Lot


def plan_by_id(pk: int) -> Plan:
    """A plan with its batch; Http404 where there is none."""
    plan = Plan.objects.select_related("batch", "made_by").filter(pk=pk).first()
    if plan is None:
        raise Http404
    return plan


def plans_of(batch: Batch) -> QuerySet[Plan]:
    """The plans of a batch without their documents, newest first."""
    return batch.plans.defer("document").select_related("made_by").order_by("-number")


def committed_plan(batch: Batch) -> Plan | None:
    """The plan a batch is made by."""
    return batch.plans.filter(committed_at__isnull=False, replaced_at__isnull=True).first()


def is_current(plan: Plan) -> bool:
    """Is it the plan its batch is made by?"""
    return plan.committed_at is not None and plan.replaced_at is None


def may_be_committed(plan: Plan) -> bool:
    """Is it a plan for a batch being put together, or for the rest of one that is still made by the same plan?"""
    if plan.committed_at is not None:
        return False
    if plan.replaces_id is None:
        return plan.batch.state in (Batch.State.PROPOSED, Batch.State.PLANNED)
    current = committed_plan(plan.batch)
    return (
        plan.batch.state == Batch.State.COMMITTED and current is not None and current.pk == plan.replaces_id
    )


def plan_of_job(job: Job) -> Plan | None:
    """The plan a planning has stored, if it has and the plan was not thrown away."""
    return Plan.objects.filter(pk=job.result_id).first() if job.result_id else None


def material_names(lot_codes: Collection[str]) -> dict[str, str]:
    """What the lots of these codes are, by code: `Cotton lawn, sky`."""
    lots = Lot.objects.filter(code__in=lot_codes).select_related("material")
    return {lot.code: str(lot.material) for lot in lots}


def newest_plan_of_all() -> Plan | None:
    """The plan made last, of whichever batch."""
    return Plan.objects.defer("document").order_by("-made_at", "-pk").first()


def kit_codes(plan: Plan) -> dict[str, str]:
    """The code of each kit of a committed plan by the kit's number in it."""
    rows = Kit.objects.filter(lay__plan=plan, number__isnull=False).values_list("number", "code")
    return {str(number): code for number, code in rows}


def plan_violations() -> list[str]:
    """Where plans, lays, kits and reservations do not agree; empty when all is well."""
    return [*_kits_astray(), *_plans_astray(), *_held_wrongly(), *_packing_beyond()]


def _kits_astray() -> Iterator[str]:
    for kit in Kit.objects.exclude(outer_lot=F("lay__lot")):
        yield f"kit {kit.code}: its cloth is not that of its lay"
    for kit in Kit.objects.exclude(batch=F("lay__plan__batch")):
        yield f"kit {kit.code}: its lay belongs to another batch"
    for kit in Kit.objects.filter(lay__plan__committed_at__isnull=True):
        yield f"kit {kit.code}: its plan was never committed"
    for row in MatchedSet.objects.annotate(lots=Count("kits__outer_lot", distinct=True)).filter(lots__gt=1):
        yield f"matched set {row.pk}: its kits are not of one cloth"


def _plans_astray() -> Iterator[str]:
    committed = Plan.objects.filter(committed_at__isnull=False)
    under_way = [Batch.State.COMMITTED, Batch.State.CLOSED]
    for batch in Batch.objects.filter(state=Batch.State.COMMITTED).exclude(pk__in=committed.values("batch")):
        yield f"batch {batch}: it is under way without a committed plan"
    for plan in committed.exclude(batch__state__in=under_way).select_related("batch"):
        yield f"{plan}: it is committed and its batch is not under way"
    for plan in committed.filter(replaced_at__isnull=False).exclude(followers__committed_at__isnull=False):
        yield f"{plan}: it is replaced and no plan has taken its place"
    for kit in Kit.objects.filter(lay__freed_at__isnull=False).exclude(state=Kit.State.WRITTEN_OFF):
        yield f"kit {kit.code}: its lay was planned anew without it"


def _held_wrongly() -> Iterator[str]:
    held = Coalesce(Sum("reservations__open_amount"), 0)
    for lot in Lot.objects.annotate(held=held).filter(held__gt=F("reserved_amount")):
        yield f"lot {lot.code}: plans hold {lot.held}, its books say {lot.reserved_amount} reserved"
    waiting = Lay.objects.filter(cut_at__isnull=True, freed_at__isnull=True, plan__committed_at__isnull=False)
    wrong = ~Q(reservation__lot=F("lot")) | Q(reservation__open_amount__lt=F("length_um"))
    for lay in waiting.filter(Q(reservation__isnull=True) | wrong).select_related("plan__batch"):
        yield f"{lay}: its cloth is not held for it"
    is_over = Q(lay__cut_at__isnull=False) | Q(lay__freed_at__isnull=False)
    for row in Reservation.objects.filter(is_over, open_amount__gt=0).select_related(
        "plan__batch", "lot__material"
    ):
        yield f"{row}: its lay is cut or planned anew and cloth is still held"


def _packing_beyond() -> Iterator[str]:
    """What kits still to be packed take of a lot is held for their plan."""
    lines = KitLine.objects.filter(
        lot__isnull=False, amount__gt=0, kit__state__in=[Kit.State.PLANNED, Kit.State.CUT]
    ).exclude(kind=MaterialKind.CLOTH)
    wanted = lines.order_by().values_list("kit__lay__plan_id", "lot_id").annotate(total=Sum("amount"))
    held = {
        (row.plan_id, row.lot_id): row.open_amount for row in Reservation.objects.filter(lay__isnull=True)
    }
    for plan_id, lot_id, total in wanted:
        if total > held.get((plan_id, lot_id), 0):
            yield f"plan {plan_id}: its kits take {total} of lot {lot_id}, less is held"
