"""Drawings are worked out from the pieces and the stitches, and never leave their frame."""

import re

import pytest

from gowngroup.catalog.drawing import gown_drawing, pieces_drawing, sample_chart, screen_chart
from gowngroup.catalog.models import Chart, DesignRevision, Size
from gowngroup.catalog.planner import GownNeed, gown_need, planner_settings, planning_chart
from gowngroup.planning.smocking import Chart as PlanningChart
from gowngroup.planning.smocking import compile_chart
from tests.factories import ChartFactory, ChartRowFactory

pytestmark = pytest.mark.django_db


def numbers(d: str) -> list[tuple[float, float]]:
    values = [float(number) for number in re.findall(r"-?\d+\.\d", d)]
    return list(zip(values[::2], values[1::2], strict=True))


def frame(view_box: str) -> tuple[float, float, float, float]:
    left, top, width, height = (float(number) for number in view_box.split())
    return left, top, left + width, top + height


def is_inside(d: str, view_box: str) -> bool:
    left, top, right, bottom = frame(view_box)
    return all(left <= x <= right and top <= y <= bottom for x, y in numbers(d))


@pytest.fixture
def needs(round_neck: DesignRevision, yoke: DesignRevision, wrap: DesignRevision) -> list[GownNeed]:
    by_mass = {round_neck: 2500, yoke: 1500, wrap: 250}
    return [
        gown_need(revision=revision, size=Size.objects.get(upper_mass_g=mass))
        for revision, mass in by_mass.items()
    ]


def test_gowns_stay_in_their_frame_and_are_mirrored(needs: list[GownNeed]) -> None:
    """Each gown's outline lies inside its viewBox and is as wide to the left as to the right."""
    for need in needs:
        drawing = gown_drawing(need)
        assert drawing is not None
        assert all(
            is_inside(d, drawing.view_box) for d in (*drawing.cloth, *drawing.seams, *drawing.stitches)
        )
        xs = [x for x, _y in numbers(drawing.cloth[0])]
        assert min(xs) == pytest.approx(-max(xs), abs=0.2)


def test_only_smocked_gowns_carry_stitches(needs: list[GownNeed]) -> None:
    """The round neck and the yoke gown show their stitches, the wrap has none."""
    drawings = [gown_drawing(need) for need in needs]
    assert [bool(drawing and drawing.stitches) for drawing in drawings] == [True, True, False]


def test_bigger_gowns_are_drawn_longer(yoke: DesignRevision) -> None:
    """The drawing is to scale: the gown for the bigger baby is longer."""
    boxes = [
        gown_drawing(gown_need(revision=yoke, size=Size.objects.get(upper_mass_g=mass)))
        for mass in (750, 3500)
    ]
    heights = [frame(box.view_box)[3] for box in boxes if box]
    assert heights[0] < heights[1]


def test_without_pieces_there_is_nothing_to_draw(yoke: DesignRevision) -> None:
    """A gown without pieces has no drawing."""
    assert gown_drawing(gown_need(revision=yoke, size=Size.objects.get(upper_mass_g=150))) is None


def test_pieces_are_drawn_to_scale_without_overlapping(needs: list[GownNeed]) -> None:
    """Every piece is drawn once, as wide and long as it is cut, and no two overlap."""
    for need in needs:
        drawing = pieces_drawing(need.pieces)
        boxes = []
        for piece, drawn in zip(need.pieces, drawing.pieces, strict=True):
            points = numbers(drawn.outline)
            xs, ys = [x for x, _ in points], [y for _, y in points]
            assert max(xs) - min(xs) == pytest.approx(piece.width_mm, abs=0.2)
            assert max(ys) - min(ys) == pytest.approx(piece.length_mm, abs=0.2)
            assert is_inside(drawn.outline, drawing.view_box)
            boxes.append((min(xs), min(ys), max(xs), max(ys)))
        for index, a in enumerate(boxes):
            for b in boxes[index + 1 :]:
                assert a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]


def test_a_chart_is_drawn_stitch_by_stitch(started: object) -> None:
    """Every stitch of a chart is in the drawing: each line has one stitch less than points, each row its floss."""
    for chart in Chart.objects.all():
        compiled = compile_chart(planning_chart(chart), 50, planner_settings().pleater)
        (drawing,) = screen_chart(compiled)
        assert sum(line.path.count("L") for line in drawing.lines) == compiled.move_count
        assert {line.floss_role for line in drawing.lines} == {row.floss_role for row in chart.rows.all()}
        points = [point for line in drawing.lines for point in re.findall(r"[ML](\S+?) ([^ML]+)", line.path)]
        assert all(0 < float(x) < drawing.width_mm and 0 < float(y) < drawing.height_mm for x, y in points)


def test_a_chart_nobody_can_work_is_not_drawn(db: None) -> None:
    """A chart without rows, or with a row that cannot be worked, has no drawing."""
    chart = ChartFactory()
    assert sample_chart(planning_chart(chart)) == ()
    ChartRowFactory(chart=chart, stitch="wave", step_count=0)
    assert sample_chart(planning_chart(Chart.objects.get(pk=chart.pk))) == ()
    assert sample_chart(PlanningChart(name="empty", row_count=1, rows=())) == ()


def test_an_armhole_is_one_line(yoke: DesignRevision) -> None:
    """The sleeve of a yoke gown ends behind body and yoke, which are drawn over it, so that no second line shows."""
    drawing = gown_drawing(gown_need(revision=yoke, size=Size.objects.get(upper_mass_g=1500)))
    assert drawing is not None
    sleeves, _body, over = (_points(path) for path in drawing.cloth)
    half_yoke_mm = max(x for x, _y in over)
    ends = [x for x, _y in sleeves[: len(sleeves) // 2]]
    assert ends[0] == pytest.approx(half_yoke_mm, abs=0.2)
    assert 0 < ends[-1] < 0.8 * half_yoke_mm


def _points(path: str) -> list[tuple[float, float]]:
    return [(float(x), float(y)) for x, y in re.findall(r"(-?[0-9.]+)[ ,](-?[0-9.]+)", path)]
