"""How much floss a group really uses, from what its volunteers say when kits come back.

Nobody measures a thread. What comes back is whole lengths, so each answer bounds the calibration from below and
above, and the estimate is the value that contradicts the answers least.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import ceil, comb
from typing import Literal

from gowngroup.planning.floss.rules import FlossRules, needlefuls_for, needlefuls_per_cut

Outcome = Literal["short", "enough", "left"]
LEAST_CALIBRATION, MOST_CALIBRATION = 0.5, 2.0
_STEP = 1e-4
_LIKELY_SHARE = 0.05


@dataclass(frozen=True, slots=True, kw_only=True)
class FlossRun:
    """One run of stitches of a gown: its floss by letter, strands, and path in mm at calibration 1."""

    floss_role: str
    strand_count: int
    length_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class FlossReport:
    """What was wound for a kit, and what was said when it came back.

    `runs` are those of one gown. `cut_count` is how many cuts were left, or how many more were needed;
    None where nobody counted.
    """

    runs: tuple[FlossRun, ...]
    gown_count: int
    wound_cuts: int
    spare_cuts: int
    outcome: Outcome
    cut_count: int | None
    rules: FlossRules


@dataclass(frozen=True, slots=True, kw_only=True)
class CalibrationRange:
    """The calibrations that agree with one report."""

    low: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class LearnedCalibration:
    """What returned kits say of the calibration; it likely lies between `low` and `high`."""

    value: float
    low: float
    high: float
    report_count: int
    short_count: int
    left_count: int

    def agrees_with(self, current: float) -> bool:
        """Whether the figure in use may well be right, so that nothing need change."""
        return self.low <= current <= self.high


def calibration_range(report: FlossReport) -> CalibrationRange:
    """The calibrations at which the geometric model uses as many cuts as the report says (derived).

    The model's cuts rise in steps with the calibration, so a report bounds it from below and above: below by
    cuts counted gown by gown, above by needlefuls shared between the gowns of the kit.
    """
    least_used, most_used = _used_cuts(report)
    return CalibrationRange(
        low=_first(lambda calibration: _cuts(report, calibration, is_shared=False) >= least_used),
        high=_first(lambda calibration: _cuts(report, calibration, is_shared=True) > most_used),
    )


def learned_calibration(
    reports: Sequence[FlossReport], *, current: float, least_report_count: int
) -> LearnedCalibration | None:
    """The calibration that contradicts the reports least; None while there are fewer than asked for (derived).

    It is the middle of all lower and upper bounds together: the least sum of distances to the reports' ranges,
    which for exact values is their median, so that a few odd kits do not move it. Where reports leave a gap
    the value in it nearest to `current` is taken. The likely range is that of a sign test for the median at
    95 %: of no value in it do so many ranges lie above, or below, as happens once in twenty (textbook statistics).
    """
    if len(reports) < max(least_report_count, 1):
        return None
    ranges = [calibration_range(report) for report in reports]
    ends = sorted(end for each in ranges for end in (each.low, each.high))
    plausible = (LEAST_CALIBRATION, *ends, MOST_CALIBRATION)
    likely = [end for end in plausible if _is_likely(end, ranges)]
    value = min(max(current, ends[len(ends) // 2 - 1]), ends[len(ends) // 2])
    return LearnedCalibration(
        value=value,
        low=min(*likely, value),
        high=max(*likely, value),
        report_count=len(reports),
        short_count=sum(report.outcome == "short" for report in reports),
        left_count=sum(report.outcome == "left" for report in reports),
    )


def _used_cuts(report: FlossReport) -> tuple[int, float]:
    """The fewest and the most cuts that were begun."""
    wound, count = report.wound_cuts, report.cut_count
    if report.outcome == "enough":
        return wound - report.spare_cuts, wound
    if report.outcome == "short":
        return (wound + 1, float("inf")) if count is None else (wound + count, wound + count)
    return (0, wound - 1) if count is None else (wound - count, wound - count)


def _cuts(report: FlossReport, calibration: float, *, is_shared: bool) -> int:
    """Cuts of the whole kit; needlefuls of unlike floss or strands never share one."""
    needlefuls: dict[tuple[str, int], int] = {}
    for run in report.runs:
        kind = (run.floss_role, run.strand_count)
        count = needlefuls_for(calibration * run.length_mm, report.rules)
        needlefuls[kind] = needlefuls.get(kind, 0) + count
    together, apart = (report.gown_count, 1) if is_shared else (1, report.gown_count)
    return sum(
        apart * ceil(together * count / needlefuls_per_cut(strands, report.rules))
        for (_, strands), count in needlefuls.items()
    )


def _first(is_reached: Callable[[float], bool]) -> float:
    """Where a condition that once reached stays so is reached first, within what is plausible."""
    low, high = LEAST_CALIBRATION, MOST_CALIBRATION
    if is_reached(low):
        return low
    while high - low > _STEP:
        middle = (low + high) / 2
        low, high = (low, middle) if is_reached(middle) else (middle, high)
    return high


def _is_likely(value: float, ranges: Sequence[CalibrationRange]) -> bool:
    """Sign test: ranges that hold the value may count on either side, so they never speak against it."""
    below = sum(each.high < value for each in ranges)
    above = sum(each.low > value for each in ranges)
    count, most = len(ranges), max(below, above)
    as_uneven = 2 * sum(comb(count, more) for more in range(most, count + 1))
    return as_uneven > _LIKELY_SHARE * 2.0**count
