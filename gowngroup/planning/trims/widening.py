"""The patterns a better cutting could hold, where they can be written out."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from gowngroup.planning.trims.left_overs import Floats, LeftOvers
from gowngroup.planning.trims.patterns import Worths
from gowngroup.planning.trims.problem import Pattern, Problem

# More patterns than these are too many for a search to come to its end.
MOST_FITTING = 3000
_NEARLY = 1e-4


@dataclass(frozen=True, slots=True, kw_only=True)
class _Walk:
    """Worths, and what the lengths from each place on can still bring in a room of so many millimetres."""

    problem: Problem
    worths: Worths
    gains: Sequence[Floats]

    def counts(self, place: int, room: int, still: float) -> list[int]:
        """How many of a length may be cut into this room so that what is still wanted can be reached."""
        length, worth = self.problem.lengths[place], self.worths.lengths[place]
        most = min(self.problem.wanted[place], room // length)
        ahead = self.gains[place + 1]
        return [count for count in range(most + 1) if count * worth + ahead[room - count * length] >= still]


def fitting_patterns(
    problem: Problem, worths: Worths, left_overs: LeftOvers, *, slack: float
) -> tuple[Pattern, ...] | None:
    """Every pattern that costs at most `slack` more than it is worth; None where there are too many.

    A cutting with these left-overs that comes to no more than the relaxed programme's value and `slack` holds no other
    pattern (reduced cost fixing, textbook method), so that a search among these alone proves what it finds.
    """
    walk = _Walk(problem=problem, worths=worths, gains=_gains(problem, worths, left_overs))
    found: list[Pattern] = []
    for supply, cost in worths.supplies.items():
        for counts in _all_counts(walk, 0, problem.supplies[supply], cost - slack - _NEARLY):
            found.append(Pattern(supply=supply, counts=counts))
            if len(found) > MOST_FITTING:
                return None
    return tuple(pattern for pattern in found if any(pattern.counts))


def _gains(problem: Problem, worths: Worths, left_overs: LeftOvers) -> list[Floats]:
    """For every room the most that the lengths from a place on bring, less what the left-over costs."""
    room = max(problem.supplies[supply] for supply in worths.supplies)
    gains: list[Floats] = [-worths.left_over_costs(problem, left_overs, room)]
    for length, wanted, worth in reversed(
        list(zip(problem.lengths, problem.wanted, worths.lengths, strict=True))
    ):
        ahead, best = gains[0], gains[0].copy()
        for count in range(1, min(wanted, room // length) + 1):
            taken = count * length
            np.maximum(best[taken:], ahead[: room + 1 - taken] + count * worth, out=best[taken:])
        gains.insert(0, best)
    return gains


def _all_counts(walk: _Walk, place: int, room: int, still: float) -> Iterator[tuple[int, ...]]:
    if place == len(walk.problem.lengths):
        yield ()
        return
    length, worth = walk.problem.lengths[place], walk.worths.lengths[place]
    for count in walk.counts(place, room, still):
        for rest in _all_counts(walk, place + 1, room - count * length, still - count * worth):
            yield (count, *rest)
