"""Usual hours for a gown."""

from dataclasses import replace

import pytest

from gowngroup.planning.figures import default_values
from gowngroup.planning.hours import GownWork, HoursRules, KitStage, Stage, StageTime, kit_time, stage_times

RULES = HoursRules.from_figures(default_values())
WORK = GownWork(stitch_count=600, thread_starts=16, lace_mm=500, is_cut_in_batch=True)


def stage(name: Stage, work: GownWork = WORK) -> StageTime:
    """One stage's time."""
    return next(time for time in stage_times(work, RULES) if time.stage == name)


def test_smocking_goes_by_stitches_and_thread_starts() -> None:
    """600 stitches at 400, 300 and 150 an hour and 16 starts of 3 minutes (common practice)."""
    smock = stage("smock")
    assert (smock.short_min, smock.usual_min, smock.long_min) == (90 + 48, 120 + 48, 240 + 48)


@pytest.mark.parametrize(
    ("name", "minutes"),
    [("cut", 9), ("pleat", 18), ("lace", 9), ("finish", 18), ("make_up", 120)],
)
def test_other_stages_take_their_usual_minutes(name: Stage, minutes: float) -> None:
    """Cut 0.15 h in a batch, pleat 0.3, lace 0.3 a metre, finish 0.3, make up 2 (common practice)."""
    assert stage(name).usual_min == minutes


def test_a_gown_cut_alone_takes_twice_as_long_to_cut() -> None:
    """Cutting takes 0.3 h alone (common practice)."""
    assert stage("cut", replace(WORK, is_cut_in_batch=False)).usual_min == 18


def test_making_up_has_a_range() -> None:
    """Sewing takes 1.5 to 2.5 h (common practice)."""
    make_up = stage("make_up")
    assert (make_up.short_min, make_up.long_min) == (90, 150)


def test_a_plain_wrap_is_neither_pleated_nor_smocked() -> None:
    """A gown without stitches needs no pleating."""
    wrap = replace(WORK, stitch_count=0, thread_starts=0)
    assert (stage("pleat", wrap).usual_min, stage("smock", wrap).long_min) == (0, 0)


@pytest.mark.parametrize(
    ("kit_stage", "usual_min"),
    [("whole", 18 + 168 + 120 + 9 + 18), ("pleat", 18), ("smock", 168), ("make_up", 120 + 9 + 18)],
)
def test_a_kit_takes_the_stages_it_is_for(kit_stage: KitStage, usual_min: float) -> None:
    """A kit comes cut; a whole gown is pleated, smocked, made up, trimmed and finished."""
    assert kit_time(stage_times(WORK, RULES), kit_stage, is_pleated=False).usual_min == usual_min


def test_a_pleated_kit_saves_the_pleating() -> None:
    """A kit handed out pleated takes the pleating time less."""
    times = stage_times(WORK, RULES)
    plain, pleated = (kit_time(times, "whole", is_pleated=flag) for flag in (False, True))
    assert plain.usual_min - pleated.usual_min == 18


def test_companions_add_their_own_minutes() -> None:
    """Bonnet 45, blanket 40, squares 20 minutes, a spare piece none (common practice, no source): made up at home."""
    alone = stage_times(WORK, RULES)
    along = stage_times(replace(WORK, companions=("bonnet", "blanket", "keepsakes", "swatch")), RULES)
    assert (along[:-1], along[-1].stage) == (alone, "companions")
    more: dict[KitStage, int] = {"whole": 105, "make_up": 105, "pleat": 0, "smock": 0}
    for kit_stage, more_min in more.items():
        before, after = (kit_time(times, kit_stage, is_pleated=False) for times in (alone, along))
        assert after.usual_min - before.usual_min == more_min
        assert after.short_min - before.short_min == after.long_min - before.long_min == more_min


def test_a_groups_own_minutes_for_squares_count() -> None:
    """What the group writes for the keepsake squares is what they take."""
    own = HoursRules.from_figures({**default_values(), "hours_keepsakes_min": 35.0})
    times = stage_times(replace(WORK, companions=("keepsakes",)), own)
    assert times[-1] == StageTime(stage="companions", short_min=35, usual_min=35, long_min=35)


def test_the_range_runs_from_expert_to_learner() -> None:
    """The short end sums the short stages and the long end the long ones."""
    whole = kit_time(stage_times(WORK, RULES), "whole", is_pleated=True)
    assert (whole.short_min, whole.long_min) == (138 + 90 + 9 + 18, 288 + 150 + 9 + 18)
