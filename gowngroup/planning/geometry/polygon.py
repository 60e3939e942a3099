"""Closed polygons of points in millimetres, counter-clockwise where the area is positive."""

import math
from collections.abc import Sequence
from itertools import pairwise

from shapely import Polygon

from gowngroup.planning.geometry.path import Point

PolygonPoints = tuple[Point, ...]


def signed_area_mm2(points: Sequence[Point]) -> float:
    """Area in mm², as exact far from the origin as near it; positive when the points run counter-clockwise."""
    left, low = points[0]
    near = [(x - left, y - low) for x, y in points]
    return sum(x_0 * y_1 - x_1 * y_0 for (x_0, y_0), (x_1, y_1) in pairwise((*near, near[0]))) / 2


def bounding_box_mm(points: Sequence[Point]) -> tuple[float, float, float, float]:
    """Least x, least y, greatest x, greatest y."""
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return min(xs), min(ys), max(xs), max(ys)


def fill_share(points: Sequence[Point]) -> float:
    """Share (0 to 1) of its bounding box that a polygon fills."""
    left, low, right, high = bounding_box_mm(points)
    return abs(signed_area_mm2(points)) / ((right - left) * (high - low))


def is_simple_polygon(points: Sequence[Point]) -> bool:
    """Whether the outline is finite, has an area and neither crosses nor touches itself."""
    if len(points) < 3 or not all(math.isfinite(x) and math.isfinite(y) for x, y in points):
        return False
    return bool(Polygon(points).is_valid) and signed_area_mm2(points) != 0


def mirrored_polygon(points: Sequence[Point]) -> PolygonPoints:
    """The polygon turned over left to right within its own bounding box, still counter-clockwise."""
    left, _, right, _ = bounding_box_mm(points)
    return tuple((left + right - x, y) for x, y in reversed(points))
