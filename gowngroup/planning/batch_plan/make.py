"""The whole plan of a batch, made in one go from one order."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import chain
from typing import Literal

from gowngroup.planning.allocation import Allocation, allocate, allocate_best
from gowngroup.planning.batch_plan.cloth import bias_squares, kit_cloth
from gowngroup.planning.batch_plan.floss import floss_plans
from gowngroup.planning.batch_plan.order import BatchKit, BatchOrder, memorial_first
from gowngroup.planning.batch_plan.plan import FORMAT_VERSION, BatchPlan, PlannedKit
from gowngroup.planning.batch_plan.shopping import batch_shopping
from gowngroup.planning.batch_plan.sundries import notion_plans, thread_plans
from gowngroup.planning.batch_plan.trims import trim_plans
from gowngroup.planning.batch_plan.way import engine_for
from gowngroup.planning.lay.engines import ENGINES, fitters_of
from gowngroup.planning.lay.values import LayEngine

AllocationWay = Literal["quick", "best"]
_ALLOCATIONS = {"quick": allocate, "best": allocate_best}


def plan_batch(
    order: BatchOrder, *, engines: Sequence[LayEngine] = ENGINES, allocation: AllocationWay = "quick"
) -> BatchPlan:
    """Plan a batch: cloth and lays first, then trims, floss, thread and notions for the kits that can be cut.

    The same order always gives the same plan. `allocation` deals kits to lots quickly one after another, or best, by
    integer programme. What is cut stays cut: plan only the kits still uncut, on what is left of each lot. Lengths in mm, minutes as usual for one worker. A kit without cloth is
    listed as unmade with its reason, and the shopping list names cloth for it and whatever else it will lack.
    Raises ValueError where two kits share a key, a key holds a slash or a kit makes no gown; BadCloth,
    naming the kit or lot, where a figure or outline is none; LayHasFaults where an engine errs.
    Source of every figure: the group's own figures in `order.rules`.
    """
    _refuse_bad_kits(order.kits)
    squares = {kit.key: bias_squares(kit, order.rules.trims) for kit in order.kits}
    cloths = [kit_cloth(kit, squares[kit.key]) for kit in order.kits]
    fitters = fitters_of(engines)
    way_of = {engine: engine_for(order.cutting_way, engine) for engine in (*engines, *fitters)}
    cutting = _ALLOCATIONS[allocation](
        cloths,
        order.lots,
        order.rules.cutting,
        engines=[way_of[engine] for engine in engines],
        fitters=[way_of[engine] for engine in fitters],
    )
    lot_keys = {key: cut.lot_key for cut in cutting.cuts for key in cut.kit_keys}
    kits = memorial_first(kit for kit in order.kits if kit.key in lot_keys)
    trims = trim_plans(kits, order.trims)
    floss = floss_plans(kits, order.skeins, order.rules.floss)
    thread = thread_plans(kits, order.spools)
    notions = notion_plans(kits, order.notions)
    return BatchPlan(
        format_version=FORMAT_VERSION,
        engines=_engines(cutting),
        kits=tuple(_planned(kit, lot_keys.get(kit.key)) for kit in order.kits),
        cuts=cutting.cuts,
        moves=cutting.moves,
        unmade=cutting.unmade,
        bias=tuple(chain.from_iterable(squares[kit.key] for kit in kits)),
        trims=trims,
        floss=floss,
        thread=thread,
        notions=notions,
        shortages=batch_shopping(order, cloths=cloths, unmade=cutting.unmade, trims=trims),
        minutes=sum(kit.minutes_per_gown * kit.gown_count for kit in kits),
        proven_gap_share=cutting.proven_gap_share,
        least_lot_count=cutting.least_lot_count,
        cutting_way=order.cutting_way,
    )


def _refuse_bad_kits(kits: Sequence[BatchKit]) -> None:
    if len({kit.key for kit in kits}) != len(kits):
        raise ValueError("two kits of the batch have the same key")
    for kit in kits:
        if "/" in kit.key:
            raise ValueError(f"kit key {kit.key} holds a slash, which parts the names of its pieces")
        if kit.gown_count < 1 or not kit.pieces:
            raise ValueError(f"kit {kit.key} makes no gown: give it at least one gown and its pieces")


def _planned(kit: BatchKit, lot_key: str | None) -> PlannedKit:
    return PlannedKit(
        key=kit.key,
        design_key=kit.design_key,
        size_name=kit.size_name,
        purpose=kit.purpose,
        gown_count=kit.gown_count,
        matched_set_key=kit.matched_set_key,
        lot_key=lot_key,
        minutes=kit.minutes_per_gown * kit.gown_count,
    )


def _engines(cutting: Allocation) -> tuple[str, ...]:
    return tuple(sorted({cut.lay.engine for cut in cutting.cuts}))
