"""Fillings of lots that lays have shown to fit, and the best choice of one of them for every lot."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from gowngroup.planning.allocation.patterns import MM2_PER_M2, Pattern, counts_of
from gowngroup.planning.allocation.problem import Counts, Need, Problem
from gowngroup.planning.integer_programme import Programme

# What a first gown, a gown or a lot left unopened is worth, in m² of cloth.
_FIRST_M2, _GOWN_M2, _LOT_M2 = 60.0, 12.0, 4.0
# A choice as near as this, in m², to what none can better is good enough: its lots are put right afterwards.
_NEAR_M2 = 0.5
_MOST_NODES = 10


@dataclass(frozen=True, slots=True, kw_only=True)
class Laid:
    """A pattern a lay of which fits its room, and the cloth it uses up, a useless left-over included."""

    pattern: Pattern
    used_up_mm2: float


def best_choice(problem: Problem, laid: Iterable[Laid]) -> Counts:
    """Counts of the choice, at most one pattern for a room, that makes most gowns from few rooms and little cloth.

    They may hold more groups of a need than there are: those in excess are left off. Raises CannotSolve.
    Source: set packing by integer programme, textbook method.
    """
    programme = Programme(most_nodes=_MOST_NODES)
    by_room: dict[int, dict[int, float]] = defaultdict(dict)
    held: list[dict[int, float]] = [{} for _ in problem.needs]
    gains: dict[int, float] = {}
    patterns: list[tuple[Pattern, int]] = []
    for each in laid:
        is_chosen = programme.variable(most=1)
        patterns.append((each.pattern, is_chosen))
        gains[is_chosen] = -_LOT_M2 - each.used_up_mm2 / MM2_PER_M2
        by_room[each.pattern.room][is_chosen] = 1.0
        for number, count in each.pattern.groups:
            held[number][is_chosen] = float(count)
    for need, terms in zip(problem.needs, held, strict=True):
        made = programme.variable(most=need.count, is_whole=False)
        gains[made] = _gain_m2(need)
        programme.row({**terms, made: -1.0}, least=0.0)
    for terms in by_room.values():
        programme.row(terms, most=1.0)
    chosen = programme.maximise(gains, gap=_NEAR_M2).values
    return counts_of([pattern for pattern, is_chosen in patterns if round(chosen[is_chosen])], problem)


def _gain_m2(need: Need) -> float:
    return need.gown_count * (_GOWN_M2 + _FIRST_M2 * need.is_first)
