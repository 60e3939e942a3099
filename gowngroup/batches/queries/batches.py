"""Batches: what they make, how far they are, and what is asked that they leave out."""

from collections import defaultdict
from dataclasses import dataclass
from datetime import date, datetime

from django.db.models import Count, F, OuterRef, QuerySet, Subquery, Sum
from django.db.models.functions import Coalesce
from django.http import Http404

from gowngroup.batches.models import Batch, BatchLine, Kit, Lay, MaterialChoice, Plan
from gowngroup.batches.planner.asks import ENDED, open_asks
from gowngroup.catalog.models import Size
from gowngroup.records.models import Job
from gowngroup.wards.models import Ward

OPEN_STATES = (Batch.State.PROPOSED, Batch.State.PLANNED)


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOut:
    """Gowns of a size and purpose that are asked for and of which the batch has no line."""

    size: Size
    purpose: str
    gown_count: int
    wards: tuple[Ward, ...]


def batches() -> QuerySet[Batch]:
    """Batches, newest month first, with the gowns they make and their kits by how far they are."""
    gowns = BatchLine.objects.filter(batch=OuterRef("pk")).order_by().values("batch")
    kits = Kit.objects.filter(batch=OuterRef("pk")).order_by().values("batch").annotate(total=Count("pk"))
    back = kits.filter(state=Kit.State.RETURNED)
    return Batch.objects.annotate(
        gowns_wanted=Coalesce(Subquery(gowns.annotate(total=Sum("gown_count")).values("total")), 0),
        kit_count=Coalesce(Subquery(kits.values("total")), 0),
        returned_count=Coalesce(Subquery(back.values("total")), 0),
    ).order_by("-month", "-number")


def batch_by_id(pk: int) -> Batch:
    """A batch; Http404 where there is none."""
    batch = Batch.objects.filter(pk=pk).first()
    if batch is None:
        raise Http404
    return batch


def months_taken() -> dict[date, bool]:
    """The months that have a batch already, each with whether one of its batches is still being put together."""
    taken: dict[date, bool] = {}
    for month, state in Batch.objects.order_by().values_list("month", "state").distinct():
        taken[month] = taken.get(month, False) or state in OPEN_STATES
    return taken


def open_batches() -> QuerySet[Batch]:
    """The batches that are still being put together or planned, the earliest month first."""
    return Batch.objects.filter(state__in=OPEN_STATES).order_by("month", "number")


def is_empty(batch: Batch) -> bool:
    """Does nothing hang on a batch: no line, no material chosen, no plan or planning, no kit?"""
    rows = (batch.lines, batch.choices, batch.plans, batch.kits)
    job = last_job(batch)
    return not any(each.exists() for each in rows) and (job is None or job.is_finished())


def lines_of_batch(batch: Batch) -> QuerySet[BatchLine]:
    """What a batch makes, smallest size first."""
    return batch.lines.select_related("design_revision__design", "design_revision__chart", "size")


def choices_of(batch: Batch) -> QuerySet[MaterialChoice]:
    """The materials chosen for a batch, design by design."""
    rows = batch.choices.select_related("material", "design_revision__design")
    return rows.order_by("design_revision__design__name", "pk")


def kits_by_state(batch: Batch) -> list[tuple[str, int, int]]:
    """How many kits and gowns of a batch are in each state, in the order kits go through."""
    rows = batch.kits.order_by().values_list("state").annotate(kits=Count("pk"), total=Sum("gown_count"))
    found = {state: (kits, total) for state, kits, total in rows}
    return [(str(state.label), *found[state]) for state in Kit.State if state in found]


def left_out(batch: Batch) -> list[LeftOut]:
    """What is asked up to the batch's month and stands in none of its lines."""
    lines = set(batch.lines.values_list("size_id", "purpose"))
    wards: dict[tuple[int, str], dict[int, Ward]] = defaultdict(dict)
    counts: dict[tuple[int, str], int] = defaultdict(int)
    sizes: dict[tuple[int, str], Size] = {}
    for ask in open_asks(batch.month):
        if ask.line not in lines:
            sizes[ask.line] = ask.size
            counts[ask.line] += ask.gown_count
            wards[ask.line][ask.ward.pk] = ask.ward
    return [
        LeftOut(size=sizes[line], purpose=line[1], gown_count=counts[line], wards=tuple(wards[line].values()))
        for line in sorted(sizes, key=lambda each: (sizes[each].upper_mass_g, each[1]))
    ]


def last_job(batch: Batch) -> Job | None:
    """The last planning of a batch, running or done."""
    return Job.objects.filter(kind="plan_batch", subject_id=batch.pk).order_by("-created_at", "-pk").first()


def is_being_improved(plan: Plan, *, at: datetime) -> bool:
    """Are better plans than this one still being looked for?"""
    job = last_job(plan.batch)
    is_its = job is not None and job.result_id == plan.pk and not job.is_finished()
    return is_its and job is not None and not job.is_interrupted(at)


def newest_plan(batch: Batch) -> Plan | None:
    """The committed plan of a batch, else the newest."""
    return batch.plans.order_by(F("committed_at").desc(nulls_last=True), "-number").first()


def lays_left(batch: Batch) -> int:
    """Lays of the batch that have still to be cut."""
    lays = Lay.objects.filter(plan__batch=batch, plan__committed_at__isnull=False)
    return lays.filter(cut_at__isnull=True, freed_at__isnull=True).count()


@dataclass(frozen=True, slots=True, kw_only=True)
class RestPage:
    """What can be planned anew of a batch under way, and the plan for it that waits to be committed."""

    lay_count: int
    plan: Plan | None


def rest_page(batch: Batch) -> RestPage | None:
    """The rest of a batch under way; None where nothing is left of it to be planned."""
    if batch.state != Batch.State.COMMITTED:
        return None
    waiting = batch.plans.filter(committed_at=None, replaces__replaced_at=None, replaces__isnull=False)
    lay_count, plan = lays_left(batch), waiting.defer("document").order_by("-number").first()
    return RestPage(lay_count=lay_count, plan=plan) if lay_count or plan else None


def kits_left(batch: Batch) -> int:
    """Kits of the batch that are neither back nor lost nor written off."""
    return batch.kits.exclude(state__in=ENDED).count()
