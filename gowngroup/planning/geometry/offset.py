"""Seam allowances: an outline set outwards by its own amount along each edge, with mitred corners."""

import math
from collections.abc import Sequence
from itertools import pairwise

from gowngroup.planning.geometry.path import Path, Point, flattened

_MITRE_LIMIT = 3.0  # a sharper corner is cut off square rather than running out into a spike
_PARALLEL = 1e-6


def offset_outline(edges: Sequence[tuple[Path, float]], *, tolerance_mm: float) -> tuple[Point, ...]:
    """Cut polygon of a counter-clockwise outline; `edges` pairs each edge with its allowance in mm.

    The result may cross itself where an allowance is wider than a hollow curve allows: check it.
    """
    lines = [_set_out(flattened(walked, tolerance_mm=tolerance_mm), out_mm) for walked, out_mm in edges]
    limits = [out_mm * _MITRE_LIMIT for _, out_mm in edges]
    points: list[Point] = []
    for index, here in enumerate(lines):
        reach_mm = max(limits[index - 1], limits[index])
        points.extend(_corner(lines[index - 1], here, reach_mm))
        points.extend(here[1:-1])
    return _without_repeats(points)


def _set_out(points: Sequence[Point], out_mm: float) -> list[Point]:
    normals = [_normal(a, b) for a, b in pairwise(points)]
    befores = (normals[0], *normals)
    afters = (*normals, normals[-1])
    return [
        _moved_out(point, before, after, out_mm)
        for point, before, after in zip(points, befores, afters, strict=True)
    ]


def _normal(a: Point, b: Point) -> Point:
    """Unit vector to the right of the way walked, which is outwards; none where two points coincide."""
    length_mm = math.dist(a, b) or 1.0
    return (b[1] - a[1]) / length_mm, (a[0] - b[0]) / length_mm


def _moved_out(point: Point, before: Point, after: Point, out_mm: float) -> Point:
    scale = out_mm / max(1 + before[0] * after[0] + before[1] * after[1], 0.1)
    return point[0] + (before[0] + after[0]) * scale, point[1] + (before[1] + after[1]) * scale


def _corner(before: Sequence[Point], after: Sequence[Point], reach_mm: float) -> list[Point]:
    meeting = _intersection(before[-2], before[-1], after[0], after[1])
    if meeting is None or max(math.dist(meeting, before[-1]), math.dist(meeting, after[0])) > reach_mm:
        return [before[-1], after[0]]
    return [meeting]


def _intersection(a: Point, b: Point, c: Point, d: Point) -> Point | None:
    b_x, b_y, d_x, d_y = b[0] - a[0], b[1] - a[1], d[0] - c[0], d[1] - c[1]
    cross = b_x * d_y - b_y * d_x
    if abs(cross) <= _PARALLEL * math.hypot(b_x, b_y) * math.hypot(d_x, d_y):
        return None
    share = ((c[0] - a[0]) * d_y - (c[1] - a[1]) * d_x) / cross
    return a[0] + share * b_x, a[1] + share * b_y


def _without_repeats(points: Sequence[Point]) -> tuple[Point, ...]:
    kept = [point for before, point in zip((points[-1], *points), points, strict=False)
            if math.dist(before, point) > _PARALLEL]  # fmt: skip
    return tuple(kept)
