"""How soon a batch has a plan she can cut from, and how much better plans become after it."""

import math
import os
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import partial
from itertools import accumulate
from typing import Any, Self, TypeVar

from django.conf import settings

from gowngroup.batches.models import Batch
from gowngroup.batches.planner.order import prepared
from gowngroup.planning.allocation import ClothLot
from gowngroup.planning.batch_plan import BatchOrder
from gowngroup.planning.batch_plan.improve import PlanFigures, improving_plans
from gowngroup.planning.batch_plan.order import StockLength
from gowngroup.planning.lay.engines import lay_best

GOWNS = 100
Supply = TypeVar("Supply", ClothLot, StockLength)

Say = Callable[[str], Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Spent:
    """Seconds of the processor, those of ended children among them, and seconds on the clock."""

    cpu_s: float
    clock_s: float

    @classmethod
    def so_far(cls) -> Self:
        return cls(cpu_s=sum(os.times()[:4]), clock_s=time.perf_counter())

    def since(self, before: Self) -> Self:
        return replace(self, cpu_s=self.cpu_s - before.cpu_s, clock_s=self.clock_s - before.clock_s)


def plan_section(say: Say) -> None:
    """Seconds to the first plan of this database's newest batch, and of a hundred gowns like it, beside the best plan."""
    batch = Batch.objects.filter(lines__isnull=False).order_by("-month", "-number").first()
    if batch is None:
        say("There is no batch with gowns in it yet: run the demo once, then this again.")
        return
    before = _Spent.so_far()
    order = prepared(batch).order
    reading = _Spent.so_far().since(before)
    say(f"Plans of the newest batch, {batch}, and of {GOWNS} gowns like it on a shelf as much fuller")
    say(
        f"Batch and shelf are read in {reading.cpu_s:.2f} s of the processor, {reading.clock_s:.2f} s on the clock"
    )
    say(
        "gowns  lots on shelf  plan after   CPU s  on clock  gowns made  lots cut  cloth m  clock to first  cloth to first"
    )
    for each in (order, grown(order, GOWNS)):
        _say_steps(say, each)


def _say_steps(say: Say, order: BatchOrder) -> None:
    """A line for the first plan, for each way of planning the whole, and for the last lay improved."""
    gown_count = sum(kit.gown_count for kit in order.kits)
    nest = partial(lay_best, seconds=settings.NESTING_SECONDS) if settings.NESTING_SECONDS else None
    start = _Spent.so_far()
    found: dict[str, tuple[_Spent, PlanFigures]] = {}
    for better in improving_plans(order, nest=nest):
        found[better.step.code] = _Spent.so_far().since(start), better.after
    first_spent, first = found["first"]
    for code, (spent, figures) in found.items():
        say(
            f"{gown_count:5} {len(order.lots):14}  {code:10} {spent.cpu_s:7.2f} {spent.clock_s:9.2f} {figures.gown_count:11}"
            f" {figures.lot_count:9} {figures.cloth_mm / 1000:8.2f} {spent.clock_s / first_spent.clock_s:15.1f}"
            f" {figures.cloth_mm / first.cloth_mm:15.3f}"
        )


def grown(order: BatchOrder, gown_count: int) -> BatchOrder:
    """So many gowns like those of an order, no sets among them, and a shelf with as many more of everything on it."""
    times = range(math.ceil(gown_count / sum(kit.gown_count for kit in order.kits)))
    kits = [replace(kit, matched_set_key=None) for _ in times for kit in order.kits]
    reached = accumulate(kit.gown_count for kit in kits)
    enough = [kit for kit, so_far in zip(kits, reached, strict=True) if so_far <= gown_count]
    return replace(
        order,
        kits=tuple(replace(kit, key=str(number)) for number, kit in enumerate(enough, start=1)),
        lots=_as_many(order.lots, times),
        trims=_as_many(order.trims, times),
        skeins=_as_many(order.skeins, times),
        spools=_as_many(order.spools, times),
    )


def _as_many(lots: Sequence[Supply], times: Sequence[int]) -> tuple[Supply, ...]:
    return tuple(replace(lot, key=f"{number}.{lot.key}") for number in times for lot in lots)
