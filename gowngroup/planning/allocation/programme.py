"""Dealing kits out to lots as an integer programme: the most gowns, the fewest lots, then the least cloth used up."""

from __future__ import annotations

import math
from itertools import product

from gowngroup.planning.allocation.problem import Counts, Dealt, Problem, Proof
from gowngroup.planning.allocation.settling import emptied_and_settled, settled
from gowngroup.planning.integer_programme import Programme, Solved, Terms

# The solver reckons in square metres, so that areas and counts are of one order.
_MM2_PER_M2 = 1e6
_ROUNDING = 1e-6
# Less than one whole lot or gown apart is the same number of them.
_WITHIN_ONE = 0.999


def deal_out(problem: Problem, *, start: Counts, gap_share: float, most_nodes: int) -> Dealt:
    """The best counts of groups in rooms: most first gowns, most gowns, fewest rooms, least cloth used up.

    `start` is a dealing out known already, used where it keeps to the capacities. Stops a stage within `gap_share` or
    after `most_nodes` of the search tree, so the same problem always gives the same counts. Areas in mm².
    Raises CannotSolve. Source: variable-sized bin packing as an integer programme, textbook method.
    """
    return _Model(problem, most_nodes=most_nodes).dealt(start, gap_share)


class _Model:
    """The programme of one problem: counts, whether a room is opened, whether and how much it leaves that is useful."""

    def __init__(self, problem: Problem, *, most_nodes: int) -> None:
        self.problem = problem
        self.programme = Programme(most_nodes=most_nodes)
        self.counts = {
            (need, room): self.programme.variable(most=self._most(need, room))
            for need, each in enumerate(problem.needs)
            for room in each.rooms
        }
        rooms = range(len(problem.rooms))
        self.is_opened = [self.programme.variable(most=1) for _ in rooms]
        self.is_useful = [self.programme.variable(most=1) for _ in rooms]
        self.useful_m2 = [self.programme.variable(is_whole=False) for _ in rooms]
        for number in range(len(problem.needs)):
            self._limit_need(number)
        for number in rooms:
            self._limit_room(number)

    def _most(self, need: int, room: int) -> int:
        """How many groups of a need a room can hold at all."""
        each, capacity_mm2 = self.problem.needs[need], self.problem.rooms[room].capacity_mm2
        return min(each.count, math.floor(capacity_mm2 / each.area_mm2 + _ROUNDING))

    def _limit_need(self, number: int) -> None:
        need = self.problem.needs[number]
        self.programme.row({self.counts[number, room]: 1.0 for room in need.rooms}, most=need.count)

    def _limit_room(self, number: int) -> None:
        """No more than fits, only if opened; a left-over counts as useful only from the length worth keeping."""
        room, row = self.problem.rooms[number], self.programme.row
        opened, useful, useful_m2 = (
            self.is_opened[number],
            self.is_useful[number],
            self.useful_m2[number],
        )
        filled = {
            self.counts[need, number]: each.area_mm2 / _MM2_PER_M2
            for need, each in enumerate(self.problem.needs)
            if number in each.rooms
        }
        for (need, where), count in self.counts.items():
            if where == number:
                row({count: 1.0, opened: -self._most(need, number)}, most=0.0)
        row({**filled, opened: -room.capacity_mm2 / _MM2_PER_M2}, most=0.0)
        area_m2 = room.area_mm2 / _MM2_PER_M2
        cut = {count: each * room.area_mm2 / room.capacity_mm2 for count, each in filled.items()}
        row({**cut, opened: -area_m2, useful_m2: 1.0}, most=0.0)
        row({useful_m2: 1.0, useful: -area_m2}, most=0.0)
        row({**cut, opened: -area_m2, useful: room.least_left_mm2 / _MM2_PER_M2}, most=0.0)

    def dealt(self, start: Counts, gap_share: float) -> Dealt:
        """Every stage in turn, each keeping what the stages before it reached."""
        counts = emptied_and_settled(self.problem, start if self._is_possible(start) else self._nothing())
        counts, most_first = self._gowns(counts, first_only=True)
        counts, most_gowns = self._gowns(counts, first_only=False)
        counts, least_lots = self._fewest_lots(settled(self.problem, counts))
        counts, used_up_m2 = self._least_used_up(settled(self.problem, counts), gap_share)
        return Dealt(
            counts=counts,
            proof=Proof(
                most_first=most_first,
                most_gowns=most_gowns,
                least_lots=least_lots,
                least_used_up_mm2=used_up_m2 * _MM2_PER_M2,
            ),
        )

    def _gowns(self, counts: Counts, *, first_only: bool) -> tuple[Counts, int]:
        """Make the most gowns; where the start makes all of them there is nothing to search."""
        needs = self.problem.needs
        wanted = [need for need in needs if need.is_first or not first_only]
        most = sum(need.count * need.gown_count for need in wanted)
        terms = {
            count: float(needs[need].gown_count)
            for (need, _), count in self.counts.items()
            if needs[need].is_first or not first_only
        }
        if self.problem.gowns(counts, first_only=first_only) < most:
            counts, solved = self._best(counts, terms, gap=_WITHIN_ONE)
            most = math.floor(solved.bound + _ROUNDING)
        if most:
            self.programme.row(terms, least=self.problem.gowns(counts, first_only=first_only))
        return counts, most

    def _fewest_lots(self, counts: Counts) -> tuple[Counts, int]:
        """Open the fewest lots; where cloth is so short that all are opened there is little to hunt for."""
        opened: Terms = dict.fromkeys(self.is_opened, 1.0)
        is_short = len(self.problem.opened(counts)) == len(self.problem.rooms)
        counts, solved = self._best(
            counts, dict.fromkeys(opened, -1.0), gap=_WITHIN_ONE, is_start_good=is_short
        )
        self.programme.row(opened, most=len(self.problem.opened(counts)))
        return counts, math.ceil(-solved.bound - _ROUNDING)

    def _least_used_up(self, counts: Counts, gap_share: float) -> tuple[Counts, float]:
        terms = {
            **{
                opened: -room.area_mm2 / _MM2_PER_M2
                for opened, room in zip(self.is_opened, self.problem.rooms, strict=True)
            },
            **dict.fromkeys(self.useful_m2, 1.0),
        }
        counts, solved = self._best(counts, terms, gap_share=gap_share)
        return counts, -solved.bound

    def _best(
        self,
        counts: Counts,
        terms: Terms,
        *,
        gap_share: float = 0.0,
        gap: float = _ROUNDING,
        is_start_good: bool = True,
    ) -> tuple[Counts, Solved]:
        self.programme.begin_with(self._values(counts))
        solved = self.programme.maximise(terms, gap_share=gap_share, gap=gap, is_start_good=is_start_good)
        return self._counts(solved), solved

    def _values(self, counts: Counts) -> tuple[float, ...]:
        """Every variable of the programme where groups are dealt out so."""
        values = [0.0] * (len(self.counts) + 3 * len(self.problem.rooms))
        for (need, number), count in self.counts.items():
            values[count] = float(counts[need][number])
        for number in self.problem.opened(counts):
            room = self.problem.rooms[number]
            left_mm2 = room.left_mm2(self.problem.filled_mm2(counts, number))
            values[self.is_opened[number]] = 1.0
            if room.is_useful(left_mm2):
                values[self.is_useful[number]] = 1.0
                values[self.useful_m2[number]] = left_mm2 / _MM2_PER_M2
        return tuple(values)

    def _counts(self, solved: Solved) -> Counts:
        rooms = range(len(self.problem.rooms))
        numbers = [
            [self.counts.get((need, room)) for room in rooms] for need in range(len(self.problem.needs))
        ]
        return tuple(
            tuple(0 if each is None else round(solved.values[each]) for each in row) for row in numbers
        )

    def _is_possible(self, counts: Counts) -> bool:
        rooms = self.problem.rooms
        return all(
            self.problem.filled_mm2(counts, room) <= rooms[room].capacity_mm2 + _ROUNDING
            for room in range(len(rooms))
        ) and all(
            row[room] == 0 or (need, room) in self.counts
            for (need, row), room in product(enumerate(counts), range(len(rooms)))
        )

    def _nothing(self) -> Counts:
        return tuple((0,) * len(self.problem.rooms) for _ in self.problem.needs)
