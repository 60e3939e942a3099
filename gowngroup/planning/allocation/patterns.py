"""Patterns: what lies in one room, counted by need."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from gowngroup.planning.allocation.problem import Counts, Problem

MM2_PER_M2 = 1e6


@dataclass(frozen=True, slots=True, kw_only=True)
class Pattern:
    """One way to fill one room: how many groups of which needs, as pairs of need and count."""

    room: int
    groups: tuple[tuple[int, int], ...]


def counts_of(patterns: Sequence[Pattern], problem: Problem) -> Counts:
    """Counts of groups of needs in rooms where rooms are filled by these patterns."""
    counts = [[0] * len(problem.rooms) for _ in problem.needs]
    for pattern in patterns:
        for need, count in pattern.groups:
            counts[need][pattern.room] += count
    return tuple(map(tuple, counts))
