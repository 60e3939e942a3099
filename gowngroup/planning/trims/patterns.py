"""Every way to cut one supply, where they can be counted out; else the best ones for given worths."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from gowngroup.planning.trims.left_overs import Floats, LeftOvers
from gowngroup.planning.trims.problem import Pattern, Problem

# More ways than this are not written out: the best are then found one by one.
MOST_PATTERNS = 600
_SAME = 1e-7


def all_patterns(problem: Problem, supplies: Sequence[int]) -> tuple[Pattern, ...] | None:
    """Every filling of these supplies that is not empty; None where there are too many to write out."""
    found: list[Pattern] = []
    for supply in supplies:
        for counts in _fillings(problem, problem.supplies[supply], 0):
            if any(counts):
                found.append(Pattern(supply=supply, counts=counts))
            if len(found) > MOST_PATTERNS:
                return None
    return tuple(found)


def _fillings(problem: Problem, room: int, place: int) -> Iterator[tuple[int, ...]]:
    if place == len(problem.lengths):
        yield ()
        return
    length = problem.lengths[place]
    for count in range(min(problem.wanted[place], room // length), -1, -1):
        for rest in _fillings(problem, room - count * length, place + 1):
            yield (count, *rest)


@dataclass(frozen=True, slots=True, kw_only=True)
class Worths:
    """What each length is worth, and what opening each supply, a useless centimetre and a useful left-over cost."""

    lengths: tuple[float, ...]
    supplies: Mapping[int, float]
    useless_cm: float
    useful: float = 0.0

    def left_over_costs(self, problem: Problem, left_overs: LeftOvers, room: int) -> Floats:
        """What every left-over up to a room costs."""
        left = np.arange(room + 1)
        return left_overs.costs(problem, left, useless_cm=self.useless_cm, useful=self.useful)


def best_patterns(problem: Problem, worths: Worths, left_overs: LeftOvers) -> list[Pattern]:
    """For each supply that has a cost the pattern worth most beyond it, where one is worth more.

    One table of exact fillings serves all supplies (bounded knapsack, textbook dynamic programming).
    """
    items = _items(problem, worths)
    longest = max(problem.supplies[supply] for supply in worths.supplies)
    tables, left_costs = (
        _tables(problem, items, longest),
        worths.left_over_costs(problem, left_overs, longest),
    )
    found = []
    for supply, cost in worths.supplies.items():
        room = problem.supplies[supply]
        worth = tables[-1][: room + 1] - left_costs[room::-1]
        worth[0] = -np.inf
        filled = int(np.argmax(worth))
        if float(worth[filled]) > cost + _SAME:
            found.append(Pattern(supply=supply, counts=_counts(problem, items, tables, filled)))
    return found


Item = tuple[int, int, float]


def _items(problem: Problem, worths: Worths) -> list[Item]:
    """Place, how many at once and their worth: 7 of a length are offered as 1, 2 and 4."""
    items = []
    for place, worth in enumerate(worths.lengths):
        left, at_once = problem.wanted[place], 1
        while left and (worth > _SAME or worths.useless_cm):
            count = min(at_once, left)
            items.append((place, count, worth * count))
            left, at_once = left - count, at_once * 2
    return items


def _tables(problem: Problem, items: Sequence[Item], room: int) -> list[Floats]:
    """The worth of every exact filling, after no item, the first, the first two …"""
    worth = np.full(room + 1, -np.inf)
    worth[0] = 0.0
    tables = [worth]
    for place, count, gain in items:
        taken, worth = problem.lengths[place] * count, worth.copy()
        if taken <= room:
            np.maximum(worth[taken:], tables[-1][: room + 1 - taken] + gain, out=worth[taken:])
        tables.append(worth)
    return tables


def _counts(
    problem: Problem, items: Sequence[Item], tables: Sequence[Floats], filled: int
) -> tuple[int, ...]:
    counts = [0] * len(problem.lengths)
    for (place, count, _), before, after in zip(items[::-1], tables[-2::-1], tables[:0:-1], strict=True):
        if after[filled] > before[filled]:
            counts[place] += count
            filled -= problem.lengths[place] * count
    return tuple(counts)
