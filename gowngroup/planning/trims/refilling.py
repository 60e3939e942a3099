"""A cutting made better by sharing the pieces of two supplies out anew, again and again."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

import numpy as np

from gowngroup.planning.chance import Chance
from gowngroup.planning.trims.problem import SNIP_MM, Cutting, Problem, cutting_of, missing_of, score_of
from gowngroup.planning.trims.sums import Ints, sums_between, sums_reached, taken_for

Contents = dict[int, list[int]]

# A budget in looks at two supplies rather than seconds, so that the same pieces always give the same cutting.
LOOKS_A_PIECE = 2
# How often a supply not cut yet is tried in place of one that wastes.
_UNUSED_SHARE = 0.15


def refilled(cutting: Cutting, problem: Problem, *, looks_a_piece: int = LOOKS_A_PIECE) -> Cutting:
    """The same supplies or as many, with fewer missing pieces and less useless left-over where two can share better.

    Ways that waste as much are taken, too, so that from there better ones come into sight; at first left-overs that
    are nearly useful count less, so that they gather. Source: local search that walks over plateaus, textbook method.
    """
    contents = {pattern.supply: _listed(pattern.counts, problem.lengths) for pattern in cutting}
    for length in _listed(missing_of(cutting, problem), problem.lengths):
        _take_in(contents, problem, length)
    begun = cutting_of(contents, problem)
    for is_hopeful in (True, False):
        walk = _Walk(problem, contents, is_hopeful=is_hopeful)
        walk.go(looks_a_piece * sum(problem.wanted) // 2)
    walked = cutting_of(contents, problem)
    return min(begun, walked, key=lambda each: score_of(each, problem).order)


def _listed(counts: Sequence[int], lengths: Sequence[int]) -> list[int]:
    return [length for length, count in zip(lengths, counts, strict=True) for _ in range(count)]


def _take_in(contents: Contents, problem: Problem, length: int) -> None:
    """Find room for a missing piece in two supplies together, if there is."""
    for first, second in combinations(sorted(contents), 2):
        pieces = sorted([*contents[first], *contents[second], length])
        total, room = sum(pieces), problem.supplies[first]
        least, greatest = max(total - problem.supplies[second], 0), min(room, total)
        reached = sums_reached(pieces, room)
        sums = sums_between(reached[-1], least, greatest).tolist() if least <= greatest else []
        if sums:
            contents[first], contents[second] = taken_for(pieces, reached, sums[0])
            return


class _Walk:
    """The pieces of each supply while they are being shared out anew, and what each of them wastes."""

    def __init__(self, problem: Problem, contents: Contents, *, is_hopeful: bool) -> None:
        self.problem = problem
        self.contents = contents
        self.is_hopeful = is_hopeful
        self.chance = Chance(1)
        self.wastes: dict[int, int] = {}
        for supply in contents:
            self._weigh(supply)

    def _waste(self, left: Ints) -> Ints:
        """Whole useless centimetres of left-overs; to the hopeful walk no more than they lack to be useful."""
        useless_cm = self.problem.useless_cms(left)
        if not self.is_hopeful:
            return useless_cm
        lacking_cm: Ints = np.maximum(self.problem.shortest_edge - left, 0) // SNIP_MM
        return np.minimum(useless_cm, lacking_cm)

    def _weigh(self, supply: int) -> None:
        self.wastes.pop(supply, None)
        left = np.array([self.problem.supplies[supply] - sum(self.contents[supply])])
        if waste := int(self._waste(left)[0]):
            self.wastes[supply] = waste

    def go(self, most_looks: int) -> None:
        """Look at two supplies so many times, or until nothing is wasted."""
        for _ in range(most_looks if len(self.contents) > 1 else 0):
            if not self.wastes:
                break
            self._look()

    def _look(self) -> None:
        """Share the pieces of a supply that wastes and of any other out anew, at random among the best ways."""
        poor = self._any(list(self.wastes))
        other = self._any([supply for supply in self.contents if supply != poor])
        into = self._any(self._unused(poor) or [poor]) if self.chance.share() < _UNUSED_SHARE else poor
        pieces = sorted(self.contents[poor] + self.contents[other])
        total, room = sum(pieces), self.problem.supplies[into]
        # Each of the two keeps its shortest piece at least.
        least, greatest = max(total - self.problem.supplies[other], pieces[0]), min(room, total - pieces[0])
        if least > greatest:
            return
        reached = sums_reached(pieces, room)
        sums = sums_between(reached[-1], least, greatest)
        wastes = self._waste(room - sums) + self._waste(self.problem.supplies[other] - total + sums)
        if len(sums) and wastes.min() <= self.wastes[poor] + self.wastes.get(other, 0):
            best = sums[wastes == wastes.min()]
            filled = int(best[self.chance.below(len(best))])
            del self.contents[poor]
            self.wastes.pop(poor)
            self.contents[into], self.contents[other] = taken_for(pieces, reached, filled, self.chance)
            self._weigh(into)
            self._weigh(other)

    def _any(self, supplies: Sequence[int]) -> int:
        return supplies[self.chance.below(len(supplies))]

    def _unused(self, like: int) -> list[int]:
        """Supplies not cut yet, as whole or as opened as another."""
        return [
            supply
            for supply, is_whole in enumerate(self.problem.is_whole)
            if supply not in self.contents and is_whole == self.problem.is_whole[like]
        ]
