"""The group's own calibration, learned from what is said when kits come back."""

from dataclasses import replace
from math import ceil

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gowngroup.planning.floss import (
    FlossReport,
    FlossRun,
    LearnedCalibration,
    Outcome,
    calibration_range,
    learned_calibration,
)
from tests.planning.smocking_cast import FLOSS

# Half rows of two cables and of eight waves round a neck, in mm; a cut leaves 357 mm for stitching.
LENGTHS_MM = {"A": (345, 300), "B": (320, 345, 362, 390, 450, 560, 640, 700)}
RUNS = tuple(
    FlossRun(floss_role=role, strand_count=3, length_mm=share * length_mm)
    for role, lengths_mm in LENGTHS_MM.items()
    for length_mm in lengths_mm
    for share in (1.0, 0.98)
)
WOUND = 16


def used_by(calibration: float, *, gown_count: int = 1) -> int:
    """Cuts a sewer of this calibration begins, each floss parted into two threads of three strands."""
    threads = {
        role: sum(ceil(calibration * run.length_mm / 357) for run in RUNS if run.floss_role == role)
        for role in "AB"
    }
    return sum(gown_count * ceil(count / 2) for count in threads.values())


def report(used: int, *, wound: int = WOUND, gown_count: int = 1) -> FlossReport:
    """What a sewer says who used so many cuts of those wound."""
    return FlossReport(
        runs=RUNS,
        gown_count=gown_count,
        wound_cuts=wound,
        spare_cuts=0,
        outcome="short" if used > wound else "left" if used < wound else "enough",
        cut_count=abs(used - wound) or None,
        rules=FLOSS,
    )


def learned(*reports: FlossReport, current: float = 1.0, least: int = 8) -> LearnedCalibration | None:
    return learned_calibration(reports, current=current, least_report_count=least)


@given(calibration=st.floats(0.55, 1.95), gown_count=st.integers(1, 3))
def test_what_a_sewer_uses_agrees_with_her_own_calibration(calibration: float, gown_count: int) -> None:
    """The calibrations a report allows hold that of the sewer who gave it."""
    found = calibration_range(report(used_by(calibration, gown_count=gown_count), gown_count=gown_count))
    assert found.low - 2e-4 <= calibration <= found.high + 2e-4


def test_a_range_ends_where_a_cut_more_is_begun() -> None:
    """Of 27 threads the 14th cut serves two: one thread less from 357/362 on, two more from 714/700 (derived)."""
    found = calibration_range(report(used_by(1.0)))
    assert found.low == pytest.approx(357 / 362, abs=1e-3)
    assert found.high == pytest.approx(714 / 700, abs=1e-3)


@pytest.mark.parametrize(("outcome", "low", "high"), [("short", 714 / 700, 2.0), ("left", 0.5, 357 / 362)])
def test_an_answer_without_a_count_bounds_one_side(outcome: Outcome, low: float, high: float) -> None:
    """She ran short, nobody knows by how much: the calibration lies above; some was left: below."""
    found = calibration_range(replace(report(used_by(1.0)), outcome=outcome, cut_count=None))
    assert [found.low, found.high] == pytest.approx([low, high], abs=1e-3)


def test_just_enough_may_have_taken_the_spare() -> None:
    """Who had just enough began some of the spare, or none of it."""
    exact = report(used_by(1.0))
    spare = replace(exact, wound_cuts=exact.wound_cuts + 1, spare_cuts=1)
    assert calibration_range(spare).low == calibration_range(exact).low
    assert calibration_range(spare).high > calibration_range(exact).high


def test_needlefuls_left_in_one_gown_may_serve_the_next() -> None:
    """Two gowns of three needlefuls take three cuts shared and four apart: both agree with the same sewer."""
    run = FlossRun(floss_role="A", strand_count=3, length_mm=1000.0)
    pair = replace(report(0, gown_count=2), runs=(run,), wound_cuts=4, outcome="left", cut_count=1)
    found = calibration_range(pair)
    assert found.low <= 1.0 <= found.high


def test_too_few_kits_say_nothing() -> None:
    """Seven kits are not enough where eight are asked for, and none never is."""
    assert learned(*[report(used_by(1.2))] * 7) is None
    assert learned(least=0) is None


def test_kits_that_agree_change_nothing() -> None:
    """Where every kit comes back as planned the figure in use stands."""
    found = learned(*[report(used_by(1.0))] * 8)
    assert found is not None
    assert (found.value, found.agrees_with(1.0), found.short_count, found.left_count) == (1.0, True, 0, 0)


@pytest.mark.parametrize("true", [0.8, 1.15, 1.35])
def test_a_groups_own_hand_is_found(true: float) -> None:
    """Twenty-five sewers about one hand: the estimate agrees with it as closely as whole cuts allow."""
    hands = [true * (0.94 + 0.005 * number) for number in range(25)]
    found = learned(*(report(used_by(hand)) for hand in hands))
    assert found is not None
    assert found.low <= true <= found.high
    assert found.value == pytest.approx(true, abs=0.08)
    assert not found.agrees_with(1.0)


def test_a_few_odd_kits_do_not_move_it() -> None:
    """Three kits whose rows were unpicked and sewn twice leave the estimate of nine within its range."""
    usual, odd = [report(used_by(1.15))] * 9, [report(2 * used_by(1.0))] * 3
    found = learned(*usual, *odd)
    assert found is not None
    assert calibration_range(usual[0]).low <= found.value <= calibration_range(usual[0]).high


def test_eight_kits_run_short_are_no_chance() -> None:
    """Eight of eight above happens to a right figure in 1 case of 128; the figure in use is given up."""
    found = learned(*[report(used_by(1.0) + 2)] * 8)
    assert found is not None
    assert (found.agrees_with(1.0), found.short_count) == (False, 8)
    assert found.low > 1.0


def test_seven_kits_of_eight_run_short_may_be_chance() -> None:
    """Seven or more of eight on one side happens to a right figure in 18 of 256 cases: it stands."""
    found = learned(*[report(used_by(1.0) + 2)] * 7, report(used_by(0.8)))
    assert found is not None
    assert found.agrees_with(1.0)


def test_five_kits_leave_everything_likely() -> None:
    """Five of five happens to a right figure in one case of sixteen, so five kits bound nothing."""
    found = learned(*[report(used_by(1.0) + 2)] * 5, least=5)
    assert found is not None
    assert (found.low, found.high) == (0.5, 2.0)


def test_four_of_eight_may_be_chance() -> None:
    """Where half run short and half have some left the figure in use stands."""
    above, below = report(used_by(1.0) + 2), report(used_by(0.8))
    found = learned(*[above, below] * 4)
    assert found is not None
    assert found.agrees_with(1.0)


def test_what_no_hand_uses_ends_at_what_is_plausible() -> None:
    """Nobody uses less than half the model's floss: a report of none used stops there."""
    found = calibration_range(report(0))
    assert (found.low, found.high) == (0.5, 0.5)
