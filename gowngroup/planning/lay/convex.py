"""Outlines taken apart into convex parts, so that two of them keep clear of each other by straight lines."""

from __future__ import annotations

from functools import lru_cache
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

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
    parts = [_counter_clockwise(_corners(each)) for each in triangles]
    while (joined := _with_two_joined(parts)) is not None:
        parts = joined
    return tuple(parts)


def _corners(shape: BaseGeometry) -> Outline:
    return tuple((x, y) for x, y in shapely.get_coordinates(shape)[:-1].tolist())


def _counter_clockwise(outline: Outline) -> Outline:
    return outline if signed_area_mm2(outline) > 0 else outline[::-1]


def _with_two_joined(parts: list[Outline]) -> list[Outline] | None:
    """The parts, two that share a side made one; None where no two are convex together."""
    side_of = {side: number for number, part in enumerate(parts) for side in _sides(part)}
    for (start, end), one in side_of.items():
        other = side_of.get((end, start))
        if other is None:
            continue
        joined = (*_from(parts[one], end), *_from(parts[other], start)[1:-1])
        if _is_convex(joined):
            return [joined, *(part for number, part in enumerate(parts) if number not in (one, other))]
    return None


def _sides(part: Outline) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    return list(pairwise((*part, part[0])))


def _from(part: Outline, corner: tuple[float, float]) -> Outline:
    """The same part, told from this corner on."""
    at = part.index(corner)
    return (*part[at:], *part[:at])


def _is_convex(outline: Outline) -> bool:
    corners: Numbers = np.array(outline)
    sides = np.roll(corners, -1, axis=0) - corners
    after = np.roll(sides, -1, axis=0)
    return bool((sides[:, 0] * after[:, 1] - sides[:, 1] * after[:, 0] >= 0).all())


@lru_cache(maxsize=PAIRS_REMEMBERED)
def apart(one: Outline, other: Outline) -> tuple[Numbers, Numbers]:
    """Directions from one convex outline to another and how far along each the other must lie to be clear.

    One row for each side of either; moved by some (x, y) the other is clear where its product with any of the
    directions is no less than what is told for it.
    """
    first, second = np.array(one), np.array(other)
    directions = np.concatenate([_outward(first), -_outward(second)])
    return directions, (directions @ first.T).max(axis=1) - (directions @ second.T).min(axis=1)


def _outward(corners: Numbers) -> Numbers:
    """Unit directions square to the sides of a counter-clockwise outline, away from it."""
    sides = np.roll(corners, -1, axis=0) - corners
    outward: Numbers = np.stack([sides[:, 1], -sides[:, 0]], axis=1) / np.hypot(*sides.T)[:, None]
    return outward
