"""Usual minutes for a gown, stage by stage, as a range and never as one person's speed."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal, Self

Stage = Literal["cut", "pleat", "smock", "make_up", "lace", "finish", "companions"]
KitStage = Literal["whole", "pleat", "smock", "make_up"]

_KIT_STAGES: Mapping[KitStage, tuple[Stage, ...]] = {
    "whole": ("pleat", "smock", "make_up", "lace", "finish", "companions"),
    "pleat": ("pleat",),
    "smock": ("smock",),
    "make_up": ("make_up", "lace", "finish", "companions"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class HoursRules:
    """Minutes and speeds of the stages."""

    cut_min: float
    cut_in_batch_min: float
    pleat_min: float
    stitches_per_h_learner: float
    stitches_per_h_usual: float
    stitches_per_h_expert: float
    thread_start_min: float
    make_up_short_min: float
    make_up_usual_min: float
    make_up_long_min: float
    lace_min_per_m: float
    finish_min: float
    companion_min: tuple[tuple[str, float], ...]

    @classmethod
    def from_figures(cls, values: Mapping[str, float]) -> Self:
        """The usual hours, from the figures keyed `hours_…`."""
        return cls(
            cut_min=values["hours_cut_min"],
            cut_in_batch_min=values["hours_cut_in_batch_min"],
            pleat_min=values["hours_pleat_min"],
            stitches_per_h_learner=values["hours_stitches_learner"],
            stitches_per_h_usual=values["hours_stitches_usual"],
            stitches_per_h_expert=values["hours_stitches_expert"],
            thread_start_min=values["hours_thread_start_min"],
            make_up_short_min=values["hours_make_up_short_min"],
            make_up_usual_min=values["hours_make_up_usual_min"],
            make_up_long_min=values["hours_make_up_long_min"],
            lace_min_per_m=values["hours_lace_min_per_m"],
            finish_min=values["hours_finish_min"],
            companion_min=(
                ("bonnet", values["hours_bonnet_min"]),
                ("blanket", values["hours_blanket_min"]),
                ("keepsakes", values["hours_keepsakes_min"]),
                ("swatch", values["hours_swatch_min"]),
            ),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class GownWork:
    """What there is to do on one gown and on what goes along with it; a gown without stitches is not pleated either."""

    stitch_count: int
    thread_starts: int
    lace_mm: float
    is_cut_in_batch: bool
    companions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class StageTime:
    """Minutes for one stage: short, usual and long."""

    stage: Stage
    short_min: float
    usual_min: float
    long_min: float


@dataclass(frozen=True, slots=True, kw_only=True)
class TimeRange:
    """Minutes for several stages together."""

    short_min: float
    usual_min: float
    long_min: float


def smocking_min(work: GownWork, *, stitches_per_h: float, rules: HoursRules) -> float:
    """Minutes to smock: stitches at a speed, and 3 minutes for each thread start (common practice)."""
    return 60 * work.stitch_count / stitches_per_h + work.thread_starts * rules.thread_start_min


def stage_times(work: GownWork, rules: HoursRules) -> tuple[StageTime, ...]:
    """Minutes for each stage of one gown, in the order of work, its companions last (common practice, no source)."""
    cut_min = rules.cut_in_batch_min if work.is_cut_in_batch else rules.cut_min
    smock_min = [
        smocking_min(work, stitches_per_h=speed, rules=rules)
        for speed in (rules.stitches_per_h_expert, rules.stitches_per_h_usual, rules.stitches_per_h_learner)
    ]
    companions_min = sum(dict(rules.companion_min)[kind] for kind in work.companions)
    make_up_min = [rules.make_up_short_min, rules.make_up_usual_min, rules.make_up_long_min]
    return (
        _stage("cut", [cut_min] * 3),
        _stage("pleat", [rules.pleat_min if work.stitch_count else 0.0] * 3),
        _stage("smock", smock_min),
        _stage("make_up", make_up_min),
        _stage("lace", [rules.lace_min_per_m * work.lace_mm / 1000] * 3),
        _stage("finish", [rules.finish_min] * 3),
        *((_stage("companions", [companions_min] * 3),) if work.companions else ()),
    )


def kit_time(times: tuple[StageTime, ...], kit_stage: KitStage, *, is_pleated: bool) -> TimeRange:
    """Minutes a volunteer's kit usually takes per gown; kits come cut, and may come pleated."""
    left = [stage for stage in _KIT_STAGES[kit_stage] if not (is_pleated and stage == "pleat")]
    included = [time for time in times if time.stage in left]
    return TimeRange(
        short_min=sum(time.short_min for time in included),
        usual_min=sum(time.usual_min for time in included),
        long_min=sum(time.long_min for time in included),
    )


def _stage(stage: Stage, minutes: list[float]) -> StageTime:
    short_min, usual_min, long_min = minutes
    return StageTime(stage=stage, short_min=short_min, usual_min=usual_min, long_min=long_min)
