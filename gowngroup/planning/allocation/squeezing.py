"""Kits moved and swapped at random between lots that hold too much, until each holds no more than it may."""

from __future__ import annotations

import math
from collections.abc import Sequence

from gowngroup.planning.allocation.problem import ROUNDING_MM2, Counts, Problem
from gowngroup.planning.chance import Chance

# Moves tried for each kit, counted rather than timed, so that a slow machine finds the same.
TRIES = 400
# How much too full a move may leave the lots, at first and in the end, as a share of a kit's usual area.
_WARM_SHARE, _COLD_SHARE = 0.04, 0.002


def squeezed(
    problem: Problem, counts: Counts, capacities_mm2: Sequence[float], *, tries: int = TRIES
) -> Counts | None:
    """Counts that make no fewer gowns and keep to these capacities of the rooms; None where none are met.

    The counts set out from may overfill any room. Areas in mm². Source: simulated annealing, textbook method.
    """
    squeeze = _Squeeze(problem, counts, capacities_mm2)
    return squeeze.found(tries * len(squeeze.need_of))


class _Squeeze:
    """Groups one by one, where each of them lies (nowhere is one room more), and how full that makes the rooms."""

    def __init__(self, problem: Problem, counts: Counts, capacities_mm2: Sequence[float]) -> None:
        self.problem = problem
        self.nowhere = len(problem.rooms)
        # How much more than it may a room holds; below nought where it could hold more.
        self.over_mm2 = [*(-each for each in capacities_mm2), -math.inf]
        self.lying: list[list[int]] = [[] for _ in self.over_mm2]
        self.need_of: list[int] = []
        self.room_of: list[int] = []
        for number, (need, row) in enumerate(zip(problem.needs, counts, strict=True)):
            for room, count in enumerate((*row, need.count - sum(row))):
                for _ in range(count):
                    self._add(number, room)
        self.areas_mm2 = [need.area_mm2 for need in problem.needs]
        self.suits = [frozenset((*need.rooms, self.nowhere)) for need in problem.needs]
        self.chance = Chance(1)

    def _add(self, need: int, room: int) -> None:
        self.lying[room].append(len(self.need_of))
        self.over_mm2[room] += self.problem.needs[need].area_mm2
        self.need_of.append(need)
        self.room_of.append(room)

    def found(self, most_tries: int) -> Counts | None:
        """The counts, once no room holds too much."""
        usual_mm2 = sum(self.areas_mm2[need] for need in self.need_of) / max(len(self.need_of), 1)
        too_much_mm2 = sum(max(over_mm2, 0.0) for over_mm2 in self.over_mm2)
        tries = 0
        while too_much_mm2 > ROUNDING_MM2 and tries < most_tries:
            share = _WARM_SHARE * (_COLD_SHARE / _WARM_SHARE) ** (tries / most_tries)
            too_much_mm2 += self._tried(share * usual_mm2)
            tries += 1
        return self._counts() if too_much_mm2 <= ROUNDING_MM2 else None

    def _counts(self) -> Counts:
        counts = [[0] * self.nowhere for _ in self.problem.needs]
        for need, room in zip(self.need_of, self.room_of, strict=True):
            if room != self.nowhere:
                counts[need][room] += 1
        return tuple(map(tuple, counts))

    def _tried(self, allowed_mm2: float) -> float:
        """Try one move or swap; how much too full that makes the rooms, nought where it is not made."""
        group = self.chance.below(len(self.need_of))
        need, source = self.need_of[group], self.room_of[group]
        rooms = self.problem.needs[need].rooms
        target = rooms[self.chance.below(len(rooms))]
        if target == source:
            return 0.0
        swapped = self._any(target)
        if not self._may_swap(group, swapped):
            return 0.0
        more_mm2 = self.areas_mm2[need] - (self.areas_mm2[self.need_of[swapped]] if swapped >= 0 else 0.0)
        at_source_mm2, at_target_mm2 = self.over_mm2[source], self.over_mm2[target]
        change_mm2 = (
            max(at_target_mm2 + more_mm2, 0.0)
            - max(at_target_mm2, 0.0)
            + max(at_source_mm2 - more_mm2, 0.0)
            - max(at_source_mm2, 0.0)
        )
        if change_mm2 > 0 and self.chance.share() >= math.exp(-change_mm2 / allowed_mm2):
            return 0.0
        self._move(group, source, target)
        if swapped >= 0:
            self._move(swapped, target, source)
        return change_mm2

    def _any(self, room: int) -> int:
        """A group that lies in a room, or -1 for none of them."""
        lying = self.lying[room]
        at = self.chance.below(len(lying) + 1)
        return lying[at] if at < len(lying) else -1

    def _may_swap(self, group: int, swapped: int) -> bool:
        """Whether a group may lie where this one does, or may be left out for it."""
        source = self.room_of[group]
        if swapped < 0:
            return source != self.nowhere
        one, two = (self.problem.needs[self.need_of[each]] for each in (group, swapped))
        if source == self.nowhere:
            return one.gown_count >= two.gown_count and one.is_first >= two.is_first
        return source in self.suits[self.need_of[swapped]]

    def _move(self, group: int, source: int, target: int) -> None:
        area_mm2 = self.areas_mm2[self.need_of[group]]
        self.lying[source].remove(group)
        self.lying[target].append(group)
        self.over_mm2[source] -= area_mm2
        self.over_mm2[target] += area_mm2
        self.room_of[group] = target
