"""A first plan at once, then only better ones; what is not checked and shorter is not taken."""

from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from itertools import pairwise

from gowngroup.planning.allocation import LotCut
from gowngroup.planning.batch_plan import BatchOrder, BatchPlan, plan_batch
from gowngroup.planning.batch_plan.improve import FIRST, Improvement, PlanStep, improving_plans, worth
from gowngroup.planning.lay.check import lay_faults
from gowngroup.planning.lay.engines import QUICK_ENGINES, lay_sequence
from gowngroup.planning.lay.values import ClothLay, ClothTooShort, LayPiece, Strip, finished_lay
from tests.planning.test_batch_plan import LOT, RULES, full_order, kit

LAYS_DONE = ("lays:", "allocation:")


def few_gowns() -> BatchOrder:
    """Two kits of whole gowns."""
    order = full_order()
    return replace(order, kits=order.kits[:2])


def cut_of(plan: BatchPlan, lot_key: str) -> LotCut:
    return next(cut for cut in plan.cuts if cut.lot_key == lot_key)


def last_of(found: Sequence[Improvement]) -> BatchPlan:
    return found[-1].plan


@cache
def whole() -> tuple[Improvement, ...]:
    """The whole search for few gowns, made once for all who ask."""
    return tuple(improving_plans(few_gowns(), nest=lay_sequence))


def test_the_first_plan_is_the_quick_one() -> None:
    """The first answer is the plan of the quick engines, with nothing before it."""
    first = next(improving_plans(few_gowns()))
    assert first.plan == plan_batch(few_gowns(), engines=QUICK_ENGINES)
    assert (first.step, first.is_better, first.before) == (FIRST, True, None)


def test_no_step_makes_it_worse() -> None:
    """From step to step the best plan is at least as good, and better wherever the step says so."""
    found = whole()
    assert len(found) > 2
    for earlier, later in pairwise(found):
        assert worth(later.plan) <= worth(earlier.plan)
        assert later.is_better == (later.plan != earlier.plan)
        assert later.before == earlier.after


def test_steps_are_counted_to_the_end() -> None:
    """Positions go up one by one to the number of steps told; without nesting to three."""
    found = whole()
    assert [each.position for each in found] == list(range(1, found[-1].step_count + 1))
    assert {each.step_count for each in found[2:]} == {found[-1].step_count}
    assert [(each.position, each.step_count) for each in improving_plans(few_gowns())][-1] == (3, 3)


def test_a_shorter_checked_lay_is_taken() -> None:
    """A lay of the same kits that is truly shorter takes the place of the lot's lay, and the gain is told."""
    quick, *others = improving_plans(full_order(), nest=lay_sequence, done=LAYS_DONE)
    nested = next(each for each in others if each.is_better)
    before, cut = (cut_of(each.plan, nested.step.lot_key) for each in (quick, nested))
    assert cut.lay.length_mm < before.lay.length_mm
    assert cut.left_mm == before.left_mm + before.lay.length_mm - cut.lay.length_mm
    assert [(gain.before_mm, gain.after_mm) for gain in nested.lots] == [
        (before.lay.length_mm, cut.lay.length_mm)
    ]
    assert lay_faults(cut.lay, cut.pieces, cut.strip) == ()
    assert cut.lay.engine in nested.plan.engines


def heaped(pieces: Sequence[LayPiece], strip: Strip) -> ClothLay:
    """An engine gone wrong: every piece in the same corner."""
    lay = lay_sequence(pieces, strip)
    places = tuple(replace(place, x_mm=0.0, y_mm=0.0) for place in lay.placements)
    return replace(lay, placements=places, length_mm=lay.length_mm / 2)


def beaten(pieces: Sequence[LayPiece], strip: Strip) -> ClothLay:
    """An engine that finds no room."""
    raise ClothTooShort(needed_mm=9999, available_mm=strip.length_mm)


def wasteful(pieces: Sequence[LayPiece], strip: Strip) -> ClothLay:
    """An engine whose lay may be cut and takes more cloth than it must."""
    lay = lay_sequence(pieces, strip)
    return finished_lay(pieces, strip, lay.placements, end_mm=lay.length_mm + 50, engine="wasteful")


def test_a_faulty_or_longer_lay_is_not_taken() -> None:
    """What overlaps, or does not fit, leaves the plan as it was."""
    for engine in (heaped, beaten, wasteful):
        first, *others = improving_plans(few_gowns(), nest=engine, done=LAYS_DONE)
        assert others
        assert not any(each.is_better for each in others)
        assert last_of(others) == first.plan


def test_cloth_used_up_to_the_bound_is_left_alone() -> None:
    """A lay as short as its pieces' area allows is not tried again."""
    strip_wide = replace(LOT, width_mm=120, selvedge_mm=10)
    order = BatchOrder(kits=(kit("K1"),), rules=RULES, lots=(strip_wide,))
    steps = [each.step.code for each in improving_plans(order, nest=lay_sequence)]
    assert "nest" not in steps


def test_it_stops_when_told() -> None:
    """The search ends before the step it is told not to begin, and the best plan is the last one given."""
    told: list[PlanStep] = []

    def goes_on(step: PlanStep) -> bool:
        told.append(step)
        return len(told) < 2

    found = list(improving_plans(few_gowns(), nest=lay_sequence, goes_on=goes_on))
    assert [each.step for each in found] == [FIRST]
    assert [step.code for step in told][:2] == ["first", "lays"]
    assert list(improving_plans(few_gowns(), goes_on=lambda step: False)) == []
    assert [each.step for each in improving_plans(few_gowns(), done=LAYS_DONE)] == [FIRST]
    stopped = improving_plans(
        full_order(), nest=lay_sequence, done=LAYS_DONE, goes_on=lambda step: step.code != "nest"
    )
    assert [each.step.code for each in stopped][-1] != "nest"


def test_an_interrupted_search_goes_on() -> None:
    """From the stored plan and the steps done, the search comes to the same end as if nothing had happened."""
    found = whole()
    done = [each.step.key for each in found[:3]]
    rest = list(improving_plans(few_gowns(), nest=lay_sequence, start=found[2].plan, done=done))
    assert [(each.step, each.position, each.step_count) for each in rest] == [
        (each.step, each.position, each.step_count) for each in found[3:]
    ]
    assert last_of(rest) == last_of(found)


def test_a_lot_already_tried_is_not_tried_again() -> None:
    """Interrupted between two lots, the search goes on with the second."""
    first, tried, *others = improving_plans(full_order(), nest=wasteful, done=LAYS_DONE)
    done = (*LAYS_DONE, first.step.key, tried.step.key)
    rest = improving_plans(full_order(), nest=wasteful, start=tried.plan, done=done)
    assert [each.step for each in rest] == [each.step for each in others]


def test_nothing_to_cut_ends_after_the_plans() -> None:
    """An order no cloth is there for has no lay to shorten."""
    order = BatchOrder(kits=(kit("K1"),), rules=RULES)
    found = list(improving_plans(order, nest=lay_sequence))
    assert found[-1].after.unmade_count == 1
    assert not any(each.step.code == "nest" for each in found)
