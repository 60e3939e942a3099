"""Charts that cannot be worked over a number of pleats, and numbers that suit."""

import math
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gowngroup.planning.smocking import (
    CannotSmock,
    Chart,
    ChartRow,
    FaultReason,
    NearestPleatCounts,
    SmockingFault,
    chart_faults,
    compile_chart,
    nearest_pleat_counts,
    suits_all_rows,
)
from tests.planning.smocking_cast import BABY_WAVE, CABLE, OUTLINE, PROFILE, TRELLIS, chart_of, tall, wave

UPPER = replace(TRELLIS, name="upper", centre_at="bottom")
LOWER = replace(TRELLIS, name="lower", top_row=Fraction(2), centre_at="top", meets_row_above=True)


def only_fault(chart: Chart, pleats: int) -> SmockingFault:
    """The one fault of a chart."""
    (fault,) = chart_faults(chart, pleats)
    return fault


def test_odd_pleats_are_a_fault_of_each_row() -> None:
    """Odd pleats are refused with the row named and the next even number."""
    fault = only_fault(chart_of(CABLE), 75)
    assert fault == SmockingFault(reason="odd_pleats", row_name="cable", found=75, needed=76)


def test_a_row_below_the_pleated_rows_is_a_fault() -> None:
    """A wave that starts on the last pleated row has nothing to go down to."""
    fault = only_fault(chart_of(replace(BABY_WAVE, top_row=Fraction(5)), row_count=5), 74)
    assert fault == SmockingFault(reason="row_off_pleated_height", row_name="baby wave", found=5.5, needed=5)


def test_a_row_above_the_pleated_rows_is_a_fault() -> None:
    """No row may lie above the first pleating thread."""
    fault = only_fault(chart_of(replace(CABLE, top_row=Fraction(1, 2))), 74)
    assert (fault.reason, fault.needed) == ("row_off_pleated_height", 1)


def test_the_last_pleated_row_may_be_worked() -> None:
    """A wave may reach the last pleated row."""
    assert not chart_faults(chart_of(replace(BABY_WAVE, top_row=Fraction(9, 2)), row_count=5), 74)


@pytest.mark.parametrize(("steps", "least"), [(1, 6), (3, 10), (6, 16)])
def test_fewer_pleats_than_one_repeat_are_a_fault(steps: int, least: int) -> None:
    """A wave needs one whole repeat with a turn at both ends."""
    assert not chart_faults(chart_of(wave(steps)), least)
    fault = only_fault(chart_of(wave(steps)), least - 2)
    assert (fault.reason, fault.needed) == ("fewer_pleats_than_one_repeat", least)


def test_diamonds_meet() -> None:
    """Two trellis rows with opposite centre turns touch at every turn."""
    assert not chart_faults(chart_of(UPPER, LOWER), 74)


@pytest.mark.parametrize(
    "lower",
    [
        replace(LOWER, centre_at="bottom"),
        replace(LOWER, top_row=Fraction(3)),
        replace(LOWER, steps=6),
    ],
    ids=["out of step", "too far down", "other repeat"],
)
def test_turns_that_do_not_meet_are_a_fault(lower: ChartRow) -> None:
    """A row said to meet the one above must have the same repeat, opposite turns and a common height."""
    fault = only_fault(chart_of(UPPER, lower), 98)
    assert (fault.reason, fault.row_name) == ("turns_do_not_meet", "lower")


def test_the_first_row_has_none_above_to_meet() -> None:
    """The uppermost row cannot meet a row above it."""
    assert only_fault(chart_of(replace(UPPER, meets_row_above=True)), 74).reason == "turns_do_not_meet"


def test_level_rows_meet_at_one_height() -> None:
    """A stem row may touch an outline row at the same height anywhere along it."""
    assert not chart_faults(chart_of(OUTLINE, replace(CABLE, meets_row_above=True)), 74)


@pytest.mark.parametrize(
    ("row", "reason"),
    [
        (replace(CABLE, steps=1), "steps_do_not_suit_stitch"),
        (replace(BABY_WAVE, steps=0), "steps_do_not_suit_stitch"),
        (replace(CABLE, rise="half"), "rise_does_not_suit_stitch"),
        (replace(BABY_WAVE, rise="level"), "rise_does_not_suit_stitch"),
        (replace(CABLE, strand_count=0), "strands_below_one"),
        (replace(BABY_WAVE, rise="halves"), "rise_does_not_suit_stitch"),
        (replace(CABLE, rise="halves", rise_half_spaces=2), "rise_does_not_suit_stitch"),
        (tall(1, 3), "step_too_steep"),
        (tall(4, 9), "step_too_steep"),
    ],
)
def test_rows_at_odds_with_their_stitch_are_a_fault(row: ChartRow, reason: FaultReason) -> None:
    """Level stitches have no steps and no rise, waves have both, and floss has strands."""
    assert only_fault(chart_of(row), 74).reason == reason


@pytest.mark.parametrize("steps", [2, 3, 4])
def test_a_trellis_may_rise_a_space_with_each_step(steps: int) -> None:
    """Two, three or four steps may rise as many spaces, and end at the last pleated row (common practice, no source)."""
    row = tall(steps, 2 * steps)
    assert row.bottom_row == 1 + steps
    assert chart_faults(chart_of(row, row_count=1 + steps), 74) == ()
    assert only_fault(chart_of(row, row_count=steps), 74) == SmockingFault(
        reason="row_off_pleated_height", row_name=row.name, found=1 + steps, needed=steps
    )


def test_tall_trellises_may_meet() -> None:
    """Two trellises over two spaces each make diamonds four spaces high."""
    lower = replace(tall(4, 4), top_row=Fraction(3), centre_at="top", meets_row_above=True)
    assert not chart_faults(chart_of(tall(4, 4), lower, row_count=5), 72)


def test_every_fault_is_told_at_once() -> None:
    """A refusal names each row and reason, not only the first."""
    with pytest.raises(CannotSmock) as caught:
        compile_chart(chart_of(CABLE, replace(TRELLIS, top_row=Fraction(9))), 7, PROFILE)
    assert [(fault.row_name, fault.reason) for fault in caught.value.faults] == [
        ("cable", "odd_pleats"),
        ("three-step trellis", "odd_pleats"),
        ("three-step trellis", "fewer_pleats_than_one_repeat"),
        ("three-step trellis", "row_off_pleated_height"),
    ]


def test_a_chart_without_rows_is_a_fault() -> None:
    """An empty chart is refused and has no pleats to suggest."""
    with pytest.raises(CannotSmock, match="chart: no_rows"):
        nearest_pleat_counts(chart_of(), 74)


def test_nearest_pleats_suit_one_two_and_three_steps() -> None:
    """Around 114 pleats, 98 and 122 suit k = 1, 2 and 3 together (derived)."""
    nearest = nearest_pleat_counts(chart_of(wave(1), wave(2), wave(3)), 114)
    assert nearest == NearestPleatCounts(at_or_below=98, at_or_above=122)


def test_no_smaller_number_is_suggested_where_none_suits() -> None:
    """Below the least number of pleats only a larger one is suggested."""
    nearest = nearest_pleat_counts(chart_of(wave(3)), 6)
    assert nearest == NearestPleatCounts(at_or_below=None, at_or_above=10)


@settings(max_examples=30)
@given(steps=st.lists(st.integers(0, 6), min_size=1, max_size=3), pleats=st.integers(1, 200))
def test_nearest_pleats_are_those_found_by_trying_all(steps: list[int], pleats: int) -> None:
    """The suggested numbers are the ones a search through all numbers finds."""
    chart = chart_of(*(wave(k) if k else CABLE for k in steps))
    suitable = [n for n in range(2, 1300) if suits_all_rows(chart, n)]
    below = max((n for n in suitable if n <= pleats), default=None)
    assert nearest_pleat_counts(chart, pleats) == NearestPleatCounts(
        at_or_below=below, at_or_above=min(n for n in suitable if n >= pleats)
    )


@pytest.mark.parametrize("pleats", [math.nan, math.inf, 50.5])
def test_pleats_that_are_no_whole_number_are_a_fault(pleats: float) -> None:
    """They have no valley in the middle either."""
    assert "odd_pleats" in {fault.reason for fault in chart_faults(chart_of(UPPER), pleats)}  # type: ignore[arg-type]


def test_a_height_that_is_no_number_is_a_fault() -> None:
    """A row nobody can find among the pleated rows lies off them."""
    nowhere = replace(chart_of(UPPER).rows[0], top_row=math.nan)  # type: ignore[arg-type]
    faults = chart_faults(replace(chart_of(UPPER), rows=(nowhere,)), 50)
    assert [fault.reason for fault in faults] == ["row_off_pleated_height"]
    deep = chart_faults(replace(chart_of(UPPER), row_count=math.nan), 50)  # type: ignore[arg-type]
    assert {fault.reason for fault in deep} == {"row_off_pleated_height"}
