"""What no sharing out of whole gowns among the lots can hold, found where pooled cloth promises too much."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from gowngroup.planning.linear_programme import LinearProgramme
from gowngroup.planning.mix.problem import Problem
from gowngroup.planning.mix.values import ROUNDING

# Areas are counted in this many steps of the largest lot: gowns rounded down and lots, too, so that a fence never
# shuts out gowns that can be cut.
STEPS = 8000
# Rounds of looking for a fence, one after another, before the pooled cloth is believed.
MOST_ROUNDS = 200
_NEARLY = 1e-6
_CLEARLY = 1e-4

Floats = npt.NDArray[np.float64]
Filling = tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Fence:
    """What a gown of each design (by the number of its choice) is worth, and the most worth each lot can hold."""

    worths: Mapping[int, float]
    most_by_lot: Mapping[str, float]


class Fences:
    """Looks for worths by which gowns come to more than whole fillings of the lots can hold.

    Source: Dantzig-Wolfe decomposition by lots, its fillings found one by one (column generation) by dynamic
    programming; worths of this kind are dual feasible functions; textbook methods.
    """

    def __init__(self, problem: Problem) -> None:
        self.kinds = problem.kinds()
        wanted = problem.wanted_counts()
        lines = [choice.line for choice in problem.choices]
        self.most_counts = [
            sum(wanted[line] for line in {lines[number] for number in kind.choice_numbers})
            for kind in self.kinds
        ]
        rooms = {room.lot_key: room.area_mm2 for room in problem.rooms}
        suits = {key: tuple(n for n, kind in enumerate(self.kinds) if key in kind.lot_keys) for key in rooms}
        self.groups: dict[tuple[int, ...], list[str]] = defaultdict(list)
        for key, suited in suits.items():
            if suited and rooms[key] < math.inf:
                self.groups[suited].append(key)
        lot_keys = [key for keys in self.groups.values() for key in keys]
        step_mm2 = max((rooms[key] for key in lot_keys), default=0.0) / STEPS or 1.0
        self.steps = [int(kind.area_mm2 / step_mm2 + ROUNDING) for kind in self.kinds]
        self.room_steps = {key: int(rooms[key] / step_mm2 + ROUNDING) for key in lot_keys}
        self.found: list[Fence] = []
        self._rounds = iter(range(MOST_ROUNDS))
        self._known: set[tuple[str, Filling]] = set()
        self._shares = LinearProgramme()
        self._kind_rows = [self._shares.row(least=0.0) for _ in self.kinds]
        self._lot_rows = {key: self._shares.row(most=1.0) for key in lot_keys}
        for row in self._kind_rows:
            self._shares.column(-1.0, {row: 1.0})

    def against(self, counts: Sequence[float]) -> Fence | None:
        """A fence these counts of gowns lie beyond; None where no shares of fillings show one, or rounds run out."""
        for row, count, kind in zip(self._kind_rows, counts, self.kinds, strict=True):
            is_fenced = all(key in self.room_steps for key in kind.lot_keys)
            self._shares.bound_row(row, least=count if is_fenced else 0.0)
        for _round in self._rounds if self.room_steps else ():
            answer = self._shares.maximise()
            if answer.value > -_NEARLY:
                return None
            worths = [round(max(-worth, 0.0), 6) for worth in answer.row_worths[: len(self.kinds)]]
            most_by_lot, is_new = self._filled(worths)
            most = sum(most_by_lot.values())
            beyond = sum(worth * count for worth, count in zip(worths, counts, strict=True)) - most
            if beyond > _CLEARLY * (1 + most) and (not is_new or beyond > -answer.value / 2):
                self.found.append(Fence(worths=self._by_choice(worths), most_by_lot=most_by_lot))
                return self.found[-1]
            if not is_new:
                return None
        return None

    def _by_choice(self, worths: Sequence[float]) -> dict[int, float]:
        return {
            number: worth
            for kind, worth in zip(self.kinds, worths, strict=True)
            for number in kind.choice_numbers
            if worth
        }

    def _filled(self, worths: Sequence[float]) -> tuple[dict[str, float], bool]:
        """The most worth each lot can hold, and whether a filling came up that was not known."""
        most_by_lot: dict[str, float] = {}
        is_new = False
        for suited, keys in self.groups.items():
            table = _Table([(n, self.steps[n], self.most_counts[n], worths[n]) for n in suited])
            table.fill(max(self.room_steps[key] for key in keys))
            for key in keys:
                most_by_lot[key] = table.most(self.room_steps[key])
                is_new |= self._learn(key, table.filling(self.room_steps[key], len(self.kinds)))
        return most_by_lot, is_new

    def _learn(self, lot_key: str, filling: Filling) -> bool:
        """Offer a filling of a lot; was it new?"""
        if (lot_key, filling) in self._known:
            return False
        self._known.add((lot_key, filling))
        counts = {self._kind_rows[number]: float(count) for number, count in enumerate(filling) if count}
        self._shares.column(0.0, {**counts, self._lot_rows[lot_key]: 1.0})
        return True


class _Table:
    """The worth of the best filling of every room (bounded knapsack, textbook dynamic programming).

    Items are kinds with their steps, how many at most and what one is worth; 7 of a kind are offered as 1, 2 and 4.
    """

    def __init__(self, items: Sequence[tuple[int, int, int, float]]) -> None:
        self.items = items
        self.taken: list[tuple[int, int, int]] = []
        self.tables: list[Floats] = []

    def fill(self, room: int) -> None:
        """Work the table out up to a room of so many steps."""
        self.tables.append(np.zeros(room + 1))
        for number, steps, most, worth in self.items:
            left, at_once = min(most, room // steps if steps else most), 1
            while left and worth:
                count = min(at_once, left)
                left, at_once = left - count, at_once * 2
                self._offer(number, count, steps * count, worth * count)

    def _offer(self, number: int, count: int, steps: int, worth: float) -> None:
        before = self.tables[-1]
        after = before.copy()
        np.maximum(after[steps:], before[: len(before) - steps] + worth, out=after[steps:])
        self.taken.append((number, count, steps))
        self.tables.append(after)

    def most(self, room: int) -> float:
        """The greatest worth in a room."""
        return float(self.tables[-1][room])

    def filling(self, room: int, kind_count: int) -> Filling:
        """A filling of a room that is worth most."""
        counts = [0] * kind_count
        for (number, count, steps), before, after in zip(
            self.taken[::-1], self.tables[-2::-1], self.tables[:0:-1], strict=True
        ):
            if after[room] > before[room]:
                counts[number] += count
                room -= steps
        return tuple(counts)
