"""All of some kits packed into some lots, where hardly any room is to spare."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from gowngroup.planning.allocation.fillings import Filling, Size, total_mm2
from gowngroup.planning.allocation.problem import ROUNDING_MM2

# Steps of one search, counted rather than timed, so that a slow machine finds the same.
_MOST_STEPS = 10_000
# How many times its share of what may stay empty a lot may leave empty: one search after the other.
_TIMES_ITS_SHARE = (1.0, 2.0, 4.0, math.inf)
# Sums that can be reached are marked on a grid of this many steps over the largest lot.
_GRID_STEPS = 60_000


def packed(sizes: Sequence[Size], capacities_mm2: Sequence[float]) -> tuple[Filling, ...] | None:
    """A filling of each lot, so that together they hold all groups of all sizes; None where none was found.

    Lots are filled one by one, the smallest first, and what may stay empty is shared out among them.
    Source: depth-first search, guided by which sums can be reached (subset sum by dynamic programme); textbook methods.
    """
    lots = sorted(range(len(capacities_mm2)), key=lambda lot: capacities_mm2[lot])
    largest_first = sorted(range(len(sizes)), key=lambda size: -sizes[size].area_mm2)
    ordered = [sizes[size] for size in largest_first]
    for times in _TIMES_ITS_SHARE:
        found = _Packing(ordered, [capacities_mm2[lot] for lot in lots], times).packed()
        if found is not None:
            by_lot = dict(zip(lots, found, strict=True))
            places = sorted(range(len(sizes)), key=lambda place: largest_first[place])
            return tuple(tuple(by_lot[lot][place] for place in places) for lot in range(len(lots)))
    return None


class _Packing:
    """One search: sizes from the largest, lots from the smallest, and the steps left."""

    def __init__(
        self, sizes: Sequence[Size], capacities_mm2: Sequence[float], times_its_share: float
    ) -> None:
        self.sizes = sizes
        self.capacities_mm2 = capacities_mm2
        self.times_its_share = times_its_share
        self.grid_mm2 = max(capacities_mm2, default=0.0) / _GRID_STEPS or 1.0
        self.steps_left = _MOST_STEPS

    def packed(self) -> list[Filling] | None:
        """A filling of every lot."""
        everything = tuple(size.most for size in self.sizes)
        return self._packed(0, everything, sum(self.capacities_mm2) - total_mm2(everything, self.sizes))

    def _packed(self, lot: int, counts: Filling, spare_mm2: float) -> list[Filling] | None:
        """Fillings of this lot and those after it that hold so many groups, and leave so much empty in all."""
        lots_after = len(self.capacities_mm2) - lot - 1
        if spare_mm2 < -ROUNDING_MM2:
            return None
        if lots_after <= 0:
            return [counts] * (lots_after + 1)
        most_empty_mm2 = spare_mm2 * min(1.0, self.times_its_share / lots_after)
        for filling in self._fillings(self.capacities_mm2[lot], counts, most_empty_mm2):
            empty_mm2 = self.capacities_mm2[lot] - total_mm2(filling, self.sizes)
            rest = tuple(count - here for count, here in zip(counts, filling, strict=True))
            others = self._packed(lot + 1, rest, spare_mm2 - empty_mm2)
            if others is not None:
                return [filling, *others]
        return None

    def _fillings(self, capacity_mm2: float, counts: Filling, most_empty_mm2: float) -> Iterator[Filling]:
        """Fillings out of so many groups that leave at most so much of a lot empty, the largest groups first."""
        sums = self._sums(capacity_mm2, counts)

        def filled(at: int, left_mm2: float) -> Iterator[Filling]:
            self.steps_left -= 1
            if at == len(counts):
                yield ()
            elif self.steps_left > 0:
                area_mm2 = self.sizes[at].area_mm2
                for count in range(min(counts[at], math.floor((left_mm2 + ROUNDING_MM2) / area_mm2)), -1, -1):
                    after_mm2 = left_mm2 - count * area_mm2
                    if self._is_reached(sums[at + 1], after_mm2, most_empty_mm2, sum(counts[at + 1 :])):
                        yield from ((count, *rest) for rest in filled(at + 1, after_mm2))

        for filling in filled(0, capacity_mm2):
            if capacity_mm2 - total_mm2(filling, self.sizes) <= most_empty_mm2 + ROUNDING_MM2:
                yield filling

    def _sums(self, capacity_mm2: float, counts: Filling) -> list[int]:
        """Which sums groups from each size onwards can reach: a bit for each step of the grid, areas rounded down."""
        most_steps = math.floor(capacity_mm2 / self.grid_mm2) + 1
        sums = [1]
        for size, count in zip(reversed(self.sizes), reversed(counts), strict=True):
            steps, reached = math.floor(size.area_mm2 / self.grid_mm2), sums[-1]
            for _ in range(min(count, most_steps // max(steps, 1))):
                reached |= sums[-1] | reached << steps
            sums.append(reached & ((1 << most_steps + 1) - 1))
        return sums[::-1]

    def _is_reached(self, sums: int, left_mm2: float, most_empty_mm2: float, group_count: int) -> bool:
        """Whether some sum leaves at most so much empty; each group may be a step larger than it was counted."""
        most = math.floor(max(left_mm2, 0.0) / self.grid_mm2) + 1
        least = max(math.floor((left_mm2 - most_empty_mm2) / self.grid_mm2) - 1 - group_count, 0)
        return bool(sums >> least & ((1 << most - least + 1) - 1))
