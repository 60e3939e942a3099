"""Lines to draw a chart from."""

from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

from gowngroup.planning.smocking import chart_paths, compile_chart, compile_row, row_paths, shade_paths
from tests.planning.smocking_cast import BABY_WAVE, CABLE, OUTLINE, PROFILE, TRELLIS, chart_of


def test_a_baby_wave_starts_low_at_the_centre_and_climbs_half_a_space() -> None:
    """The line over the centre of 10 pleats is level at half a space and climbs to row 1 at both sides."""
    paths = row_paths(compile_row(BABY_WAVE, 10, PROFILE))
    centre = next(path for path in paths if (4.0, 0.5) in path.points)
    assert centre.points == ((3.0, 0.0), (4.0, 0.5), (5.0, 0.5), (6.0, 0.0))
    assert centre.thread == "below"


def test_lines_of_a_row_join_from_edge_to_edge() -> None:
    """The lines of one row follow on one another and cover every stitch once."""
    paths = row_paths(compile_row(TRELLIS, 74, PROFILE))
    assert all(left.points[-1] == right.points[0] for left, right in pairwise(paths))
    points = [path.points for path in paths]
    assert (points[0][0][0], points[-1][-1][0]) == (0.0, 73.0)
    assert sum(len(line) - 1 for line in points) == 73


def test_a_cable_is_split_stitch_by_stitch() -> None:
    """Each cable stitch is a line of its own, since the thread changes sides; an outline row is one line."""
    assert len(row_paths(compile_row(CABLE, 20, PROFILE))) == 19
    assert len(row_paths(compile_row(OUTLINE, 20, PROFILE))) == 1


def test_lines_are_grouped_by_shade_and_face() -> None:
    """A chart is drawn with one group for each shade on each face of the cloth."""
    back = replace(OUTLINE, name="back", top_row=Fraction(3), is_back_smocking=True)
    compiled = compile_chart(chart_of(CABLE, BABY_WAVE, replace(CABLE, name="c2"), back), 20, PROFILE)
    groups = shade_paths(compiled)
    assert [(group.floss_role, group.is_back_smocking) for group in groups] == [
        ("A", False),
        ("B", False),
        ("A", True),
    ]
    assert sum(len(group.paths) for group in groups) == len(chart_paths(compiled))
