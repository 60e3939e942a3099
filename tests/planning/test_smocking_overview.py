"""A chart over any number of pleats, row by row."""

from dataclasses import replace
from fractions import Fraction

import pytest

from gowngroup.planning.smocking import CannotSmock, ChartFit, NearestPleatCounts, chart_fit
from tests.planning.smocking_cast import BABY_WAVE, CABLE, PROFILE, TRELLIS, chart_of, wave

CHART = chart_of(
    CABLE,
    replace(BABY_WAVE, top_row=Fraction(2)),
    replace(wave(2), top_row=Fraction(3)),
    replace(TRELLIS, top_row=Fraction(4)),
)


def fit(pleats: int) -> ChartFit:
    return chart_fit(CHART, pleats, PROFILE)


def test_each_row_tells_its_spare_pleats() -> None:
    """Of 114 pleats only the two-step wave leaves any over, two at each side (derived)."""
    assert [row.spare_each_side for row in fit(114).rows] == [0, 0, 2, 0]
    assert not fit(114).suits_all_rows


def test_a_number_that_suits_all_rows_is_told() -> None:
    """122 pleats suit one, two and three steps, and are their own nearest."""
    assert fit(122).suits_all_rows
    assert fit(122).nearest == NearestPleatCounts(at_or_below=122, at_or_above=122)


def test_each_row_tells_stitches_repeats_and_its_first_thread() -> None:
    """Over 74 pleats a trellis of three steps has 73 stitches in nine repeats and starts with thread below."""
    trellis = fit(74).rows[3]
    assert (trellis.stitch_count, trellis.repeat_count, trellis.first_thread) == (73, 9, "below")


@pytest.mark.parametrize("pleats", [75, 8])
def test_a_chart_that_cannot_be_worked_is_shown_all_the_same(pleats: int) -> None:
    """Rows that cannot be worked say so, and the nearest numbers are suggested."""
    found = fit(pleats)
    assert found.faults
    assert found.rows[3].compiled is None
    assert not found.rows[3].is_whole
    assert found.nearest.at_or_above == (98 if pleats == 75 else 26)


def test_a_chart_at_fault_suits_no_pleats_though_each_row_does() -> None:
    """74 pleats suit the trellis, but as the first row it has none above whose turns it could meet."""
    found = chart_fit(chart_of(replace(TRELLIS, meets_row_above=True)), 74, PROFILE)
    assert [row.is_whole for row in found.rows] == [True]
    assert not found.suits_all_rows


def test_a_chart_without_rows_has_nothing_to_show() -> None:
    """A chart without rows is refused."""
    with pytest.raises(CannotSmock):
        chart_fit(chart_of(), 74, PROFILE)
