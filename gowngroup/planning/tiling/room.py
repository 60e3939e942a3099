"""Room for words and test squares among the lines of a tile."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import shapely

from gowngroup.planning.geometry import Point
from gowngroup.planning.tiling.values import Box, Line, Shape

FloatArray = npt.NDArray[np.float64]
STEP_MM, MOST_PLACES = 3.0, 4000  # how finely places are tried, coarser where there would be too many
TRIED_AT_ONCE = 200
CLEAR_MM = 1.5  # from words or squares to the nearest line


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """An area in mm, and the lines and boxes that nothing may be put on."""

    area: Shape
    lines: Sequence[Line] = ()
    boxes: Sequence[Box] = ()

    @property
    def free(self) -> Shape:
        """The area without what is taken."""
        lines = shapely.MultiLineString([line for line in self.lines if len(line) > 1])
        taken = shapely.union_all([lines.buffer(CLEAR_MM), *(shapely.box(*box) for box in self.boxes)])
        return self.area.difference(taken)


def free_corner(free: Shape, size_mm: tuple[float, float], *, near: Point) -> Point | None:
    """Upper left corner of the free box of this width and height in mm whose middle is nearest to a point.

    None where no box fits; places are tried every 3 mm, in large areas at some 4,000 places.
    """
    if free.is_empty:
        return None
    shapely.prepare(free)
    x, y = _nearest_first(free, size_mm, near)
    for start in range(0, len(x), TRIED_AT_ONCE):
        left, top = x[start : start + TRIED_AT_ONCE], y[start : start + TRIED_AT_ONCE]
        fits = shapely.contains(free, shapely.box(left, top, left + size_mm[0], top + size_mm[1]))
        if fits.any():
            first = int(np.argmax(fits))
            return float(left[first]), float(top[first])
    return None


def _nearest_first(free: Shape, size_mm: tuple[float, float], near: Point) -> tuple[FloatArray, FloatArray]:
    """Corners of boxes on a grid over an area, those whose middle is nearest to a point first."""
    left, top, right, bottom = free.bounds
    step_mm = max(STEP_MM, math.sqrt((right - left) * (bottom - top) / MOST_PLACES))
    xs = np.arange(left, right - size_mm[0] + 1e-9, step_mm)
    ys = np.arange(top, bottom - size_mm[1] + 1e-9, step_mm)
    x, y = (each.ravel() for each in np.meshgrid(xs, ys))
    away = np.hypot(x + size_mm[0] / 2 - near[0], y + size_mm[1] / 2 - near[1])
    order = np.argsort(away, kind="stable")
    return x[order], y[order]
