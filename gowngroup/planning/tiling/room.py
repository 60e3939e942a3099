"""Room for words and test squares among the lines of a tile."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from gowngroup.planning.geometry import Point
from gowngroup.planning.tiling.values import Box, Line

STEP_MM = 3.0  # how finely places are tried
CLEAR_MM = 1.5  # from words or squares to the nearest line


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """An area in mm, and the lines and boxes that nothing may be put on."""

    area: shapely.Geometry
    lines: Sequence[Line] = ()
    boxes: Sequence[Box] = ()

    @property
    def free(self) -> shapely.Geometry:
        """The area without what is taken."""
        lines = shapely.MultiLineString([line for line in self.lines if len(line) > 1])
        taken = shapely.union_all([lines.buffer(CLEAR_MM), *(shapely.box(*box) for box in self.boxes)])
        return self.area.difference(taken)


def free_corner(free: shapely.Geometry, size_mm: tuple[float, float], *, near: Point) -> Point | None:
    """Upper left corner of the free box of this width and height in mm whose middle is nearest to a point.

    None where no box fits; places are tried every 3 mm.
    """
    if free.is_empty:
        return None
    left, top, right, bottom = free.bounds
    xs = np.arange(left, right - size_mm[0] + 1e-9, STEP_MM)
    ys = np.arange(top, bottom - size_mm[1] + 1e-9, STEP_MM)
    x, y = (each.ravel() for each in np.meshgrid(xs, ys))
    away = np.hypot(x + size_mm[0] / 2 - near[0], y + size_mm[1] / 2 - near[1])
    shapely.prepare(free)
    fits = shapely.contains(free, shapely.box(x, y, x + size_mm[0], y + size_mm[1]))
    if not fits.any():
        return None
    best = int(np.argmin(np.where(fits, away, np.inf)))
    return float(x[best]), float(y[best])
