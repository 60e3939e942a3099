"""Which lots to open: the fewest that hold the kits, and the least cloth used up, reckoned in areas without patterns."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass

from gowngroup.planning.allocation.columns import Reached
from gowngroup.planning.allocation.patterns import MM2_PER_M2
from gowngroup.planning.allocation.problem import SAME_MM2, Counts, Problem
from gowngroup.planning.integer_programme import Programme, Solved, Terms, total_of

_ROUNDING = 1e-6
# Less than one whole lot or gown apart is the same number of them.
_WITHIN_ONE = 0.999
_MOST_NODES = 100


@dataclass(frozen=True, slots=True, kw_only=True)
class Opening:
    """What no dealing out can better, and rooms that come near it; counts only where kits were kept whole."""

    bound: float
    rooms: frozenset[int]
    counts: Counts | None


class OpeningProgramme:
    """Rooms opened or not, and what is put into them: kits, or (much quicker) the areas of needs poured in.

    Where areas are poured kits may be parted, so that what it proves holds, but it deals nothing out.
    Source: variable-sized bin packing as an integer programme, textbook method.
    """

    def __init__(self, problem: Problem, reached: Reached, *, keeps_whole: bool = False) -> None:
        self.problem = problem
        self.programme = Programme(most_nodes=_MOST_NODES)
        variable = self.programme.variable
        rooms = range(len(problem.rooms))
        self.is_opened = [variable(most=1) for _ in rooms]
        self.is_useful = [variable(most=1) for _ in rooms]
        self.useful_m2 = [variable(is_whole=False) for _ in rooms]
        self.whole: dict[tuple[int, int], int] = {}
        self.filled_m2: list[dict[int, float]] = [{} for _ in rooms]
        self.made = list(self._put_whole() if keeps_whole else self._pour())
        for number in rooms:
            self._limit_room(number)
        self.opened_row = self.programme.row(dict.fromkeys(self.is_opened, -1.0))
        self.programme.row(self.gowns(first_only=True), least=float(reached.first))
        self.programme.row(self.gowns(first_only=False), least=float(reached.gowns))

    def _put_whole(self) -> Iterator[Terms]:
        """Groups of each need are counted room by room."""
        for number, need in enumerate(self.problem.needs):
            for room in need.rooms:
                capacity_mm2 = self.problem.rooms[room].capacity_mm2
                most = min(need.count, math.floor(capacity_mm2 / need.area_mm2 + _ROUNDING))
                count = self.programme.variable(most=most)
                self.whole[number, room] = count
                self.filled_m2[room][count] = need.area_mm2 / MM2_PER_M2
                self.programme.row({count: 1.0, self.is_opened[room]: -float(most)}, most=0.0)
            made = {self.whole[number, room]: 1.0 for room in need.rooms}
            self.programme.row(made, most=float(need.count))
            yield made

    def _pour(self) -> Iterator[Terms]:
        """Needs that suit the same rooms are poured into them together."""
        needs = self.problem.needs
        counts = [self.programme.variable(most=need.count, is_whole=False) for need in needs]
        alike: dict[tuple[int, ...], list[int]] = defaultdict(list)
        for number, need in enumerate(needs):
            alike[need.rooms].append(number)
        for rooms, numbers in alike.items():
            areas_m2 = {counts[number]: needs[number].area_mm2 / MM2_PER_M2 for number in numbers}
            all_m2 = sum(needs[number].count * needs[number].area_mm2 for number in numbers) / MM2_PER_M2
            poured = {room: self.programme.variable(is_whole=False) for room in rooms}
            for room, area in poured.items():
                self.filled_m2[room][area] = 1.0
                most_m2 = min(all_m2, self.problem.rooms[room].capacity_mm2 / MM2_PER_M2)
                self.programme.row({area: 1.0, self.is_opened[room]: -most_m2}, most=0.0)
            self.programme.row({**areas_m2, **dict.fromkeys(poured.values(), -1.0)}, least=0.0, most=0.0)
        return ({count: 1.0} for count in counts)

    def _limit_room(self, number: int) -> None:
        """No more than fits, only if opened; a left-over counts as useful only from the length worth keeping."""
        room, row, opened = self.problem.rooms[number], self.programme.row, self.is_opened[number]
        useful, useful_m2 = self.is_useful[number], self.useful_m2[number]
        area_m2, filled = room.area_mm2 / MM2_PER_M2, self.filled_m2[number]
        row({**filled, opened: -room.capacity_mm2 / MM2_PER_M2}, most=0.0)
        cut = {variable: each * room.area_mm2 / room.capacity_mm2 for variable, each in filled.items()}
        row({**cut, opened: -area_m2, useful_m2: 1.0}, most=0.0)
        row({useful_m2: 1.0, useful: -area_m2}, most=0.0)
        row({**cut, opened: -area_m2, useful: (room.least_left_mm2 - SAME_MM2) / MM2_PER_M2}, most=0.0)

    def gowns(self, *, first_only: bool) -> Terms:
        """Gowns that are made."""
        return total_of(
            {variable: each * need.gown_count for variable, each in made.items()}
            for made, need in zip(self.made, self.problem.needs, strict=True)
            if need.is_first or not first_only
        )

    def most_gowns(self, *, first_only: bool) -> Opening:
        """The rooms that make most gowns; the bound is a number of gowns."""
        solved = self.programme.maximise(self.gowns(first_only=first_only), gap=_WITHIN_ONE)
        return self._opening(solved, math.floor(solved.bound + _ROUNDING))

    def fewest(self) -> Opening:
        """The fewest rooms; the bound is a number of rooms."""
        solved = self.programme.maximise(dict.fromkeys(self.is_opened, -1.0), gap=_WITHIN_ONE)
        return self._opening(solved, math.ceil(-solved.bound - _ROUNDING))

    def thriftiest(self, *, most_rooms: int, gap_share: float = 1e-3) -> Opening:
        """The rooms, so many at most, that use up least; the bound is in mm²."""
        self.programme.raise_row(self.opened_row, least=-float(most_rooms))
        solved = self.programme.maximise(self._saved(), gap_share=gap_share)
        return self._opening(solved, -solved.bound * MM2_PER_M2)

    def _saved(self) -> Terms:
        areas = zip(self.is_opened, self.problem.rooms, strict=True)
        opened = {number: -room.area_mm2 / MM2_PER_M2 for number, room in areas}
        return {**opened, **dict.fromkeys(self.useful_m2, 1.0)}

    def _opening(self, solved: Solved, bound: float) -> Opening:
        opened = (room for room, number in enumerate(self.is_opened) if round(solved.values[number]))
        return Opening(bound=bound, rooms=frozenset(opened), counts=self._counts(solved))

    def _counts(self, solved: Solved) -> Counts | None:
        if not self.whole:
            return None
        rooms = range(len(self.problem.rooms))
        numbers = [[self.whole.get((need, room)) for room in rooms] for need in range(len(self.made))]
        return tuple(
            tuple(0 if each is None else round(solved.values[each]) for each in row) for row in numbers
        )
