"""How much nearer than their boxes outlines may lie to the side of one that stands already, at any height."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from gowngroup.planning.lay.values import Outline

# A strip's width is so many bins: as many as keep the work on all forms of a lay within bounds. Within a bin an outline
# counts with its widest reach.
MOST_BINS, WORK = 2048, 40_000
NEAR_BIN = 1e-6  # a height so near to the edge of a bin, in bins, belongs to the bins on either side of it
NOWHERE = 1e6

Numbers = NDArray[np.float64]
Size = tuple[float, float]


class Savings(NamedTuple):
    """What every form saves beside one wall, what it or one of its twins saves, and the least room half a form needs."""

    each: list[float]
    best: list[float]
    least: float


class Contours:
    """The sides of every form, reckoned in bins along the cloth; lengths are shares of the strip's width.

    `shapes` are the outlines of each form within its box of `sizes`, points across and along; `twins` the forms it
    may be changed for; forms in `moved` are moved along the cloth when put down, so that they save nothing.
    """

    def __init__(
        self,
        shapes: Sequence[Sequence[Outline]],
        sizes: Sequence[Size],
        twins: Sequence[Sequence[int]],
        moved: frozenset[int] = frozenset(),
    ) -> None:
        self._across: Numbers = np.array([across for across, _ in sizes])
        self._bins = bins = max(1, min(MOST_BINS, WORK // len(sizes)))
        self._filled = [max(1, int(np.ceil(along * bins - NEAR_BIN))) for _, along in sizes]
        sides = [_sides(outlines, bins, max(self._filled)) for outlines in shapes]
        # A row for each bin, which is how the greatest reach over some bins is found quickest.
        self._left: Numbers = np.array([left for left, _ in sides]).T.copy()
        self._right: Numbers = np.array([right for _, right in sides]).T.copy()
        self._wide_left: Numbers = np.minimum(self._left, _next(self._left, NOWHERE))
        self._wide_right: Numbers = np.maximum(self._right, _next(self._right, -NOWHERE))
        most = max(map(len, twins))
        self._twins = np.array([[*group, *[group[0]] * (most - len(group))] for group in twins])
        self._moved = sorted(moved)
        self._known: dict[tuple[int, bool, int], Savings] = {}
        self.no_wall = self._savings(np.zeros(len(sizes)))

    def beside(self, wall: int, rise: float, *, is_right: bool) -> Savings:
        """Savings on a floor this far above the wall's own; `is_right` where the wall stands on the right.

        No more than half of either form, so that no third one is met. Source: derived.
        """
        up = min(int(rise * self._bins + NEAR_BIN), self._filled[wall] - 1)
        key = wall, is_right, up
        if key not in self._known:
            self._known[key] = self._savings(self._saved(wall, up, is_right=is_right))
        return self._known[key]

    def _saved(self, wall: int, up: int, *, is_right: bool) -> Numbers:
        top = self._filled[wall]
        shared = top - up
        if is_right:
            reach = (self._right[:shared] - self._wide_left[up:top, wall, None]).max(axis=0)
            saved = self._across - reach
        else:
            reach = (self._wide_right[up:top, wall, None] - self._left[:shared]).max(axis=0)
            saved = self._across[wall] - reach
        half = np.minimum(self._across, self._across[wall]) / 2
        found: Numbers = np.minimum(np.maximum(saved, 0.0), half)
        found[self._moved] = 0.0
        return found

    def _savings(self, saved: Numbers) -> Savings:
        return Savings(
            saved.tolist(),
            saved[self._twins].max(axis=1).tolist(),
            float((self._across / 2 - saved).min()),
        )


def _next(sides: Numbers, beyond: float) -> Numbers:
    """The next bin's side in each bin's place."""
    return np.pad(sides[1:], ((0, 1), (0, 0)), constant_values=beyond)


def _sides(outlines: Sequence[Outline], bins: int, count: int) -> tuple[Numbers, Numbers]:
    """The least and the greatest reach across of some outlines in each bin."""
    left, right = np.full(count, NOWHERE), np.full(count, -NOWHERE)
    for outline in outlines:
        across, heights = _met(outline, bins)
        for numbers in (np.floor(heights + NEAR_BIN), np.ceil(heights - NEAR_BIN) - 1):
            at = np.clip(numbers.astype(np.int64), 0, count - 1)
            np.minimum.at(left, at, across)
            np.maximum.at(right, at, across)
    return left, right


def _met(outline: Outline, bins: int) -> tuple[Numbers, Numbers]:
    """The corners of an outline and where its sides cross from bin to bin: across, and along in bins."""
    points = np.array(outline)
    points[:, 1] *= bins
    found = [points]
    for (x_0, y_0), (x_1, y_1) in zip(points, np.roll(points, -1, axis=0), strict=True):
        low, high = min(y_0, y_1), max(y_0, y_1)
        edges = np.arange(np.floor(low) + 1, np.ceil(high))
        if edges.size:
            found.append(np.stack([x_0 + (x_1 - x_0) * (edges - y_0) / (y_1 - y_0), edges], axis=1))
    across, heights = np.concatenate(found).T
    return across, heights
