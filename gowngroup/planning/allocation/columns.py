"""The linear programme over patterns: it grows by the patterns that earn most, and proves what none can better."""

from __future__ import annotations

import math
from collections.abc import Collection, Sequence
from dataclasses import dataclass

from gowngroup.planning.allocation.patterns import (
    MM2_PER_M2,
    Pattern,
    Prices,
    Pricing,
    counts_of,
    patterns_of,
)
from gowngroup.planning.allocation.problem import Counts, Problem
from gowngroup.planning.linear_programme import LinearProgramme, Solved

_ROUNDING = 1e-6
# The search for patterns ends of itself long before.
_MOST_ROUNDS = 400
# A bound this near to what the patterns known come to is hardly bettered by more of them.
_NEAR_SHARE = 1e-4
# A room taken by so large a share of one pattern is taken by it.
_WHOLE_SHARE = 0.999
# Rounds of pricing after each room that a dive fills: more of them gain nothing.
_DIVE_ROUNDS = 6
# What missing a first gown, a gown or a lot costs a dive, in m² of cloth.
_MISSED_M2 = (60.0, 12.0, 4.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Aim:
    """What is sought the most of: gains by group of a need, less costs of a room opened and of each m² used up."""

    gains: tuple[float, ...]
    per_room: float = 0.0
    per_m2: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Reached:
    """First gowns and gowns to make at least, rooms to open at most."""

    first: int = 0
    gowns: int = 0
    rooms: int


class Columns:
    """Patterns found so far, and the linear programme of the shares in which rooms are filled by them.

    Source: Gilmore and Gomory 1961 and 1963, the cutting stock problem by column generation (from memory); dives as
    in branch-and-price, textbook method.
    """

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.pricing = Pricing(problem)
        self.programme = LinearProgramme()
        self.need_rows = [self.programme.row(most=float(need.count)) for need in problem.needs]
        self.room_rows = [self.programme.row(most=1.0) for _ in problem.rooms]
        self.reached_rows = [self.programme.row() for _ in _MISSED_M2]
        # What is missing of the targets, so that a dive always has an answer.
        self.missed = [
            self.programme.column(-cost, {row: sign})
            for row, cost, sign in zip(self.reached_rows, _MISSED_M2, (1.0, 1.0, -1.0), strict=True)
        ]
        self.patterns: list[Pattern] = []
        self.known: set[Pattern] = set()
        self.reached = Reached(rooms=len(problem.rooms))
        self.aim = Aim(gains=(0.0,) * len(problem.needs))

    def add(self, pattern: Pattern) -> bool:
        """Take up a pattern; False where it is known already."""
        if pattern in self.known:
            return False
        self.known.add(pattern)
        self.patterns.append(pattern)
        factors = {self.need_rows[need]: float(count) for need, count in pattern.groups}
        first, gowns = self._gowns(pattern, first_only=True), self._gowns(pattern, first_only=False)
        reached = zip(self.reached_rows, (first, gowns, 1), strict=True)
        factors |= {self.room_rows[pattern.room]: 1.0} | {
            row: float(count) for row, count in reached if count
        }
        self.programme.column(self._gain(pattern), factors)
        return True

    def _gowns(self, pattern: Pattern, *, first_only: bool) -> int:
        needs = self.problem.needs
        return sum(
            needs[need].gown_count * count
            for need, count in pattern.groups
            if needs[need].is_first or not first_only
        )

    def _gain(self, pattern: Pattern) -> float:
        gain = sum(self.aim.gains[need] * count for need, count in pattern.groups) - self.aim.per_room
        if not self.aim.per_m2:
            return gain
        filled_mm2 = sum(self.problem.needs[need].area_mm2 * count for need, count in pattern.groups)
        used_up_mm2 = self.problem.rooms[pattern.room].used_up_mm2(filled_mm2)
        return gain - self.aim.per_m2 * used_up_mm2 / MM2_PER_M2

    def seek(self, aim: Aim, reached: Reached) -> None:
        """Seek the most of something while something is kept; dealings out known are to be added first."""
        self.aim, self.reached = aim, reached
        missed = [-cost for cost in _MISSED_M2]
        self.programme.gain([*missed, *(self._gain(pattern) for pattern in self.patterns)])
        self.programme.bound_row(self.reached_rows[0], least=float(reached.first))
        self.programme.bound_row(self.reached_rows[1], least=float(reached.gowns))
        self.programme.bound_row(self.reached_rows[2], most=float(reached.rooms))

    def bound(self, *, enough: float = -math.inf, is_whole: bool = False) -> float:
        """What no dealing out can exceed of what is sought, which `is_whole` says comes in whole numbers.

        Sought no further once it is down to `enough`, or more patterns could hardly bring it down.
        """
        best = math.inf
        counts = [need.count for need in self.problem.needs]
        rooms = range(len(self.problem.rooms))
        for _ in range(_MOST_ROUNDS):
            solved = self.programme.maximise()
            has_grown, bound = self._priced(solved, counts, rooms)
            best = min(best, bound)
            if not has_grown or best <= enough or _is_near(best, solved.value, is_whole=is_whole):
                break
        return best

    def _priced(self, solved: Solved, counts: Sequence[int], rooms: Collection[int]) -> tuple[bool, float]:
        """Whether patterns were found that are worth more than those known, and what none of these rooms can exceed.

        Source: Lagrangian bound, textbook method; it holds at whatever worths the rows have.
        """
        worths = solved.row_worths
        needs = [max(worths[row], 0.0) for row in self.need_rows]
        first, gowns, room = (worths[row] for row in self.reached_rows)
        first, gowns, room = min(first, 0.0), min(gowns, 0.0), max(room, 0.0)
        prices = Prices(
            worths=tuple(
                gain - worth - need.gown_count * (gowns + first * need.is_first)
                for gain, worth, need in zip(self.aim.gains, needs, self.problem.needs, strict=True)
            ),
            per_room=self.aim.per_room + room,
            per_m2=self.aim.per_m2,
        )
        rents = [worths[row] for row in self.room_rows]
        bound = sum(worth * count for worth, count in zip(needs, counts, strict=True))
        bound += first * self.reached.first + gowns * self.reached.gowns + room * self.reached.rooms
        has_grown = False
        for offer in self.pricing.offers(prices, rents=rents, counts=counts, rooms=rooms):
            bound += max(offer.most, 0.0)
            has_grown |= offer.pattern is not None and self.add(offer.pattern)
        return has_grown, bound

    def dive(self, into: Collection[int]) -> Counts:
        """A dealing out near the best: these rooms are filled by the pattern with the largest share, one by one."""
        left = [need.count for need in self.problem.needs]
        rooms = set(into)
        for room, row in enumerate(self.room_rows):
            self.programme.bound_row(row, most=float(room in rooms))
        filled: list[Pattern] = []
        shares = self._shares(left, rooms, most_rounds=_MOST_ROUNDS)
        while rooms and (chosen := self._chosen(shares, left, rooms)):
            for number in chosen:
                self._fill(number, left, rooms, filled)
            self._shut_out(left, rooms)
            shares = self._shares(left, rooms, most_rounds=_DIVE_ROUNDS)
        for number in range(len(self.patterns)):
            self.programme.bound_column(self._column(number))
        for row in self.room_rows:
            self.programme.bound_row(row, most=1.0)
        return counts_of(filled, self.problem)

    def _column(self, number: int) -> int:
        return len(self.missed) + number

    def _shares(self, left: Sequence[int], rooms: Collection[int], *, most_rounds: int) -> tuple[float, ...]:
        solved = self.programme.maximise()
        for _ in range(most_rounds):
            has_grown, bound = self._priced(solved, left, rooms)
            if not has_grown or _is_near(bound, solved.value, is_whole=False):
                break
            solved = self.programme.maximise()
        return solved.shares[len(self.missed) :]

    def _chosen(self, shares: Sequence[float], left: Sequence[int], rooms: Collection[int]) -> list[int]:
        """Patterns that fill a room all but whole, or else the one of the largest share."""
        possible = [
            (-share, number)
            for number, share in enumerate(shares)
            if share > _ROUNDING
            and self.patterns[number].room in rooms
            and self._is_left(self.patterns[number], left)
        ]
        whole = [number for share, number in possible if -share > _WHOLE_SHARE]
        return whole or [number for _, number in sorted(possible)[:1]]

    @staticmethod
    def _is_left(pattern: Pattern, left: Sequence[int]) -> bool:
        return all(left[need] >= count for need, count in pattern.groups)

    def _fill(self, number: int, left: list[int], rooms: set[int], filled: list[Pattern]) -> None:
        pattern = self.patterns[number]
        for need, count in pattern.groups:
            left[need] -= count
        rooms.discard(pattern.room)
        filled.append(pattern)
        self.programme.bound_column(self._column(number), least=1.0)

    def _shut_out(self, left: Sequence[int], rooms: Collection[int]) -> None:
        """Leave aside the patterns that take more than is left."""
        for number, pattern in enumerate(self.patterns):
            if pattern.room in rooms and not self._is_left(pattern, left):
                self.programme.bound_column(self._column(number), most=0.0)

    def take_up(self, counts: Counts) -> None:
        """Take up the patterns of a dealing out that keeps to the capacities."""
        for pattern in patterns_of(counts):
            self.add(pattern)


def _is_near(bound: float, value: float, *, is_whole: bool) -> bool:
    """Whether what lies between a value and what it cannot exceed is not worth looking for."""
    if is_whole:
        return math.floor(bound + _ROUNDING) <= math.floor(value + _ROUNDING)
    return bound - value <= _NEAR_SHARE * abs(value)
