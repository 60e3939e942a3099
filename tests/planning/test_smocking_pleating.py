"""Cloth and thread for pleating."""

import math
from dataclasses import replace

import pytest

from gowngroup.planning.smocking import (
    calibrated_take_up_mm,
    cloth_ratio,
    flat_width_mm,
    pleat_pitch_mm,
    pleated_row_count,
    pleating_thread_mm,
    pleats_for_width,
)
from tests.planning.smocking_cast import PROFILE


@pytest.mark.parametrize(("pleats", "flat_mm"), [(74, 508.0), (122, 812.8)])
def test_flat_width_has_three_pleats_more_at_each_end(pleats: int, flat_mm: float) -> None:
    """74 pleats lie 508 mm wide flat, a round neck's 122 pleats about 81 cm (derived)."""
    assert flat_width_mm(pleats, PROFILE) == pytest.approx(flat_mm)


def test_pitch_is_the_take_up_over_the_ratio() -> None:
    """At ratio 3 the pleats of 74 finish 156.6 mm wide (derived)."""
    pitch_mm = pleat_pitch_mm(finished_width_mm=156.6333, pleat_count=74)
    assert pitch_mm == pytest.approx(6.35 / 3, abs=1e-5)
    assert cloth_ratio(finished_width_mm=156.6333, pleat_count=74, profile=PROFILE) == pytest.approx(
        3.0, abs=1e-5
    )


def test_round_neck_is_tightest_at_the_neck() -> None:
    """122 pleats at a neck of 16.5 cm have ratio 4.7 (derived)."""
    assert cloth_ratio(finished_width_mm=165, pleat_count=122, profile=PROFILE) == pytest.approx(
        4.7, abs=0.05
    )


@pytest.mark.parametrize(
    ("width_mm", "ratio", "pleats"), [(156.6, 3.0, 74), (130.5, 3.6, 74), (100.0, 4.0, 62)]
)
def test_pleats_for_a_width_are_even(width_mm: float, ratio: float, pleats: int) -> None:
    """The even number nearest to finished width over pitch is taken (derived)."""
    assert pleats_for_width(finished_width_mm=width_mm, ratio=ratio, profile=PROFILE) == pleats


def test_two_holding_rows_are_pleated_besides() -> None:
    """Eight design rows take ten threads in the pleater (common practice)."""
    assert pleated_row_count(8, PROFILE) == 10


def test_pleating_thread_hangs_30_cm_at_both_ends() -> None:
    """Ten rows of 508 mm flat and two ends of 300 mm take 11.08 m (common practice)."""
    assert pleating_thread_mm(pleat_count=74, design_row_count=8, profile=PROFILE) == pytest.approx(11_080)


def test_take_up_is_calibrated_by_counting() -> None:
    """Eighty pleats counted over 50 cm mean 6.25 mm a pleat, which the flat width then follows."""
    take_up_mm = calibrated_take_up_mm(counted_pleats=80)
    assert take_up_mm == 6.25
    assert flat_width_mm(74, replace(PROFILE, take_up_mm=take_up_mm)) == 500


@pytest.mark.parametrize(("pleats", "over_mm"), [(0, 500.0), (80, 0.0)])
def test_an_empty_count_is_refused(pleats: int, over_mm: float) -> None:
    """A count of nothing, or over nothing, calibrates nothing."""
    with pytest.raises(ValueError, match="at least one pleat"):
        calibrated_take_up_mm(counted_pleats=pleats, over_mm=over_mm)


@pytest.mark.parametrize("bad", [0.0, -1.0, math.nan, math.inf])
def test_a_measure_that_is_none_is_named(bad: float) -> None:
    """Widths, ratios and take-ups that nobody can pleat are refused by name, before any sum."""
    with pytest.raises(ValueError, match="the finished width must be above zero"):
        cloth_ratio(finished_width_mm=bad, pleat_count=74, profile=PROFILE)
    with pytest.raises(ValueError, match="the finished width must be above zero"):
        pleat_pitch_mm(finished_width_mm=bad, pleat_count=74)
    with pytest.raises(ValueError, match="the ratio must be above zero"):
        pleats_for_width(finished_width_mm=150, ratio=bad, profile=PROFILE)
    with pytest.raises(ValueError, match="the take up must be above zero"):
        pleats_for_width(finished_width_mm=150, ratio=3, profile=replace(PROFILE, take_up_mm=bad))
    with pytest.raises(ValueError, match="the number of pleats must be above zero"):
        pleat_pitch_mm(finished_width_mm=150, pleat_count=0)
