"""Which left-overs a cutting may have, once it is settled how many supplies it cuts."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import inf

import numpy as np
import numpy.typing as npt

from gowngroup.planning.trims.filling import longest_supplies
from gowngroup.planning.trims.problem import Problem

# Where more left-overs than these can be useful, it is not asked how many are.
MOST_USEFUL = 3

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]
Supplies = frozenset[int]


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOvers:
    """Left-overs of a cutting: together at most `spare_mm`, `useful_count` of them useful (None: any number).

    A supply that is cut in every such cutting stands in `must_cut`, one that is cut in none in `never_cut`.
    """

    shortest_edge: int
    spare_mm: float = inf
    useful_count: int | None = None
    must_cut: frozenset[int] = frozenset()
    never_cut: frozenset[int] = frozenset()

    @property
    def most_useless(self) -> float:
        """The longest left-over there may be that is useless."""
        return self.spare_mm - (self.useful_count or 0) * self.shortest_edge

    @property
    def most_useful(self) -> float:
        """The longest left-over there may be that is useful; less than the shortest edge where none may be."""
        if self.useful_count is None:
            return self.spare_mm
        return self.spare_mm - (self.useful_count - 1) * self.shortest_edge if self.useful_count else -1.0

    def is_possible(self, left: int) -> bool:
        """May there be this left-over?"""
        return left <= (self.most_useful if left >= self.shortest_edge else self.most_useless)

    def is_counted(self, left: int) -> bool:
        """Is this a left-over of which there may be only so many?"""
        return self.useful_count is not None and left >= self.shortest_edge

    def costs(self, problem: Problem, left: Ints, *, useless_cm: float, useful: float) -> Floats:
        """What left-overs in mm cost, endlessly much those that there may not be."""
        is_useful = left >= self.shortest_edge
        costs = problem.useless_cms(left) * useless_cm + is_useful * useful
        most = np.where(is_useful, self.most_useful, self.most_useless)
        return np.asarray(np.where(left <= most, costs, inf), dtype=np.float64)


def all_left_overs(
    problem: Problem, *, missing_mm: int, cards_opened: int, supplies_cut: int
) -> Iterator[LeftOvers]:
    """All the left-overs a cutting may have that misses, opens and cuts just so much, by how many are useful.

    Each of these alone is bounded much better than all together, for it says how much one supply may leave. Those with
    the most useful left-overs come first: they are likelier to waste nothing.
    """
    wanted_mm = sum(length * count for length, count in zip(problem.lengths, problem.wanted, strict=True))
    longest = frozenset(longest_supplies(problem, supplies_cut, cards_opened))
    spare_mm = sum(problem.supplies[supply] for supply in longest) - (wanted_mm - missing_mm)
    must_cut, never_cut = frozenset[int](), frozenset[int]()
    for is_whole in (False, True):
        alike = frozenset(supply for supply, each in enumerate(problem.is_whole) if each == is_whole)
        must_cut |= _must_cut(problem, alike & longest, alike - longest, spare_mm)
        never_cut |= _never_cut(problem, alike & longest, alike - longest, spare_mm)
    most_useful = spare_mm // problem.shortest_edge
    for useful_count in range(most_useful, -1, -1) if most_useful <= MOST_USEFUL else (None,):
        yield LeftOvers(
            shortest_edge=problem.shortest_edge,
            spare_mm=spare_mm,
            useful_count=useful_count,
            must_cut=must_cut,
            never_cut=never_cut,
        )


def _must_cut(problem: Problem, cut: Supplies, spared: Supplies, spare_mm: int) -> Supplies:
    """Supplies that no spared one can stand in for without making the rest too short."""
    longest_spared = max((problem.supplies[each] for each in spared), default=-inf)
    return frozenset(each for each in cut if problem.supplies[each] - longest_spared > spare_mm)


def _never_cut(problem: Problem, cut: Supplies, spared: Supplies, spare_mm: int) -> Supplies:
    """Supplies that can stand in for none that is cut."""
    shortest_cut = min((problem.supplies[each] for each in cut), default=inf)
    return frozenset(each for each in spared if shortest_cut - problem.supplies[each] > spare_mm)
