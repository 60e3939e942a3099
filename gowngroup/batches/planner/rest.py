"""What a committed plan has not cut yet, planned anew; what is cut stays with its cloth and materials."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from itertools import count
from typing import Any

from django.db.models import QuerySet, Sum

from gowngroup.batches.models import Batch, BatchLine, Kit, KitLine, Lay, Plan, Reservation
from gowngroup.batches.planner.asks import open_asks
from gowngroup.batches.planner.document import StoredPlan
from gowngroup.batches.planner.order import (
    Dealt,
    Makeable,
    Prepared,
    Rest,
    lines_to_make,
    order_kit,
    prepared_as,
    shares,
)
from gowngroup.batches.planner.shelf import the_shelf
from gowngroup.catalog.models import MaterialKind

Facts = Mapping[str, Any]
LineKey = tuple[int, int, str]


def uncut_lays(plan: Plan) -> QuerySet[Lay]:
    """The lays of a plan that are neither cut nor set free."""
    return plan.lays.filter(cut_at__isnull=True, freed_at__isnull=True).order_by("pk")


def uncut_kits(plan: Plan) -> QuerySet[Kit]:
    """The kits of a plan that are still to be cut; those given up are not made again."""
    return Kit.objects.filter(lay__in=uncut_lays(plan), state=Kit.State.PLANNED).order_by("pk")


def rest_of(plan: Plan) -> Rest:
    """The lays and kits of a committed plan that a new plan takes the place of, as they are now."""
    numbers = _numbers(uncut_kits(plan))
    others = Kit.objects.filter(batch=plan.batch_id).exclude(state=Kit.State.WRITTEN_OFF)
    return Rest(
        plan_id=plan.pk,
        plan_number=plan.number,
        lay_ids=tuple(uncut_lays(plan).values_list("pk", flat=True)),
        kit_numbers=numbers,
        kept_numbers=tuple(sorted(set(_numbers(others)) - set(numbers))),
    )


def is_rest_as_planned(planned: Rest, now: Rest) -> bool:
    """Are the lays and kits still to be cut the ones a new plan was made for?"""
    return (planned.lay_ids, planned.kit_numbers) == (now.lay_ids, now.kit_numbers)


def is_rest_still_there(stored: StoredPlan) -> bool:
    """Can a plan for the rest of another one still take its place? Any other plan can."""
    if stored.rest is None:
        return True
    plan = Plan.objects.filter(pk=stored.rest.plan_id).first()
    return plan is not None and is_rest_as_planned(stored.rest, rest_of(plan))


def _numbers(kits: QuerySet[Kit]) -> tuple[int, ...]:
    return tuple(
        kits.filter(number__isnull=False).order_by("number").values_list("number", flat=True)  # type: ignore[arg-type]  # none is left out
    )


def prepared_rest(batch: Batch, plan: Plan) -> Prepared:
    """The kits a committed plan has not cut and those it could not make, on the shelf with their things back on it.

    Raises what reading a stored plan raises.
    """
    stored, rest = StoredPlan.of(plan), rest_of(plan)
    facts = _kits_to_make(stored, rest)
    lines = list(_lines(batch, stored, facts))
    return prepared_as(
        batch,
        lines,
        tuple(open_asks(batch.month)),
        deal=lambda makeable: _deal(makeable, facts, first_new=_highest(stored, rest) + 1),
        shelf=the_shelf(set_free=set_free_by(plan)),
        rest=rest,
    )


def _kits_to_make(stored: StoredPlan, rest: Rest) -> list[Facts]:
    """Kits by their number: those still to be cut, and those no cloth was found for."""
    homeless = {kit.key for kit in stored.plan.kits if kit.lot_key is None}
    wanted = homeless | {str(number) for number in rest.kit_numbers}
    return [stored.kits[key] for key in sorted(wanted, key=int)]


def _highest(stored: StoredPlan, rest: Rest) -> int:
    return max((*map(int, stored.kits), *rest.kept_numbers), default=0)


def _lines(batch: Batch, stored: StoredPlan, facts: Sequence[Facts]) -> Iterator[BatchLine]:
    """The batch's lines, each with the gowns still to be planned."""
    left: Counter[LineKey] = Counter()
    for each in (*facts, *stored.document["refused"]):
        left[_line_key(each)] += each["gown_count"]
    for line in lines_to_make(batch):
        line.gown_count = left[line.design_revision_id, line.size_id, line.purpose]
        if line.gown_count:
            yield line


def _line_key(facts: Facts) -> LineKey:
    return facts.get("revision_id", 0), facts["size_id"], facts["purpose"]


def _deal(makeable: Sequence[Makeable], facts: Sequence[Facts], *, first_new: int) -> Dealt:
    """The same kits under their old numbers; gowns of lines that could not be made before get new ones."""
    sources = {
        (each.line.design_revision_id, each.line.size_id, each.line.purpose): each for each in makeable
    }
    kits = []
    for each in facts:
        source = sources.get(_line_key(each))
        if source is not None:
            source.left -= each["gown_count"]
            kits.append(
                order_kit(
                    int(each["key"]),
                    source=source,
                    gown_count=each["gown_count"],
                    set_key=each["set_key"],
                    request_line_id=each["request_line_id"],
                )
            )
    numbers = count(first_new)
    for source in makeable:
        kits += [
            order_kit(next(numbers), source=source, gown_count=gown_count, set_key=None, request_line_id=None)
            for gown_count in shares(source)
        ]
    return tuple(kits), ()


def set_free_by(plan: Plan) -> dict[int, int]:
    """What planning the rest of a plan sets free of each lot: cloth of its uncut lays, things of their kits."""
    freed: Counter[int] = Counter()
    for row in Reservation.objects.filter(lay__in=uncut_lays(plan)):
        freed[row.lot_id] += row.open_amount
    held = {row.lot_id: row.open_amount for row in plan.reservations.filter(lay__isnull=True)}
    lines = KitLine.objects.filter(kit__in=uncut_kits(plan), lot__isnull=False, amount__gt=0)
    wanted = lines.exclude(kind=MaterialKind.CLOTH).order_by().values_list("lot_id")
    for lot_id, total in wanted.annotate(total=Sum("amount")):
        freed[lot_id] += min(total, held.get(lot_id, 0))
    return dict(freed)
