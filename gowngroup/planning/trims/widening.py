"""The patterns a better cutting could hold: all of them where they can be written out, else some of the best."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from gowngroup.planning.trims.patterns import Floats, Worths
from gowngroup.planning.trims.problem import Pattern, Problem

# More patterns than these are too many for a search to come to its end.
MOST_FITTING = 8000
# So many of the best are tried of each supply where they are too many, found in this many attempts each.
SOME_EACH, ATTEMPTS_EACH = 20, 3
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
    problem: Problem, worths: Worths, *, slack: float, most_left: float
) -> tuple[Pattern, ...] | None:
    """Every pattern that costs at most `slack` more than it is worth; None where there are too many.

    Patterns that leave more than `most_left` mm of their supply are left out. A cutting that comes to no more than the relaxed programme's value and `slack` holds no other pattern (reduced
    cost fixing, textbook method), so that a search among these alone proves what it finds.
    """
    walk = _Walk(problem=problem, worths=worths, gains=_gains(problem, worths, most_left=most_left))
    found: list[Pattern] = []
    for supply, cost in worths.supplies.items():
        for counts in _all_counts(walk, 0, problem.supplies[supply], cost - slack - _NEARLY):
            found.append(Pattern(supply=supply, counts=counts))
            if len(found) > MOST_FITTING:
                return None
    return tuple(pattern for pattern in found if any(pattern.counts))


def some_patterns(problem: Problem, worths: Worths, *, most_left: float) -> tuple[Pattern, ...]:
    """Of each supply some patterns that cost no more than they are worth, far apart from each other."""
    walk = _Walk(problem=problem, worths=worths, gains=_gains(problem, worths, most_left=most_left))
    found: dict[Pattern, None] = {}
    for supply, cost in worths.supplies.items():
        for attempt in range(ATTEMPTS_EACH * SOME_EACH):
            counts = _one_of(walk, problem.supplies[supply], cost - _NEARLY, attempt)
            if any(counts):
                found[Pattern(supply=supply, counts=counts)] = None
    return tuple(found)


def _gains(problem: Problem, worths: Worths, *, most_left: float) -> list[Floats]:
    """For every room the most that the lengths from a place on bring, less what the left-over costs.

    A left-over longer than `most_left` mm costs more than anything can bring.
    """
    room = max(problem.supplies[supply] for supply in worths.supplies)
    left = np.arange(room + 1)
    costs = problem.useless_cms(left) * worths.useless_cm
    gains: list[Floats] = [np.where(left <= most_left, -costs, -np.inf)]
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


def _one_of(walk: _Walk, room: int, still: float, attempt: int) -> tuple[int, ...]:
    """One way through the patterns that are worth it, another for each attempt; none where there is no way."""
    taken: list[int] = []
    for place, (length, worth) in enumerate(zip(walk.problem.lengths, walk.worths.lengths, strict=True)):
        open_counts = walk.counts(place, room, still)
        if not open_counts:
            return ()
        count = open_counts[attempt * (2 * place + 3) % len(open_counts)]
        taken.append(count)
        room, still = room - count * length, still - count * worth
    return tuple(taken)
