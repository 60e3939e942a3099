"""Charts as lines: what is drawn is what the compiled stitches say."""

import re
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

import pytest

from gowngroup.catalog.drawing import RowLabels, chart_detail, dash_of, sample_chart, whole_chart
from gowngroup.catalog.drawing.chart_frame import MARGIN_MM
from gowngroup.catalog.drawing.chart_labels import spread
from gowngroup.planning.figures import default_values
from gowngroup.planning.smocking import Chart, ChartRow, CompiledChart, PleaterProfile, compile_chart

PLEATER = PleaterProfile.from_figures(default_values())
ROWS = (
    ChartRow(name="1", stitch="cable", top_row=Fraction(1), floss_role="A"),
    ChartRow(name="2", stitch="wave", top_row=Fraction(3, 2), floss_role="B", steps=1, rise="half"),
    ChartRow(name="3", stitch="trellis", top_row=Fraction(5, 2), floss_role="B", steps=3, rise="full"),
)


def compiled(
    pleat_count: int = 74, *, rows: tuple[ChartRow, ...] = ROWS, row_count: int = 4
) -> CompiledChart:
    return compile_chart(Chart(name="c", row_count=row_count, rows=rows), pleat_count, PLEATER)


def segments(path: str) -> int:
    """Stitches in path data: one line for each L."""
    return path.count("L")


def points(path: str) -> list[tuple[float, float]]:
    return [(float(x), float(y)) for x, y in re.findall(r"[ML](\S+?) ([^ML]+)", path)]


def test_every_stitch_is_drawn_once() -> None:
    """A chart over 74 pleats draws 73 stitches a row, in one path for each floss and side of the needle."""
    (drawing,) = whole_chart(compiled(), width_mm=182, height_mm=76)
    assert sum(segments(line.path) for line in drawing.lines) == 3 * 73
    keys = [(line.floss_role, line.thread) for line in drawing.lines]
    assert sorted(keys) == [("A", "above"), ("A", "below"), ("B", "above"), ("B", "below")]


def test_cable_changes_sides_at_every_pleat() -> None:
    """Half a cable row's stitches have the thread above and half below, on either side of the row's line."""
    (drawing,) = whole_chart(compiled(rows=ROWS[:1], row_count=1), width_mm=182, height_mm=30)
    above, below = drawing.lines
    assert abs(segments(above.path) - segments(below.path)) == 1
    assert {y for _x, y in points(above.path)} < {y for _x, y in points(below.path)} or (
        max(y for _x, y in points(above.path)) < min(y for _x, y in points(below.path))
    )
    assert above.width_mm > below.width_mm


def test_trellis_climbs_a_whole_space() -> None:
    """A three-step trellis of a whole space reaches exactly from one pleated row to the next."""
    (drawing,) = whole_chart(compiled(rows=ROWS[2:]), width_mm=182, height_mm=76)
    heights = [y for line in drawing.lines for _x, y in points(line.path)]
    space = drawing.marks[1].y_mm - drawing.marks[0].y_mm
    lift = max(heights) - (drawing.marks[2].y_mm + space / 2)
    assert max(heights) - min(heights) == pytest.approx(space + 2 * lift, abs=0.02)


@pytest.mark.parametrize(("steps", "half_spaces"), [(2, 3), (3, 4), (4, 8)])
def test_a_tall_trellis_reaches_over_its_spaces(steps: int, half_spaces: int) -> None:
    """A trellis over one and a half, two or four spaces is drawn from its highest to its lowest row."""
    row = replace(ROWS[2], top_row=Fraction(1), steps=steps, rise="halves", rise_half_spaces=half_spaces)
    (drawing,) = whole_chart(compiled(rows=(row,), row_count=6), width_mm=182, height_mm=76)
    heights = [y for line in drawing.lines for _x, y in points(line.path)]
    space = drawing.marks[1].y_mm - drawing.marks[0].y_mm
    lift = drawing.marks[0].y_mm - min(heights)
    assert 0 < lift < 0.6
    assert max(heights) - min(heights) == pytest.approx(space * half_spaces / 2 + 2 * lift, abs=0.03)


@pytest.mark.parametrize("pleat_count", [26, 50, 74, 98, 122, 146, 218])
def test_bands_show_every_pleat_inside_their_width(pleat_count: int) -> None:
    """However many pleats, bands stay inside the paper and together show every stitch of a row."""
    bands = whole_chart(compiled(pleat_count, rows=ROWS[:1], row_count=1), width_mm=182, height_mm=76)
    assert all(MARGIN_MM < x <= 182 for band in bands for line in band.lines for x, _y in points(line.path))
    drawn = sum(segments(line.path) for band in bands for line in band.lines)
    overlap = 1 * (len(bands) - 1)
    assert pleat_count - 1 <= drawn <= pleat_count - 1 + 2 * overlap
    assert sum(band.centre_x_mm is not None for band in bands) >= 1


def test_detail_lies_round_the_centre() -> None:
    """The detail shows 27 pleats about the centre valley, where a row from the centre starts."""
    drawing = chart_detail(compiled(), width_mm=182, height_mm=46)
    assert drawing.pleats.count("M") == 27
    assert drawing.starts.count("M") == 3
    assert drawing.centre_x_mm is not None


@pytest.mark.parametrize("row_count", [1, 4, 12])
def test_height_keeps_to_what_there_is(row_count: int) -> None:
    """A chart of one to twelve rows keeps to the height it is given."""
    drawing = chart_detail(compiled(rows=ROWS[:1], row_count=row_count), width_mm=182, height_mm=46)
    assert drawing.height_mm <= 46.01
    assert [mark.number for mark in drawing.marks] == list(
        range(1, row_count + 1, 2 if row_count > 10 else 1)
    )


def test_flosses_differ_by_their_line() -> None:
    """Four flosses have four line styles, told apart without colour."""
    assert len({dash_of(role) for role in "ABCD"}) == 4


def test_a_sample_suits_every_row() -> None:
    """A chart is shown over the first number of pleats from the one wished that suits all its rows, whole."""
    (drawing,) = sample_chart(Chart(name="c", row_count=4, rows=ROWS), pleat_count=45)
    assert drawing.pleat_count == 50
    assert sum(segments(line.path) for line in drawing.lines) == 3 * 49
    assert [floss.role for floss in drawing.flosses] == ["A", "B"]


def test_rows_are_named_beside_the_chart_without_overlap() -> None:
    """Each row has its name to the right of the pleats, in the order of the rows, a line's height apart."""
    labels = RowLabels(lines=(("no. 1", "cable"), ("no. 2",), ("no. 3",)), width_mm=30)
    drawing = chart_detail(compiled(), width_mm=182, height_mm=46, labels=labels)
    assert [label.text for label in drawing.labels] == ["no. 1", "cable", "no. 2", "no. 3"]
    assert drawing.leaders.count("M") == 3
    heights = [label.y_mm for label in drawing.labels]
    assert all(low - high >= 3.9 for high, low in pairwise(heights))
    assert max(heights) < drawing.height_mm
    assert all(x < drawing.width_mm - 30 for line in drawing.lines for x, _y in points(line.path))
    assert drawing.width_mm <= 182


def test_wrong_side_is_hollow_and_keeps_its_thread_sides() -> None:
    """A back-smocking row is drawn hollow, thicker where the thread lies above the needle as on the right side."""
    back = replace(ROWS[0], is_back_smocking=True)
    (drawing,) = whole_chart(compiled(rows=(back, ROWS[1])), width_mm=182, height_mm=46)
    above, below = (line for line in drawing.lines if line.is_back_smocking)
    assert above.width_mm > below.width_mm > above.hollow_mm > 0
    assert {line.hollow_mm for line in drawing.lines if not line.is_back_smocking} == {0.0}


def test_no_repeat_is_marked_where_none_fits() -> None:
    """Cloth with fewer pleats to the right of the centre than one repeat has no bracket."""
    tall = replace(ROWS[2], top_row=Fraction(1), steps=5, rise="half")
    assert chart_detail(compiled(14, rows=(tall,)), width_mm=182, height_mm=46).repeat is None
    wide = chart_detail(compiled(50), width_mm=182, height_mm=46).repeat
    assert wide is not None
    assert wide.pleat_count == 8


@pytest.mark.parametrize(
    ("tops", "expected"),
    [
        ([0.0, 10.0], [0.0, 10.0]),
        ([0.0, 1.0, 2.0], [0.0, 4.0, 8.0]),
        ([18.0, 18.0], [12.0, 16.0]),
        ([5.0] * 6, [0.0, 4.0, 8.0, 12.0, 16.0, 20.0]),
        ([], []),
    ],
)
def test_names_make_room_for_one_another(tops: list[float], expected: list[float]) -> None:
    """Names 4 mm high stay where they are, give way to the next, keep to 20 mm, or line up from the top."""
    assert spread(tops, [4.0] * len(tops), 0.0, 20.0) == expected
