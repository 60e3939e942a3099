"""Charts compiled to stitches: centring, sides of the thread, starts and left-handed work."""

from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

import pytest

from gowngroup.planning.smocking import (
    CannotSmock,
    ChartRow,
    Rise,
    Start,
    ThreadPositions,
    compile_chart,
    compile_row,
    used_pleats,
)
from tests.planning.smocking_cast import BABY_WAVE, CABLE, OUTLINE, PROFILE, STEM, TRELLIS, chart_of, wave


@pytest.mark.parametrize("pleats", [50, 74, 98, 122, 146])
@pytest.mark.parametrize("steps", [1, 2, 3])
def test_pleats_of_two_above_a_multiple_of_24_leave_none_spare(pleats: int, steps: int) -> None:
    """N = 2 (mod 24) fits one, two and three steps whole (derived)."""
    assert compile_row(wave(steps), pleats, PROFILE).spare_each_side == 0


@pytest.mark.parametrize(("steps", "used"), [(1, 114), (2, 110), (3, 114), (4, 112)])
def test_114_pleats_are_centred_as_worked_by_hand(steps: int, used: int) -> None:
    """Of 114 pleats one and three steps use all, two steps 110, four steps 112 (derived)."""
    row = compile_row(wave(steps), 114, PROFILE)
    assert row.used_pleat_count == used
    assert row.spare_each_side == (114 - used) // 2


@pytest.mark.parametrize(
    ("row", "repeat"),
    [(CABLE, 2), (STEM, 1), (OUTLINE, 1), (wave(1), 4), (wave(2), 6), (wave(3), 8), (wave(4), 10)],
)
def test_a_repeat_has_2k_plus_2_pleats(row: ChartRow, repeat: int) -> None:
    """Repeats are 2 for cable, 1 for stem and outline, 4, 6, 8, 10 for waves (common practice)."""
    assert row.repeat_pleats == repeat


def test_a_row_has_one_stitch_less_than_pleats_used() -> None:
    """Each stitch picks up one new pleat, so 74 pleats take 73 stitches and 18 repeats of baby wave."""
    row = compile_row(BABY_WAVE, 74, PROFILE)
    assert len(row.moves) == 73
    assert row.repeat_count == 18


def test_the_first_half_has_the_centre_turn() -> None:
    """A row started at the centre has two runs, and the one with the centre turn is a stitch longer."""
    first, second = compile_row(BABY_WAVE, 74, PROFILE).runs
    assert (len(first), len(second)) == (37, 36)
    assert (first[0].from_pleat, first[0].to_pleat) == (36, 37)
    assert second[0].from_pleat == 36


def test_the_row_is_mirrored_about_the_centre_valley() -> None:
    """A pleat and its mirror image are worked at the same height."""
    row = compile_row(TRELLIS, 74, PROFILE)
    height = {move.to_pleat: move.to_row for move in row.moves} | {
        move.from_pleat: move.from_row for move in row.moves
    }
    assert all(height[pleat] == height[73 - pleat] for pleat in range(74))


def test_baby_wave_keeps_the_thread_below_up_and_above_down() -> None:
    """Level at the bottom and up below, level at the top and down above (published tutorials of the stitch)."""
    first, _ = compile_row(BABY_WAVE, 74, PROFILE).runs
    assert [move.thread for move in first[:4]] == ["below", "below", "above", "above"]
    assert [move.to_row - move.from_row for move in first[:4]] == [0, -0.5, 0, 0.5]


def test_cable_alternates_along_the_whole_row() -> None:
    """Cable stitches lie below and above by turns from edge to edge (common practice)."""
    moves = sorted(
        compile_row(CABLE, 20, PROFILE).moves, key=lambda move: min(move.from_pleat, move.to_pleat)
    )
    threads = [move.thread for move in moves]
    assert all(one != next_one for one, next_one in pairwise(threads))
    assert threads[9] == "below"


def test_cable_may_start_with_the_thread_above() -> None:
    """A chart says with which side a cable row starts."""
    row = compile_row(replace(CABLE, first_thread="above"), 20, PROFILE)
    assert row.moves[0].thread == "above"


@pytest.mark.parametrize(("row", "thread"), [(OUTLINE, "above"), (STEM, "below")])
def test_outline_lies_above_and_stem_below(row: ChartRow, thread: str) -> None:
    """Outline keeps the thread above throughout, stem below (common practice; some sources say the reverse)."""
    assert {move.thread for move in compile_row(row, 20, PROFILE).moves} == {thread}


def test_a_group_may_hold_the_reverse_for_outline_and_stem() -> None:
    """The sides of the thread come from the group's figures."""
    threads = ThreadPositions.from_figures(
        {"stitch_rising_thread_is_below": 0, "stitch_outline_thread_is_above": 0}
    )
    assert compile_row(OUTLINE, 20, PROFILE, threads=threads).moves[0].thread == "below"
    assert compile_row(BABY_WAVE, 20, PROFILE, threads=threads).moves[0].thread == "above"


def test_the_usual_figures_give_the_usual_sides() -> None:
    """The default figures and the usual thread rules are the same."""
    threads = ThreadPositions.from_figures(
        {"stitch_rising_thread_is_below": 1, "stitch_outline_thread_is_above": 1}
    )
    assert threads == ThreadPositions()


def test_a_row_with_its_centre_turn_at_the_top_goes_down_first() -> None:
    """Two rows with opposite centre turns make diamonds."""
    first, _ = compile_row(replace(BABY_WAVE, centre_at="top"), 74, PROFILE).runs
    assert [move.thread for move in first[:4]] == ["above", "above", "below", "below"]
    assert [move.from_row for move in first[:4]] == [1.0, 1.0, 1.5, 1.5]


@pytest.mark.parametrize(("start", "first_pleat"), [("left", 2), ("right", 111)])
def test_a_row_started_at_an_edge_has_one_run(start: Start, first_pleat: int) -> None:
    """A row started at an edge is centred alike and worked in one run."""
    row = compile_row(replace(wave(2), start=start), 114, PROFILE)
    assert len(row.runs) == 1
    assert row.moves[0].from_pleat == first_pleat
    assert len(row.moves) == 109


@pytest.mark.parametrize("start", ["centre", "left", "right"])
def test_left_handed_work_is_the_mirror_image(start: Start) -> None:
    """A left-handed smocker makes the same stitches with left and right exchanged."""
    row = replace(TRELLIS, start=start)
    right = compile_row(row, 74, PROFILE).moves
    left = compile_row(row, 74, PROFILE, is_left_handed=True).moves
    assert left == tuple(
        replace(move, from_pleat=73 - move.from_pleat, to_pleat=73 - move.to_pleat) for move in right
    )


@pytest.mark.parametrize("start", ["centre", "left", "right"])
def test_back_smocking_starts_where_its_worker_sees_it(start: Start) -> None:
    """Seen from the right side a row on the wrong side runs the other way; a left-handed worker's runs back."""
    front = replace(CABLE, start=start)
    back = replace(front, is_back_smocking=True)
    mirrored = compile_row(front, 74, PROFILE, is_left_handed=True).moves
    assert compile_row(back, 74, PROFILE).moves == mirrored
    assert compile_row(back, 74, PROFILE, is_left_handed=True).moves == compile_row(front, 74, PROFILE).moves


def test_travel_follows_the_pleaters_row_space() -> None:
    """A baby wave travels half of the row space that this pleater has."""
    row = compile_row(BABY_WAVE, 20, replace(PROFILE, row_space_mm=10.0))
    assert {move.travel_mm for move in row.moves} == {0.0, 5.0}


@pytest.mark.parametrize(
    ("rise", "steps", "spaces"), [("thirds", 4, Fraction(4, 3)), ("quarters", 7, Fraction(7, 4))]
)
def test_a_trellis_may_span_more_than_one_row_space(rise: Rise, steps: int, spaces: Fraction) -> None:
    """Steps of a third or a quarter add up over as many rows as there are steps."""
    assert wave(steps, rise).rise_spaces == spaces


def test_a_chart_counts_all_its_stitches() -> None:
    """A chart of 74 pleats has 73 stitches in each row without spare pleats."""
    compiled = compile_chart(chart_of(CABLE, replace(BABY_WAVE, top_row=Fraction(2))), 74, PROFILE)
    assert compiled.move_count == 146
    assert compiled.move_count == sum(len(row.moves) for row in compiled.rows)


def test_a_row_over_odd_pleats_is_refused() -> None:
    """A centre valley needs an even number of pleats."""
    with pytest.raises(CannotSmock, match="baby wave: odd_pleats"):
        compile_row(BABY_WAVE, 75, PROFILE)


def test_a_whole_strip_all_round_is_compiled_like_a_panel() -> None:
    """A round neck is one strip with the centre front in its middle valley."""
    assert used_pleats(wave(3), 146) == 146
