"""A finished lay made shorter: all its pieces pushed along the cloth at once, by their true sides."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from shapely import Polygon, STRtree

from gowngroup.planning.geometry.polygon import bounding_box_mm
from gowngroup.planning.integer_programme import CannotSolve
from gowngroup.planning.lay.ask import Ask
from gowngroup.planning.lay.check import outline_faults
from gowngroup.planning.lay.convex import OUTLINES_REMEMBERED, Numbers, apart, convex_parts
from gowngroup.planning.lay.nesting import countdown, nest
from gowngroup.planning.lay.outlines import Placement, lay_of, turned
from gowngroup.planning.lay.swelling import swollen
from gowngroup.planning.lay.values import Outline
from gowngroup.planning.linear_programme import Rows, cheapest

# Lengths as shares of the strip's width: how far a piece may move in one round, either way; how far apart pieces are
# held; what a push, or a round of pushes, must gain for another one to be worth its while.
REACH, CLEARANCE, WORTH_WHILE = 0.01, 1e-5, 3e-5
MOST_ROUNDS, MOST_PUSHES = 4, 12
# How much longer than the engine was given the two of them may take.
COMPACTING_SECONDS = 1.0
# What it counts that pieces lie further back, beside that the lay is shorter.
_BACK = 1e-3

Whole = NDArray[np.int64]


def nest_compactly(
    ask: Ask, *, seconds: float, seed: int = 1, workers: int | None = None
) -> tuple[Placement, ...]:
    """What `nest` finds, compacted, within about a second more than it is given. Raises NestingFailed."""
    seconds_left = countdown(seconds + COMPACTING_SECONDS)
    return compacted(ask, nest(ask, seconds=seconds, seed=seed, workers=workers), seconds_left)


def compacted(
    ask: Ask, placements: Sequence[Placement], seconds_left: Callable[[], float] = lambda: math.inf
) -> tuple[Placement, ...]:
    """The same pieces, each a little way from where it lay, on no more length; as they were where nothing is gained.

    Pieces keep clear along the straight lines between them, which are drawn anew after each push, and no push is begun
    once no seconds are left. Flaws and matching are not looked at. Source: Li and Milenkovic 1995, compaction by
    linear programme (from memory).
    """
    before = after = tuple(placements)
    if not before:
        return before
    with suppress(CannotSolve):
        for _ in range(MOST_ROUNDS):
            if seconds_left() <= 0:
                break
            further = _Compaction(ask, after).placements(seconds_left)
            gained_mm = _length_mm(ask, after) - _length_mm(ask, further)
            if gained_mm < WORTH_WHILE * ask.strip_width_mm:
                break
            after = further
    lay = lay_of(ask.pieces, after, ask.strip_width_mm)
    faults = outline_faults(lay, ask.pieces, strip_width_mm=ask.strip_width_mm, gap_mm=ask.gap_mm)
    return before if faults else after


def _length_mm(ask: Ask, placements: Sequence[Placement]) -> float:
    return lay_of(ask.pieces, placements, ask.strip_width_mm).length_mm


class _Compaction:
    """Where pieces lie, in strip widths, and which of their parts are near enough to meet."""

    def __init__(self, ask: Ask, placements: Sequence[Placement]) -> None:
        by_id = {piece.id: piece for piece in ask.pieces}
        self.width_mm = ask.strip_width_mm
        self.before = placements
        outlines = [turned(by_id[each.id].outline, each.turn) for each in placements]
        grown = [_shares(swollen(each, ask.gap_mm / 2), self.width_mm) for each in outlines]
        self.boxes: Numbers = np.array([bounding_box_mm(each) for each in outlines]) / self.width_mm
        self.start: Numbers = np.array([(each.x_mm, each.y_mm) for each in placements]) / self.width_mm
        self.at = self.start.copy()
        parts = [(number, part) for number, each in enumerate(grown) for part in convex_parts(each)]
        self.pairs, self.directions, self.clear = self._near(parts)

    def _near(self, parts: Sequence[tuple[int, Outline]]) -> tuple[Whole, Numbers, Numbers]:
        """Pairs of pieces with parts that may meet, the directions between these, how far along each they are clear."""
        there = [Polygon(np.array(part) + self.start[number]) for number, part in parts]
        owners: Whole = np.array([number for number, _ in parts])
        one, other = STRtree(there).query(there, predicate="dwithin", distance=2 * np.sqrt(2) * REACH)
        is_pair = owners[one] < owners[other]
        one, other = one[is_pair], other[is_pair]
        found = [apart(parts[first][1], parts[second][1]) for first, second in zip(one, other, strict=True)]
        most = max((len(clear) for _, clear in found), default=1)
        directions, clears = np.zeros((len(found), most, 2)), np.full((len(found), most), np.inf)
        for number, (direction, clear) in enumerate(found):
            directions[number, : len(clear)], clears[number, : len(clear)] = direction, clear
        return np.stack([owners[one], owners[other]], axis=1), directions, clears

    def placements(self, seconds_left: Callable[[], float]) -> tuple[Placement, ...]:
        """Where the pieces lie once no push gains much any more, or no seconds are left."""
        length = self._length()
        for _ in range(MOST_PUSHES):
            if seconds_left() <= 0:
                break
            self._push()
            before, length = length, self._length()
            if before - length < WORTH_WHILE:
                break
        moved_mm = (self.at - self.start) * self.width_mm
        return tuple(
            replace(each, x_mm=each.x_mm + x_mm, y_mm=each.y_mm + y_mm)
            for each, (x_mm, y_mm) in zip(self.before, moved_mm.tolist(), strict=True)
        )

    def _length(self) -> float:
        return float((self.at[:, 0] + self.boxes[:, 2]).max())

    def _push(self) -> None:
        """Move every piece to where the lay is shortest, each keeping to its side of the lines drawn now."""
        offsets = self.at[self.pairs[:, 1]] - self.at[self.pairs[:, 0]]
        distances = np.einsum("pki,pi->pk", self.directions, offsets) - self.clear
        best = distances.argmax(axis=1)
        rows = np.arange(len(best))
        lines, free = self.directions[rows, best], distances[rows, best]
        moves = _moves(
            self.pairs,
            lines,
            np.minimum(CLEARANCE - free, 0.0),
            bounds=self._bounds(),
            ends=self.at[:, 0] + self.boxes[:, 2],
        )
        self.at = self.at + moves

    def _bounds(self) -> tuple[Numbers, Numbers]:
        """How far every piece may move at least and at most, along and across; always nought among it."""
        least, most = self.start - REACH - self.at, self.start + REACH - self.at
        least = np.maximum(least, -self.at - self.boxes[:, :2])
        most[:, 1] = np.minimum(most[:, 1], 1.0 - self.at[:, 1] - self.boxes[:, 3])
        return np.minimum(least, 0.0), np.maximum(most, 0.0)


def _moves(
    pairs: Whole, lines: Numbers, least: Numbers, *, bounds: tuple[Numbers, Numbers], ends: Numbers
) -> Numbers:
    """The move of every piece, along and across, that makes the lay shortest. Raises CannotSolve."""
    count = len(ends)
    length = 2 * count  # the number of the variable that comes after all moves
    one, other = 2 * pairs.T
    apart_rows = np.stack([other, one, other + 1, one + 1], axis=1)
    apart_factors = np.stack([lines[:, 0], -lines[:, 0], lines[:, 1], -lines[:, 1]], axis=1)
    end_rows = np.stack([np.full(count, length), np.arange(0, length, 2)], axis=1)
    lows, highs = bounds
    found = cheapest(
        costs=np.append(np.tile([_BACK / count, 0.0], count), 1.0),
        lows=np.append(lows.ravel(), 0.0),
        highs=np.append(highs.ravel(), np.inf),
        rows=Rows(
            sizes=np.repeat([4, 2], [len(pairs), count]),
            variables=np.concatenate([apart_rows.ravel(), end_rows.ravel()]),
            factors=np.concatenate([apart_factors.ravel(), np.tile([1.0, -1.0], count)]),
            least=np.concatenate([least, ends]),
        ),
    )
    return found[:length].reshape(count, 2)


@lru_cache(maxsize=OUTLINES_REMEMBERED)
def _shares(outline: Outline, width_mm: float) -> Outline:
    """The outline in shares of the strip's width."""
    return tuple((x / width_mm, y / width_mm) for x, y in outline)
