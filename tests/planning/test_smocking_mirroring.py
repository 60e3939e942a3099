"""A chart for the left hand is the right-handed one seen in a mirror."""

from dataclasses import replace
from fractions import Fraction
from itertools import product

import pytest

from gowngroup.planning.smocking import Chart, CompiledChart, Start, compile_chart, mirrored
from tests.planning.smocking_cast import CABLE, OUTLINE, PROFILE, STEM, wave

STARTS: tuple[Start, ...] = ("centre", "left", "right")


def chart(start: Start, *, is_back: bool = False) -> Chart:
    """A row of each stitch, all started alike."""
    rows = (CABLE, STEM, OUTLINE, wave(1), wave(3))
    placed = [
        replace(row, name=str(at), top_row=Fraction(at), start=start, is_back_smocking=is_back)
        for at, row in enumerate(rows, start=1)
    ]
    return Chart(name="all", row_count=8, rows=tuple(placed))


@pytest.mark.parametrize(("start", "is_back"), list(product(STARTS, (False, True))))
def test_mirror_of_what_was_stored_is_what_a_left_hander_would_compile(start: Start, is_back: bool) -> None:
    """Every stitch, its order and its thread side are those compiled for the left hand in the first place."""
    usual = compile_chart(chart(start, is_back=is_back), 50, PROFILE)
    left = compile_chart(chart(start, is_back=is_back), 50, PROFILE, is_left_handed=True)
    assert [row.runs for row in mirrored(usual).rows] == [row.runs for row in left.rows]


def test_rows_start_at_the_other_side() -> None:
    """A row that started at the left starts at the right, one from the centre stays there; twice is as before."""
    starts = {start: _start(mirrored(compile_chart(chart(start), 50, PROFILE))) for start in STARTS}
    assert starts == {"centre": "centre", "left": "right", "right": "left"}
    usual = compile_chart(chart("left"), 50, PROFILE)
    assert mirrored(mirrored(usual)) == usual


def _start(compiled: CompiledChart) -> str:
    (start,) = {row.row.start for row in compiled.rows} | {row.start for row in compiled.chart.rows}
    return start
