"""Kits added, moved and swapped between lots, so that what is left over gathers where it is of use."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations_with_replacement, permutations, product

from gowngroup.planning.allocation.problem import ROUNDING_MM2, Counts, Problem

Worth = tuple[int, int, int]
Needs = tuple[int, ...]


def settled(problem: Problem, counts: Counts) -> Counts:
    """Counts no worse, once nothing that fits can be added, changed for one left out, moved or swapped for the better.

    Better means more first gowns, more gowns, then fewer lots opened, then less cloth used up, then left-overs
    gathered on few lots. Source: local search by moves and swaps, textbook method.
    """
    search = _Settling(problem, counts)
    while search.has_added() or search.has_replaced() or search.has_swapped():
        pass
    return tuple(tuple(row) for row in search.counts)


class _Settling:
    """Counts while they are being changed, and what each room holds."""

    def __init__(self, problem: Problem, counts: Counts) -> None:
        self.needs, self.rooms = problem.needs, problem.rooms
        self.counts = [list(row) for row in counts]
        self.suits = [frozenset(need.rooms) for need in self.needs]
        self.filled_mm2 = [problem.filled_mm2(counts, room) for room in range(len(self.rooms))]
        self.held = [sum(row[room] for row in counts) for room in range(len(self.rooms))]
        # When each room last changed, and when two rooms were last found good beside each other, counted in changes.
        self.now = 0
        self.changed_at = [0] * len(self.rooms)
        self.good_at: dict[tuple[int, int], int] = {}

    def _left_out(self) -> list[int]:
        """Needs not all of whose groups lie in a room, first kits before others."""
        numbers = [number for number, need in enumerate(self.needs) if sum(self.counts[number]) < need.count]
        return sorted(numbers, key=lambda number: not self.needs[number].is_first)

    def has_added(self) -> bool:
        """Put in one group that is left out and fits."""
        for need in self._left_out():
            for room in self.needs[need].rooms:
                if self._fits(room, self.needs[need].area_mm2):
                    self._put(need, room, 1)
                    return True
        return False

    def has_replaced(self) -> bool:
        """Put in one group that is left out for one that makes fewer gowns, or as many of more cloth."""
        for new in self._left_out():
            for room, old in product(self.needs[new].rooms, range(len(self.needs))):
                more_mm2 = self.needs[new].area_mm2 - self.needs[old].area_mm2
                if (
                    self.counts[old][room]
                    and self._rank(new) > self._rank(old)
                    and self._fits(room, more_mm2)
                ):
                    self._put(old, room, -1)
                    self._put(new, room, 1)
                    return True
        return False

    def _rank(self, number: int) -> tuple[int, int, float]:
        need = self.needs[number]
        return need.gown_count * need.is_first, need.gown_count, -need.area_mm2

    def has_swapped(self) -> bool:
        """Make every better move or swap there is between two rooms; False where there was none."""
        pairs = permutations(range(len(self.rooms)), 2)
        swapped = [
            self._has_swapped(source, target) for source, target in pairs if self._is_new(source, target)
        ]
        return any(swapped)

    def _has_swapped(self, source: int, target: int) -> bool:
        has_swapped = False
        while swap := self._better_swap(source, target):
            give, takes = swap
            for need, count in ((give, 1), *((each, -1) for each in takes)):
                self._put(need, source, -count)
                self._put(need, target, count)
            has_swapped = True
        self.good_at[source, target] = self.now
        return has_swapped

    def _is_new(self, source: int, target: int) -> bool:
        """Whether one of two rooms has changed since there was no better swap between them."""
        return max(self.changed_at[source], self.changed_at[target]) > self.good_at.get((source, target), -1)

    def _better_swap(self, source: int, target: int) -> tuple[int, Needs] | None:
        """A group to give to the target and none, one or two to take for it, that make the two rooms better."""
        if not self.held[source]:
            return None
        before = self._both(source, target, 0.0, 0)
        for give in self._movable(source, target):
            for takes in self._takes(target, source):
                more_mm2 = self.needs[give].area_mm2 - sum(self.needs[each].area_mm2 for each in takes)
                fits = self._fits(target, more_mm2) and self._fits(source, -more_mm2)
                if fits and self._both(source, target, more_mm2, 1 - len(takes)) < before:
                    return give, takes
        return None

    def _takes(self, room: int, other: int) -> Iterator[Needs]:
        held = self._movable(room, other)
        yield ()
        yield from ((need,) for need in held)
        for one, two in combinations_with_replacement(held, 2):
            if one != two or self.counts[one][room] > 1:
                yield one, two

    def _movable(self, room: int, other: int) -> list[int]:
        """Needs that lie in a room and suit the other."""
        return [need for need, row in enumerate(self.counts) if row[room] and other in self.suits[need]]

    def _both(self, source: int, target: int, more_mm2: float, more_held: int) -> Worth:
        """What two rooms come to when the target holds so much more from the source."""
        first = self._worth(source, -more_mm2, -more_held)
        second = self._worth(target, more_mm2, more_held)
        return first[0] + second[0], first[1] + second[1], first[2] + second[2]

    def _worth(self, number: int, more_mm2: float, more_held: int) -> Worth:
        """Whether a room is opened, mm² it uses up, and how little its left-over counts; the better one less."""
        room, filled_mm2 = self.rooms[number], self.filled_mm2[number] + more_mm2
        gathered = -(round(room.left_mm2(filled_mm2) / 100) ** 2)
        if not self.held[number] + more_held:
            return 0, 0, gathered
        return 1, round(room.used_up_mm2(filled_mm2)), gathered

    def _fits(self, room: int, more_mm2: float) -> bool:
        return self.filled_mm2[room] + more_mm2 <= self.rooms[room].capacity_mm2 + ROUNDING_MM2

    def _put(self, need: int, room: int, count: int) -> None:
        self.now += 1
        self.changed_at[room] = self.now
        self.counts[need][room] += count
        self.held[room] += count
        self.filled_mm2[room] += count * self.needs[need].area_mm2
