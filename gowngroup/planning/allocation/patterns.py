"""Patterns: ways to fill one room, and the one that earns most at given prices, by dynamic programme."""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gowngroup.planning.allocation.problem import ROUNDING_MM2, SAME_MM2, Counts, Problem, Room

MM2_PER_M2 = 1e6
# Areas are counted in steps of this share of the largest room.
_GRID_STEPS = 10_000
_ROUNDING = 1e-6


Worths = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Pattern:
    """One way to fill one room: how many groups of which needs, as pairs of need and count."""

    room: int
    groups: tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Prices:
    """What a group of each need earns, and what opening a room and each m² used up there cost."""

    worths: tuple[float, ...]
    per_room: float
    per_m2: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """What no pattern of a room can earn more than, and one that earns about as much; None where none is worth it."""

    room: int
    most: float
    pattern: Pattern | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """Things alike: their number in the question asked, size in steps, the most of them, what one is worth."""

    number: int
    size: int
    most: int
    worth: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Knapsack:
    """The most that items of at most each size together are worth; which those are is asked for afterwards."""

    worths: Worths
    taken: tuple[tuple[int, int, int, NDArray[np.bool_]], ...]

    def chosen(self, size: int) -> tuple[tuple[int, int], ...]:
        """Numbers and counts of the items that are worth most within a size."""
        counts: Counter[int] = Counter()
        for number, copies, step, is_taken in reversed(self.taken):
            if size >= step and is_taken[size - step]:
                counts[number] += copies
                size -= step
        return tuple(sorted(counts.items()))


def knapsack(items: Sequence[Item], size: int) -> Knapsack:
    """The most worth within every size up to this one, no item taken oftener than there are of it.

    Source: bounded knapsack by dynamic programme, counts split into powers of two; textbook method.
    """
    worths = np.zeros(size + 1)
    taken = []
    for item in items:
        most = min(item.most, size // item.size) if item.size else item.most
        for copies in _split(most if item.worth > 0 else 0):
            step = copies * item.size
            with_them = worths[: size + 1 - step] + copies * item.worth
            is_taken = with_them > worths[step:]
            np.maximum(worths[step:], with_them, out=worths[step:])
            taken.append((item.number, copies, step, is_taken))
    return Knapsack(worths=worths, taken=tuple(taken))


def _split(count: int) -> Iterator[int]:
    """Parts of which every number up to the count is a sum: powers of two and the rest."""
    part = 1
    while count > 0:
        yield min(part, count)
        count -= part
        part *= 2


class Pricing:
    """Finds the patterns of a problem that earn most.

    Rooms that suit the same needs share one dynamic programme. It reckons with areas rounded down, so that what it
    calls the most is never beaten; a pattern that so does not truly fit is looked for again with areas rounded up.
    """

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        grid_mm2 = max(room.capacity_mm2 for room in problem.rooms) / _GRID_STEPS
        self._least = [math.floor(need.area_mm2 / grid_mm2 + _ROUNDING) for need in problem.needs]
        self._most = [math.ceil(need.area_mm2 / grid_mm2 - _ROUNDING) for need in problem.needs]
        self._sizes = [math.floor(room.capacity_mm2 / grid_mm2 + _ROUNDING) for room in problem.rooms]
        self._used_m2 = [
            _used_up_m2(room, np.array([grid_mm2 * step for step in range(size + 1)], dtype=np.float64))
            for room, size in zip(problem.rooms, self._sizes, strict=True)
        ]
        self._alike: dict[tuple[int, ...], list[int]] = defaultdict(list)
        for room in range(len(problem.rooms)):
            suited = tuple(number for number, need in enumerate(problem.needs) if room in need.rooms)
            self._alike[suited].append(room)

    def offers(
        self, prices: Prices, *, rents: Sequence[float], counts: Sequence[int], rooms: Collection[int]
    ) -> Iterator[Offer]:
        """For each of these rooms what its best pattern earns, out of so many groups of each need.

        A pattern comes with it only where it earns more than the room's rent.
        """
        for suited, alike in self._alike.items():
            here = [room for room in alike if room in rooms]
            if here:
                yield from self._offers(prices, rents, (suited, counts), here)

    def _offers(
        self,
        prices: Prices,
        rents: Sequence[float],
        asked: tuple[tuple[int, ...], Sequence[int]],
        rooms: list[int],
    ) -> Iterator[Offer]:
        size = max(self._sizes[room] for room in rooms)
        loose = self._knapsack(prices, asked, self._least, size)
        tight: Knapsack | None = None
        for room in rooms:
            most, pattern = self._best(loose, prices, room)
            if most > rents[room] + _ROUNDING and not self.fits(pattern):
                tight = tight or self._knapsack(prices, asked, self._most, size)
                earned, pattern = self._best(tight, prices, room)
            else:
                earned = most
            is_worth_it = earned > rents[room] + _ROUNDING and pattern.groups
            yield Offer(room=room, most=most, pattern=pattern if is_worth_it else None)

    @staticmethod
    def _knapsack(
        prices: Prices, asked: tuple[tuple[int, ...], Sequence[int]], sizes: Sequence[int], size: int
    ) -> Knapsack:
        suited, counts = asked
        items = [Item(number=n, size=sizes[n], most=counts[n], worth=prices.worths[n]) for n in suited]
        return knapsack(items, size)

    def _best(self, filled: Knapsack, prices: Prices, room: int) -> tuple[float, Pattern]:
        earned = filled.worths[: self._sizes[room] + 1] - prices.per_room
        if prices.per_m2:
            earned -= prices.per_m2 * self._used_m2[room]
        size = int(np.argmax(earned))
        return float(earned[size]), Pattern(room=room, groups=filled.chosen(size))

    def fits(self, pattern: Pattern) -> bool:
        """Whether the groups of a pattern truly fill no more than its room holds."""
        filled_mm2 = sum(self.problem.needs[need].area_mm2 * count for need, count in pattern.groups)
        return filled_mm2 <= self.problem.rooms[pattern.room].capacity_mm2 + ROUNDING_MM2


def _used_up_m2(room: Room, filled_mm2: Worths) -> Worths:
    """What a room uses up where pieces fill so much of it."""
    left_mm2 = room.area_mm2 * (1 - filled_mm2 / room.capacity_mm2)
    useful_mm2 = np.where(left_mm2 >= room.least_left_mm2 - SAME_MM2, left_mm2, 0.0)
    return (room.area_mm2 - useful_mm2) / MM2_PER_M2


def patterns_of(counts: Counts) -> Iterator[Pattern]:
    """A pattern for every room that is opened."""
    for room, column in enumerate(zip(*counts, strict=True)):
        groups = tuple((need, count) for need, count in enumerate(column) if count)
        if groups:
            yield Pattern(room=room, groups=groups)


def counts_of(patterns: Sequence[Pattern], problem: Problem) -> Counts:
    """Counts of groups of needs in rooms where rooms are filled by these patterns."""
    counts = [[0] * len(problem.rooms) for _ in problem.needs]
    for pattern in patterns:
        for need, count in pattern.groups:
            counts[need][pattern.room] += count
    return tuple(map(tuple, counts))
