"""Pleater rows on the flat pieces: how deep each lies and where it ends at an armhole."""

import pytest
import shapely

from gowngroup.planning.drafting import Draft
from gowngroup.planning.pleater_rows import (
    RunningRow,
    armhole_template,
    running_rows,
    smocked_piece_names,
)
from tests.planning.drafts import usual


def rows_of(draft: Draft, name: str, holding: int = 2) -> tuple[RunningRow, ...]:
    return running_rows(draft, draft.piece(name), holding_row_count=holding)


def test_rows_of_a_panel() -> None:
    """Five design rows 9.525 mm apart, the first 6 mm below the yoke seam, a holding row above and below."""
    draft = usual("yoke", 1500)
    assert smocked_piece_names(draft) == ("front panel",)
    rows = rows_of(draft, "front panel")
    assert [row.number for row in rows] == [None, 1, 2, 3, 4, 5, None]
    depths = [row.depth_mm for row in rows]
    assert depths == pytest.approx([6 + 9.525 * step for step in range(-1, 6)])
    assert rows[1].left[1] == pytest.approx(10 + 6)  # 10 mm of allowance above the seam


def test_rows_end_on_the_cutting_line() -> None:
    """Both ends of every row lie on the outline, alike on both sides."""
    draft = usual("yoke", 1500)
    piece = draft.piece("front panel")
    outline = shapely.LinearRing(piece.cut_polygon)
    for row in rows_of(draft, "front panel"):
        assert outline.distance(shapely.Point(row.left)) < 1e-6
        assert outline.distance(shapely.Point(row.right)) < 1e-6
        assert row.left[0] + row.right[0] == pytest.approx(piece.cut_size_mm[0], abs=0.05)


def test_rows_that_end_at_the_armhole() -> None:
    """In the small yoke gown the upper holding row and rows 1 and 2 end at the armhole, less and less short."""
    short = [row.in_from_side_mm for row in rows_of(usual("yoke", 1500), "front panel")]
    assert short[0] > short[1] > short[2] > 0
    assert short[3:] == [0.0] * 4
    assert short[1] == pytest.approx(13.7, abs=0.1)


def test_rows_of_a_round_neck_run_on_from_piece_to_piece() -> None:
    """Front, back and sleeve carry the same rows at the same depth, and none ends at an armhole."""
    draft = usual("round-neck", 2500)
    found = [rows_of(draft, name) for name in smocked_piece_names(draft)]
    assert [[row.depth_mm for row in rows] for rows in found] == [[row.depth_mm for row in found[0]]] * 3
    assert not any(row.in_from_side_mm for rows in found for row in rows)
    assert armhole_template(draft.piece("front"), found[0]) is None


def test_holding_rows_as_the_pleater_has_them() -> None:
    """One holding row lies above; without any only the design rows are threaded; off the cloth there is none."""
    draft = usual("yoke", 1500)
    assert [row.number for row in rows_of(draft, "front panel", holding=1)] == [None, 1, 2, 3, 4, 5]
    assert [row.number for row in rows_of(draft, "front panel", holding=0)] == [1, 2, 3, 4, 5]
    assert rows_of(draft, "front panel", holding=4)[0].depth_mm == pytest.approx(6 - 9.525)


def test_a_wrap_is_not_pleated() -> None:
    """A wrap has no smocked piece and no rows."""
    draft = usual("wrap", 250)
    assert smocked_piece_names(draft) == ()
    assert rows_of(draft, "wrap") == ()


def test_armhole_template_is_a_corner_of_the_panel() -> None:
    """It is cut out of the panel, holds the whole armhole and the ends of all rows, and fits a hand."""
    draft = usual("yoke", 1500)
    panel, rows = draft.piece("front panel"), rows_of(draft, "front panel")
    template = armhole_template(panel, rows)
    assert template is not None
    shape = shapely.Polygon(template.outline)
    assert shapely.Polygon(panel.cut_polygon).buffer(1e-6).covers(shape)
    assert all(shape.buffer(1e-6).covers(shapely.LineString([row.left, row.right])) for row in template.rows)
    armhole = panel.edge("armhole_right").walked
    assert shape.buffer(1e-6).covers(shapely.MultiPoint([armhole.start, armhole.end]))
    assert max(shape.bounds[2] - shape.bounds[0], shape.bounds[3] - shape.bounds[1]) < 90
    assert template.seam_lines
    assert armhole_template(draft.piece("sleeve"), rows) is None
