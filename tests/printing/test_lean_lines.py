"""Drawings lose points, never their shape."""

import math
import re

import pytest
import shapely

from gowngroup.printing.lean_lines import TOLD_APART_MM, lean_line, lean_path


def lines_of(data: str) -> shapely.Geometry:
    """Path data as lines, read by its letters alone."""
    lines = []
    for part in re.findall("M[^M]+", data):
        points = [tuple(map(float, point.split())) for point in part.strip("MZ").split("L")]
        lines.append([*points, points[0]] if part.endswith("Z") else points)
    return shapely.MultiLineString(lines)


ARC = [(100 * math.cos(at / 50), 100 * math.sin(at / 50)) for at in range(80)]
CLOSED = "M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in ARC) + "Z"
# A row of stitches as it is drawn, each from where the last one ended.
STITCHES = (
    "".join(f"M{at}.0 {at % 3}.0L{at + 1}.0 {(at + 1) % 3}.0" for at in range(30))
    + "M0.0 9.0L5.0 9.0L9.0 9.0"
)


@pytest.mark.parametrize(("data", "most"), [(CLOSED, 40), (STITCHES, 33)])
def test_nothing_moves_further_than_the_eye_can_tell(data: str, most: int) -> None:
    """No point of either drawing is further from the other than 0.05 mm, while most of the points are gone."""
    lean = lean_path(data, TOLD_APART_MM)
    assert shapely.hausdorff_distance(lines_of(data), lines_of(lean), densify=0.01) <= TOLD_APART_MM
    assert len(re.findall("[ML]", lean)) <= most
    assert lean.count("Z") == data.count("Z")


def test_a_stitch_and_back_stays() -> None:
    """A line of two points stays as it is, and lines that do not meet are never joined."""
    assert lean_line(((0, 0), (1, 0)), 5.0) == ((0, 0), (1, 0))
    assert lean_path("M0 0L1 0M1 1L2 1", TOLD_APART_MM) == "M0 0L1 0M1 1L2 1"
