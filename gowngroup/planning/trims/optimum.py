"""The best cutting there is, with the proof: quick fillings first, then patterns stage by stage."""

from __future__ import annotations

from collections.abc import Sequence

from gowngroup.planning.trims.filling import best_filling, budgets
from gowngroup.planning.trims.left_overs import all_left_overs
from gowngroup.planning.trims.model import USELESS, PatternModel
from gowngroup.planning.trims.problem import Cutting, Problem, score_of
from gowngroup.planning.trims.refilling import refilled
from gowngroup.planning.trims.values import TrimScore

STAGE_COUNT = 5
# Looks at two supplies for the least waste, where a few of them have not found what wastes nothing.
MANY_LOOKS_A_PIECE = 22


def best_cutting(problem: Problem, begun: Cutting) -> tuple[Cutting, TrimScore]:
    """The best cutting found, never worse than the one begun with, and the bound no cutting can beat."""
    best = best_filling(problem, begun)
    score = score_of(best, problem)
    if score == (easy := easy_bound(problem, score)):
        return best, easy
    model = PatternModel(problem, best)
    kept: list[int] = []
    while len(kept) < STAGE_COUNT:
        is_last = len(kept) == USELESS
        best, bound = _least_wasted(problem, best, kept) if is_last else _settled(model, best, kept)
        kept.append(bound)
        if bound < score_of(best, problem).order[len(kept) - 1]:
            break
    return best, _score(kept)


def _least_wasted(problem: Problem, begun: Cutting, kept: Sequence[int]) -> tuple[Cutting, int]:
    """The cutting that wastes least, and a bound: the least bound of those with so many useful left-overs, each alone."""
    best = refilled(begun, problem, looks_a_piece=MANY_LOOKS_A_PIECE)
    bounds = [score_of(best, problem).useless_cm]
    ways = all_left_overs(problem, missing_mm=kept[1], cards_opened=kept[2], supplies_cut=kept[3])
    for left_overs in ways if bounds[0] else ():
        best, bound = _settled(PatternModel(problem, best, left_overs), best, kept)
        bounds.append(bound)
    return best, min(*bounds, score_of(best, problem).useless_cm)


def _settled(model: PatternModel, best: Cutting, kept: Sequence[int]) -> tuple[Cutting, int]:
    """The best cutting in the next stage and its bound; the two agree where it is proven."""
    stage = len(kept)
    value = score_of(best, model.problem).order[stage]
    bound = model.least(kept) if value else 0
    searches = [model.better, model.widened]
    while value > bound and searches:
        found, is_impossible = searches[0](kept, value)
        if is_impossible:
            return best, value
        if found is None:
            searches.pop(0)
            continue
        best = refilled(found, model.problem)
        value = score_of(best, model.problem).order[stage]
    return best, min(bound, value)


def _score(kept: Sequence[int]) -> TrimScore:
    values = [*kept, *[0] * (STAGE_COUNT - len(kept))]
    return TrimScore(
        missing_count=values[0],
        missing_mm=values[1],
        cards_opened=values[2],
        supplies_cut=values[3],
        useless_cm=values[4],
    )


def easy_bound(problem: Problem, score: TrimScore) -> TrimScore:
    """What the lengths pooled would need, where everything is cut: fewer supplies are too short in all."""
    if score.missing_count:
        return _score(())
    cards, supplies = next(budgets(problem, score))
    return _score((0, 0, cards, supplies))
