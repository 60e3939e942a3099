"""How near two outlines can be pushed to each other, on their true shapes."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from gowngroup.planning.lay.values import Outline

# The same few outlines meet again in every lay of a plan: a batch of eight sizes has some thousand pairs.
PAIRS_REMEMBERED, OUTLINES_REMEMBERED = 1 << 15, 1 << 11

Numbers = NDArray[np.float64]


@lru_cache(maxsize=PAIRS_REMEMBERED)
def nearest_mm(left: Outline, right: Outline) -> float:
    """How far right of one outline's origin the other's must lie so that they just touch, neither moved lengthwise.

    The greatest reach of the left outline into the right one at any height; between two corners both sides run
    straight, so only the corners' heights need to be looked at. Nought where they share no height. Lengths in mm, or
    any other unit. Source: derived.
    """
    return _sides(left).nearest(_sides(right))


@lru_cache(maxsize=OUTLINES_REMEMBERED)
def _sides(outline: Outline) -> Sides:
    return Sides(outline)


class Sides:
    """The sides of one outline, ready to be asked where they lie at many heights at once."""

    def __init__(self, outline: Outline) -> None:
        start = np.array(outline, dtype=np.float64)
        end = np.roll(start, -1, axis=0)
        is_rising = (start[:, 1] < end[:, 1])[:, None]
        is_sloped = start[:, 1] != end[:, 1]  # a level side ends where sloped ones do
        low = np.where(is_rising, start, end)[is_sloped]
        high = np.where(is_rising, end, start)[is_sloped]
        self._heights: Numbers = np.unique(start[:, 1])
        self._low_x, self._low_y, self._high_y = low[:, :1], low[:, 1:], high[:, 1:]
        self._slope: Numbers = (high[:, :1] - low[:, :1]) / (high[:, 1:] - low[:, 1:])

    def nearest(self, right: Sides) -> float:
        """As `nearest_mm`, never remembered."""
        heights: Numbers = np.concatenate([self._heights, right._heights])
        low = max(self._heights[0], right._heights[0])
        high = min(self._heights[-1], right._heights[-1])
        heights = heights[(heights >= low) & (heights <= high)]
        if not heights.size:
            return 0.0
        reach = self._crossed(heights, -np.inf).max(axis=0)
        return float(np.max(reach - right._crossed(heights, np.inf).min(axis=0)))

    def _crossed(self, heights: Numbers, elsewhere: float) -> Numbers:
        """Where each side crosses or touches each height, or `elsewhere`."""
        across = self._low_x + self._slope * (heights - self._low_y)
        is_there = (heights >= self._low_y) & (heights <= self._high_y)
        return np.where(is_there, across, elsewhere)
