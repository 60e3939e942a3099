"""A usable plan at once, then better ones: tighter lays, another allocation, true outlines lot by lot."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator
from dataclasses import dataclass, replace
from typing import Literal

from gowngroup.planning.allocation.values import LotCut
from gowngroup.planning.batch_plan.make import AllocationWay, plan_batch
from gowngroup.planning.batch_plan.order import BatchOrder
from gowngroup.planning.batch_plan.plan import BatchPlan
from gowngroup.planning.batch_plan.way import engine_for
from gowngroup.planning.lay.check import LayHasFaults
from gowngroup.planning.lay.engines import QUICK_ENGINES, STEADY_ENGINES, shortest_lay
from gowngroup.planning.lay.values import (
    ClothLay,
    ClothTooShort,
    LayEngine,
    least_length_mm,
    rounded_up_mm,
)

StepCode = Literal["first", "lays", "allocation", "nest"]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanStep:
    """One way of making a plan better; `lot_key` where it concerns the lay of one lot."""

    code: StepCode
    lot_key: str = ""

    @property
    def key(self) -> str:
        """The step's name among those already done."""
        return f"{self.code}:{self.lot_key}"


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanFigures:
    """What one plan is measured by against another; cloth in mm of length, all lots together.

    `proven_gap_share` is what of the cloth another sharing out of the kits could save at most, where that is proven;
    `used_up_mm2` the cloth cut and the left-overs too short for anything, 0 in plans stored before it was kept.
    """

    gown_count: int
    unmade_count: int
    lot_count: int
    cloth_mm: float
    proven_gap_share: float | None = None
    used_up_mm2: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class LotGain:
    """A lot whose lay of the same kits came out shorter."""

    lot_key: str
    before_mm: float
    after_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Improvement:
    """What a step came to: the best plan so far, and how it differs from the best before, if it is a better one.

    Step `position` of `step_count`, counted from 1; the first step has nothing before it.
    """

    step: PlanStep
    plan: BatchPlan
    is_better: bool
    before: PlanFigures | None
    after: PlanFigures
    lots: tuple[LotGain, ...]
    position: int
    step_count: int


FIRST = PlanStep(code="first")
WHOLE_STEPS = (FIRST, PlanStep(code="lays"), PlanStep(code="allocation"))


def improving_plans(
    order: BatchOrder,
    *,
    nest: LayEngine | None = None,
    start: BatchPlan | None = None,
    done: Collection[str] = (),
    goes_on: Callable[[PlanStep], bool] = lambda step: True,
) -> Iterator[Improvement]:
    """A first plan within seconds, then what each further step comes to; the best plan so far stands in each.

    Before each step `goes_on` is told what is tried next, and ends the search by answering False. With `start` and
    `done`, the keys of the steps that led to it, an interrupted search goes on. `nest` is the engine for true
    outlines, tried on each lot's own kits, most cloth to gain first; its lay is taken only where it is checked and
    shorter. Where the cloth is cut kit by kit, every step keeps each kit on its own stretch, so that outlines are
    fitted into those of their own kit only. Every other step is deterministic. Raises what `plan_batch` raises.

    One plan is better than another by its memorial gowns, gowns, lots opened, cloth used up with the left-overs too
    short for anything, and cloth used, in this order (common practice, no source).
    """
    search = _Search(order=order, nest=nest, best=start)
    for step in WHOLE_STEPS:
        if step.key not in done:
            if not goes_on(step):
                return
            yield search.whole(step)
    if search.nest is None or search.best is None:
        return
    for position, step in enumerate(nest_steps(search.best), start=len(WHOLE_STEPS) + 1):
        if step.key not in done:
            if not goes_on(step):
                return
            yield search.nested(step, search.nest, search.best, position=position)


def whole_plan(order: BatchOrder, step: PlanStep) -> BatchPlan:
    """The plan of one of the steps that plan everything anew."""
    if step.code == "first":
        return plan_batch(order, engines=QUICK_ENGINES)
    way: AllocationWay = "best" if step.code == "allocation" else "quick"
    return plan_batch(order, engines=STEADY_ENGINES, allocation=way)


class _Search:
    """The best plan so far while better ones are looked for."""

    def __init__(self, *, order: BatchOrder, nest: LayEngine | None, best: BatchPlan | None) -> None:
        self.order = order
        self.best = best
        self.nest = engine_for(order.cutting_way, nest) if nest else None
        self.step_count = self._steps_to(best) if best else 0

    def _steps_to(self, best: BatchPlan) -> int:
        """How many steps lead from nothing to the end, as far as the best plan so far tells."""
        return len(WHOLE_STEPS) + (len(nest_steps(best)) if self.nest else 0)

    def whole(self, step: PlanStep) -> Improvement:
        plan = whole_plan(self.order, step)
        return self._improvement(step, plan, position=WHOLE_STEPS.index(step) + 1)

    def nested(self, step: PlanStep, engine: LayEngine, best: BatchPlan, *, position: int) -> Improvement:
        cut = next(each for each in best.cuts if each.lot_key == step.lot_key)
        lay = self._nested_lay(cut, engine)
        plan = best if lay is None else with_lay(best, cut, lay, self.order)
        return self._improvement(step, plan, position=position)

    def _nested_lay(self, cut: LotCut, engine: LayEngine) -> ClothLay | None:
        """The engine's lay of a lot's own pieces; None where it finds none that may be cut."""
        tolerance_mm = self.order.rules.cutting.tolerance_mm
        try:
            return shortest_lay(cut.pieces, cut.strip, engines=(engine,), tolerance_mm=tolerance_mm)
        except (ClothTooShort, LayHasFaults):
            return None

    def _improvement(self, step: PlanStep, plan: BatchPlan, *, position: int) -> Improvement:
        before = self.best
        is_better = before is None or _rank(plan) < _rank(before)
        self.best = plan if is_better or before is None else before
        if step in WHOLE_STEPS:
            self.step_count = self._steps_to(self.best)
        return Improvement(
            step=step,
            plan=self.best,
            is_better=is_better,
            before=figures_of(before) if before else None,
            after=figures_of(self.best),
            lots=_lot_gains(before, self.best) if before else (),
            position=position,
            step_count=self.step_count,
        )


def nest_steps(plan: BatchPlan) -> list[PlanStep]:
    """The lots whose lay leaves cloth to be gained, most of it first."""
    gains = [(_greatest_gain_mm2(cut), cut.lot_key) for cut in plan.cuts]
    gains.sort(key=lambda gain: (-gain[0], gain[1]))
    return [PlanStep(code="nest", lot_key=key) for gain_mm2, key in gains if gain_mm2 > 0]


def _greatest_gain_mm2(cut: LotCut) -> float:
    """Cloth a lay could save at most: nothing where it is as short as its pieces' area allows."""
    least_mm = least_length_mm(cut.pieces, cut.strip.usable_width_mm)
    bound_mm = rounded_up_mm(least_mm, cut.strip.length_step_mm)
    return max(cut.lay.length_mm - bound_mm, 0.0) * cut.strip.usable_width_mm


def with_lay(plan: BatchPlan, cut: LotCut, lay: ClothLay, order: BatchOrder) -> BatchPlan:
    """The plan with another lay of the same pieces on one of its lots; all lengths in mm."""
    left_mm = cut.strip.length_mm - lay.length_mm
    shorter = replace(
        cut, lay=lay, left_mm=left_mm, is_left_useful=left_mm >= order.rules.cutting.least_left_mm
    )
    cuts = tuple(shorter if each is cut else each for each in plan.cuts)
    return replace(plan, cuts=cuts, engines=tuple(sorted({each.lay.engine for each in cuts})))


def worth(plan: BatchPlan) -> tuple[int, int, int, int, int]:
    """What plans are compared by, the better one less: gowns not made, lots opened, and cloth in mm²."""
    unmade = [kit for kit in plan.kits if kit.lot_key is None]
    return (
        sum(kit.gown_count for kit in unmade if kit.purpose == "memorial"),
        sum(kit.gown_count for kit in unmade),
        len(plan.cuts),
        round(_used_up_mm2(plan)),
        round(sum(cut.lay.length_mm * cut.strip.usable_width_mm for cut in plan.cuts)),
    )


def _used_up_mm2(plan: BatchPlan) -> float:
    """Cloth cut, and what is left over but too short for anything."""
    lengths = ((cut, cut.lay.length_mm + (0 if cut.is_left_useful else cut.left_mm)) for cut in plan.cuts)
    return sum(length_mm * cut.strip.usable_width_mm for cut, length_mm in lengths)


def _rank(plan: BatchPlan) -> tuple[tuple[int, int, int, int, int], bool]:
    """Of two plans worth the same, the one whose sharing out is proven is better."""
    return worth(plan), plan.proven_gap_share is None


def figures_of(plan: BatchPlan) -> PlanFigures:
    """A plan's gowns, lots and cloth."""
    unmade_count = sum(kit.gown_count for kit in plan.kits if kit.lot_key is None)
    return PlanFigures(
        gown_count=sum(kit.gown_count for kit in plan.kits) - unmade_count,
        unmade_count=unmade_count,
        lot_count=len(plan.cuts),
        cloth_mm=sum(cut.lay.length_mm for cut in plan.cuts),
        proven_gap_share=plan.proven_gap_share,
        used_up_mm2=_used_up_mm2(plan),
    )


def _lot_gains(before: BatchPlan, after: BatchPlan) -> tuple[LotGain, ...]:
    """Lots that hold the same kits in both plans and need less cloth in the second."""
    held = {cut.lot_key: cut for cut in before.cuts}
    return tuple(
        LotGain(lot_key=cut.lot_key, before_mm=held[cut.lot_key].lay.length_mm, after_mm=cut.lay.length_mm)
        for cut in after.cuts
        if cut.lot_key in held
        and held[cut.lot_key].kit_keys == cut.kit_keys
        and cut.lay.length_mm < held[cut.lot_key].lay.length_mm
    )
