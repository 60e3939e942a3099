"""Outlines taken apart into convex parts, so that two of them keep clear of each other by straight lines."""

from __future__ import annotations

from functools import lru_cache
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from gowngroup.planning.geometry.path import Point
from gowngroup.planning.geometry.polygon import signed_area_mm2
from gowngroup.planning.lay.values import Outline

# The same few outlines meet again in every lay of a plan.
OUTLINES_REMEMBERED, PAIRS_REMEMBERED = 1 << 11, 1 << 13

Numbers = NDArray[np.float64]


@lru_cache(maxsize=OUTLINES_REMEMBERED)
def convex_parts(outline: Outline) -> tuple[Outline, ...]:
    """Convex outlines, counter-clockwise, that together are this one; few, but not always the fewest.

    Source: Hertel and Mehlhorn 1983, triangles joined while they stay convex (from memory).
    """
    triangles = shapely.constrained_delaunay_triangles(Polygon(outline)).geoms
    parts = {number: _counter_clockwise(_corners(each)) for number, each in enumerate(triangles)}
    part_at = {side: number for number, part in parts.items() for side in _sides(part)}
    for start, end in [(start, end) for start, end in part_at if start < end and (end, start) in part_at]:
        one, other = part_at[start, end], part_at[end, start]
        joined = _joined(parts[one], parts[other], start, end)
        if joined is not None:
            del parts[other]
            parts[one] = joined
            part_at.update(dict.fromkeys(_sides(joined), one))
    return tuple(parts.values())


def _corners(shape: BaseGeometry) -> Outline:
    return tuple((x, y) for x, y in shapely.get_coordinates(shape)[:-1].tolist())


def _counter_clockwise(outline: Outline) -> Outline:
    return outline if signed_area_mm2(outline) > 0 else outline[::-1]


def _sides(part: Outline) -> list[tuple[Point, Point]]:
    return list(pairwise((*part, part[0])))


def _joined(one: Outline, other: Outline, start: Point, end: Point) -> Outline | None:
    """Two convex parts made one along the side they share; None where that is not convex."""
    joined = (*_from(one, end), *_from(other, start)[1:-1])
    is_convex = _is_convex_at(joined, 0) and _is_convex_at(joined, len(one) - 1)
    return joined if is_convex else None


def _from(part: Outline, corner: Point) -> Outline:
    """The same part, told from this corner on."""
    at = part.index(corner)
    return (*part[at:], *part[:at])


def _is_convex_at(outline: Outline, number: int) -> bool:
    """Whether a counter-clockwise outline bends left at this corner, or not at all."""
    (x_0, y_0), (x_1, y_1), (x_2, y_2) = (
        outline[number - 1],
        outline[number],
        outline[(number + 1) % len(outline)],
    )
    return (x_1 - x_0) * (y_2 - y_1) >= (y_1 - y_0) * (x_2 - x_1)


@lru_cache(maxsize=PAIRS_REMEMBERED)
def apart(one: Outline, other: Outline) -> tuple[Numbers, Numbers]:
    """Directions from one convex outline to another and how far along each the other must lie to be clear.

    One row for each side of either; moved by some (x, y) the other is clear where its product with any of the
    directions is no less than what is told for it.
    """
    (first, from_first), (second, from_second) = _corners_and_outward(one), _corners_and_outward(other)
    directions = np.concatenate([from_first, -from_second])
    return directions, (directions @ first.T).max(axis=1) - (directions @ second.T).min(axis=1)


@lru_cache(maxsize=OUTLINES_REMEMBERED)
def _corners_and_outward(outline: Outline) -> tuple[Numbers, Numbers]:
    """The corners of a counter-clockwise outline, and unit directions square to its sides, away from it."""
    corners: Numbers = np.array(outline)
    sides = np.roll(corners, -1, axis=0) - corners
    outward: Numbers = np.stack([sides[:, 1], -sides[:, 0]], axis=1) / np.hypot(*sides.T)[:, None]
    return corners, outward
