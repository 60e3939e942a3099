"""Seam allowances and polygons, against shapely's own buffers and plain arithmetic."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import Polygon

from gowngroup.planning.geometry import (
    Point,
    bounding_box_mm,
    curve,
    fill_share,
    is_simple_polygon,
    line,
    mirrored_polygon,
    offset_outline,
    path,
    signed_area_mm2,
)

SQUARE: tuple[Point, ...] = ((0.0, 0.0), (100.0, 0.0), (100.0, 60.0), (0.0, 60.0))


def outline(corners: tuple[Point, ...], allowances_mm: tuple[float, ...]) -> tuple[Point, ...]:
    """The outline round straight edges, each with its own allowance."""
    edges = [
        (path(line(a, b)), out_mm)
        for a, b, out_mm in zip(corners, (*corners[1:], corners[0]), allowances_mm, strict=True)
    ]
    return offset_outline(edges, tolerance_mm=0.1)


def test_each_edge_has_its_own_allowance() -> None:
    """Allowances of 1, 2, 3 and 4 mm move the four sides of a rectangle by just that."""
    assert bounding_box_mm(outline(SQUARE, (1, 2, 3, 4))) == pytest.approx((-4, -1, 102, 63))


def test_no_allowance_is_the_seam_line_itself() -> None:
    """With nothing added the cutting line is the outline."""
    assert Polygon(outline(SQUARE, (0, 0, 0, 0))).equals(Polygon(SQUARE))


@given(st.lists(st.floats(70, 100), min_size=6, max_size=9), st.floats(0.5, 10))
def test_even_allowances_agree_with_an_independent_buffer(radii: list[float], out_mm: float) -> None:
    """Set out evenly, a polygon covers what shapely's mitred buffer covers."""
    angles = [2 * math.pi * index / len(radii) for index in range(len(radii))]
    corners = tuple((r * math.cos(a), r * math.sin(a)) for r, a in zip(radii, angles, strict=True))
    # shapely's buffer drops corners that are all but straight; so they are dropped before, for both sides.
    hull = Polygon(Polygon(corners).convex_hull.boundary.coords).simplify(0.2)
    convex = Polygon(hull.boundary.coords)
    points = tuple((x, y) for x, y in convex.exterior.coords[:-1])
    points = points if signed_area_mm2(points) > 0 else points[::-1]
    ours = Polygon(outline(points, (out_mm,) * len(points)))
    theirs = convex.buffer(out_mm, join_style="mitre", mitre_limit=3.0)
    assert ours.symmetric_difference(theirs).area < 1e-6


def test_a_sharp_corner_is_cut_off() -> None:
    """A corner of some five degrees does not run out into a spike."""
    sliver = ((0.0, 0.0), (100.0, -4.0), (100.0, 4.0))
    assert bounding_box_mm(outline(sliver, (6, 6, 6)))[0] > -3 * 6


def test_a_change_of_allowance_along_a_straight_line_is_a_step() -> None:
    """Two edges in line with unlike allowances keep both, joined by a step."""
    corners = ((0.0, 0.0), (50.0, 0.0), (100.0, 0.0), (100.0, 60.0), (0.0, 60.0))
    points = outline(corners, (5, 10, 5, 5, 5))
    assert (50.0, -5.0) in points
    assert (50.0, -10.0) in points


def test_an_allowance_round_a_curve_keeps_its_distance() -> None:
    """Round a quarter circle of 50 mm an allowance of 7 mm makes one of 57 mm."""
    kappa = 50 * 4 * (math.sqrt(2) - 1) / 3
    arc = path(curve((50.0, 0.0), (50.0, kappa), (kappa, 50.0), (0.0, 50.0)))
    sides = path(line((0.0, 50.0), (0.0, 0.0)), line((0.0, 0.0), (50.0, 0.0)))
    points = offset_outline([(arc, 7.0), (sides, 0.0)], tolerance_mm=0.01)
    assert signed_area_mm2(points) == pytest.approx(math.pi * 57**2 / 4, rel=2e-3)


def test_points_that_coincide_do_no_harm() -> None:
    """An edge that stands still for a moment is set out like any other."""
    bottom = path(
        line((0.0, 0.0), (50.0, 0.0)), line((50.0, 0.0), (50.0, 0.0)), line((50.0, 0.0), (100.0, 0.0))
    )
    rest = path(
        line((100.0, 0.0), (100.0, 60.0)), line((100.0, 60.0), (0.0, 60.0)), line((0.0, 60.0), (0.0, 0.0))
    )
    assert is_simple_polygon(offset_outline([(bottom, 5.0), (rest, 5.0)], tolerance_mm=0.1))


def test_area_is_positive_counter_clockwise() -> None:
    """Walked counter-clockwise a rectangle has its area, clockwise the same below zero."""
    assert signed_area_mm2(SQUARE) == 6000
    assert signed_area_mm2(SQUARE[::-1]) == -6000


def test_a_triangle_fills_half_its_box() -> None:
    """Whatever its corner, a triangle over the whole width fills half."""
    assert fill_share(((0.0, 0.0), (80.0, 0.0), (30.0, 50.0))) == 0.5


@pytest.mark.parametrize(
    ("points", "is_simple"),
    [
        (SQUARE, True),
        (SQUARE[:2], False),
        (((0.0, 0.0), (10.0, 10.0), (10.0, 0.0), (0.0, 10.0)), False),
        (((0.0, 0.0), (10.0, 0.0), (20.0, 0.0)), False),
        (((0.0, 0.0), (math.nan, 0.0), (20.0, 5.0)), False),
    ],
    ids=["square", "two points", "bow tie", "no area", "not a number"],
)
def test_simple_outlines_are_told_from_others(points: tuple[Point, ...], is_simple: bool) -> None:
    """Only finite outlines with an area that do not cross themselves can be cut."""
    assert is_simple_polygon(points) is is_simple


def test_turning_over_keeps_the_box_and_the_sense() -> None:
    """A mirrored piece fills the same box, counter-clockwise still."""
    piece = ((0.0, 0.0), (80.0, 0.0), (30.0, 50.0))
    other = mirrored_polygon(piece)
    assert (50.0, 50.0) in other
    assert bounding_box_mm(other) == bounding_box_mm(piece)
    assert signed_area_mm2(other) == signed_area_mm2(piece)
