"""Walking paths of lines and curves, against closed forms and numerical integration."""

import math
from itertools import pairwise

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from shapely import LineString

from gowngroup.planning.geometry import (
    Path,
    Point,
    backwards,
    curve,
    flattened,
    joined,
    line,
    mirrored,
    moved,
    path,
    path_length_mm,
    point_at,
    rounded_corner,
    turned,
)

KAPPA = 4 * (math.sqrt(2) - 1) / 3
QUARTER = path(curve((100.0, 0.0), (100.0, 100 * KAPPA), (100 * KAPPA, 100.0), (0.0, 100.0)))
BENT = path(line((0.0, 0.0), (0.0, 30.0)), line((0.0, 30.0), (40.0, 30.0)))

COORDINATE = st.floats(-500, 500, allow_nan=False)
POINT = st.tuples(COORDINATE, COORDINATE)
CURVE = st.builds(lambda a, b, c, d: path(curve(a, b, c, d)), POINT, POINT, POINT, POINT)


def integrated_length_mm(points: tuple[Point, ...], steps: int = 20_000) -> float:
    """Length of a cubic by adding up chords of its textbook polynomial."""

    def at(t: float) -> Point:
        weights = ((1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3)
        return (
            sum(weight * point[0] for weight, point in zip(weights, points, strict=True)),
            sum(weight * point[1] for weight, point in zip(weights, points, strict=True)),
        )

    walked = [at(step / steps) for step in range(steps + 1)]
    return sum(math.dist(a, b) for a, b in pairwise(walked))


def test_straight_lines_are_measured_exactly() -> None:
    """Two legs of 30 and 40 mm make 70 mm."""
    assert path_length_mm(BENT) == 70


def test_a_quarter_circle_has_its_length() -> None:
    """A cubic quarter circle is as long as the arc to within its known error of 0.03 %."""
    assert path_length_mm(QUARTER) == pytest.approx(math.pi * 50, rel=3e-4)


@pytest.mark.parametrize(
    "points",
    [
        ((0.0, 0.0), (0.0, 40.0), (20.0, 60.0), (60.0, 60.0)),
        ((0.0, 0.0), (100.0, 80.0), (-40.0, 80.0), (60.0, 0.0)),
        ((0.0, 0.0), (200.0, 0.0), (-140.0, 0.0), (60.0, 0.0)),
    ],
    ids=["armhole", "loop", "doubling back"],
)
def test_curves_are_measured_like_their_integral(points: tuple[Point, Point, Point, Point]) -> None:
    """Arc length equals numerical integration within a hundredth of a millimetre."""
    assert path_length_mm(path(curve(*points))) == pytest.approx(integrated_length_mm(points), abs=0.01)


@settings(deadline=None, max_examples=50)
@given(CURVE)
def test_flattening_keeps_within_its_tolerance(walked: Path) -> None:
    """Every point of a curve lies within the tolerance of its flattened line."""
    points = flattened(walked, tolerance_mm=0.1)
    fine = flattened(walked, tolerance_mm=0.001)
    coarse = LineString(points)
    assert LineString([*fine, fine[-1]]).hausdorff_distance(coarse) <= 0.1 + 0.001
    assert (points[0], points[-1]) == (walked.start, walked.end)


@settings(deadline=None, max_examples=50)
@example(path(curve((1.0, 0.0), (1.0, 0.0), (1.0, 0.0), (0.0, 0.0))), 0.0)
@given(CURVE, st.floats(0, 1))
def test_a_point_lies_as_far_along_as_asked(walked: Path, share: float) -> None:
    """The point at a distance lies on the curve, and its tangent has length one."""
    length_mm = path_length_mm(walked)
    point, tangent = point_at(walked, distance_mm=share * length_mm)
    fine = LineString([*flattened(walked, tolerance_mm=0.001), walked.end])
    assert fine.distance(LineString([point, point])) < 0.02
    assert math.hypot(*tangent) == pytest.approx(1 if length_mm else 0, abs=1e-6)


@pytest.mark.parametrize(
    ("distance_mm", "point", "tangent"),
    [
        (-5, (0, 0), (0, 1)),
        (0, (0, 0), (0, 1)),
        (15, (0, 15), (0, 1)),
        (50, (20, 30), (1, 0)),
        (70, (40, 30), (1, 0)),
        (99, (40, 30), (1, 0)),
    ],
)
def test_walking_a_bent_path(distance_mm: float, point: Point, tangent: Point) -> None:
    """Distances count over corners and stop at both ends."""
    found, direction = point_at(BENT, distance_mm=distance_mm)
    assert found == pytest.approx(point, abs=1e-6)
    assert direction == pytest.approx(tangent, abs=1e-6)


def test_half_way_round_a_quarter_circle() -> None:
    """The middle of a quarter circle lies on the diagonal and runs square to it."""
    point, tangent = point_at(QUARTER, distance_mm=path_length_mm(QUARTER) / 2)
    assert point == pytest.approx((100 / math.sqrt(2), 100 / math.sqrt(2)), abs=0.03)
    assert tangent == pytest.approx((-1 / math.sqrt(2), 1 / math.sqrt(2)), abs=1e-3)


def test_a_rounded_square_corner_is_a_quarter_of_an_ellipse() -> None:
    """Round a corner 60 by 20 mm wide every point lies on the ellipse, within three ten-thousandths (closed form)."""
    walked = path(rounded_corner((0.0, 20.0), (0.0, 0.0), (60.0, 0.0)))
    for x, y in flattened(walked, tolerance_mm=0.01):
        assert math.hypot((x - 60) / 60, (y - 20) / 20) == pytest.approx(1, abs=3e-4)


def test_mirroring_walks_from_the_other_end() -> None:
    """A mirrored path is reflected and walked backwards, so that the inside stays on the left."""
    other = mirrored(BENT, axis_x_mm=5.0)
    assert (other.start, other.end) == ((-30.0, 30.0), (10.0, 0.0))
    assert mirrored(other, axis_x_mm=5.0) == BENT


def test_moving_turning_and_joining_keep_the_length() -> None:
    """Shifted, turned, reversed or joined to another, a path keeps its length."""
    moved_on = moved(BENT, x_mm=40.0, y_mm=30.0)
    assert moved_on.start == BENT.end
    assert path_length_mm(joined(BENT, moved_on)) == 140
    assert turned(BENT, angle_deg=90).end == pytest.approx((-30.0, 40.0))
    assert backwards(BENT).start == BENT.end
