"""Whether a chart can be worked over a number of pleats, and which numbers suit it."""

from dataclasses import dataclass
from math import lcm
from typing import Literal

from gowngroup.planning.smocking.chart import Chart, ChartRow

FaultReason = Literal[
    "no_rows",
    "odd_pleats",
    "steps_do_not_suit_stitch",
    "rise_does_not_suit_stitch",
    "step_too_steep",
    "strands_below_one",
    "turns_do_not_meet",
    "row_off_pleated_height",
    "fewer_pleats_than_one_repeat",
]
_LEVEL_STITCHES = ("cable", "stem", "outline")


@dataclass(frozen=True, slots=True, kw_only=True)
class SmockingFault:
    """Why a row (or the whole chart, when `row_name` is empty) cannot be worked; `needed` is the least or most."""

    reason: FaultReason
    row_name: str
    found: float
    needed: float


class CannotSmock(ValueError):
    """The chart cannot be worked over these pleats; `faults` names each row and reason."""

    def __init__(self, faults: tuple[SmockingFault, ...]) -> None:
        super().__init__("; ".join(f"{fault.row_name or 'chart'}: {fault.reason}" for fault in faults))
        self.faults = faults


def used_pleats(row: ChartRow, pleat_count: int) -> int:
    """Pleats a centred row uses, N_used = 2(m(k+1) + 1), turns every k + 1 pleats from the centre (derived)."""
    half_repeats = (pleat_count // 2 - 1) // (row.steps + 1)
    return 2 * (half_repeats * (row.steps + 1) + 1)


def least_pleats(row: ChartRow) -> int:
    """Fewest pleats the row can be worked over: the centre turn and half a repeat to each side (derived)."""
    return 2 if row.stitch in _LEVEL_STITCHES else 2 * (row.steps + 2)


def row_faults(row: ChartRow, pleat_count: int) -> tuple[SmockingFault, ...]:
    """Everything that keeps one row from being worked over `pleat_count` pleats.

    No stitch climbs more than one row space: between two rows nothing holds the pleats (common practice, no source).
    """
    is_level = row.stitch in _LEVEL_STITCHES
    checks: tuple[tuple[bool, FaultReason, float, float], ...] = (
        (pleat_count % 2 != 0, "odd_pleats", pleat_count, pleat_count + 1),
        (
            is_level != (row.steps == 0) or row.steps < 0,
            "steps_do_not_suit_stitch",
            row.steps,
            0 if is_level else 1,
        ),
        (
            is_level != (row.rise == "level") or (row.rise == "halves" and row.rise_half_spaces < 1),
            "rise_does_not_suit_stitch",
            float(row.rise_spaces),
            0,
        ),
        (row.steps > 0 and row.rise_spaces > row.steps, "step_too_steep", float(row.rise_spaces), row.steps),
        (row.strand_count < 1, "strands_below_one", row.strand_count, 1),
        (pleat_count < least_pleats(row), "fewer_pleats_than_one_repeat", pleat_count, least_pleats(row)),
    )
    return tuple(
        SmockingFault(reason=reason, row_name=row.name, found=found, needed=needed)
        for is_wrong, reason, found, needed in checks
        if is_wrong
    )


def chart_faults(chart: Chart, pleat_count: int) -> tuple[SmockingFault, ...]:
    """Everything that keeps a chart from being worked over `pleat_count` pleats, row by row from the top."""
    if not chart.rows:
        return (SmockingFault(reason="no_rows", row_name="", found=0, needed=1),)
    faults = [fault for row in chart.rows for fault in row_faults(row, pleat_count)]
    faults += [fault for row in chart.rows for fault in _height_faults(row, chart.row_count)]
    for above, row in zip((None, *chart.rows), chart.rows, strict=False):
        if row.meets_row_above and (above is None or not turns_meet(above, row)):
            needed = row.top_row if above is None else above.bottom_row
            faults.append(_fault("turns_do_not_meet", row, float(row.top_row), float(needed)))
    return tuple(faults)


def turns_meet(above: ChartRow, below: ChartRow) -> bool:
    """Whether the lower turns of one row touch the upper turns of the next at the same pleats (derived)."""
    return (
        above.steps == below.steps
        and above.bottom_row == below.top_row
        and (above.steps == 0 or above.centre_at != below.centre_at)
    )


def suitable_step(chart: Chart) -> int:
    """Pleat counts 2, 2 + step, 2 + 2·step … leave no spare pleat in any row: 24 for k = 1, 2, 3 (derived)."""
    return lcm(*(2 * (row.steps + 1) for row in chart.rows))


def suits_all_rows(chart: Chart, pleat_count: int) -> bool:
    """Whether every row can be worked and uses every pleat."""
    return not chart_faults(chart, pleat_count) and all(
        used_pleats(row, pleat_count) == pleat_count for row in chart.rows
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class NearestPleatCounts:
    """The nearest suitable numbers of pleats at or below, and at or above, the one asked about."""

    at_or_below: int | None
    at_or_above: int


def nearest_pleat_counts(chart: Chart, pleat_count: int) -> NearestPleatCounts:
    """Nearest pleat counts that every row uses whole; none below when that is too few for a row (derived).

    Raises CannotSmock for a chart without rows.
    """
    if not chart.rows:
        raise CannotSmock(chart_faults(chart, pleat_count))
    step, least = suitable_step(chart), max(least_pleats(row) for row in chart.rows)
    first = 2 + step * -(-(least - 2) // step)
    below = 2 + step * ((pleat_count - 2) // step)
    above = 2 + step * -(-(pleat_count - 2) // step)
    return NearestPleatCounts(at_or_below=below if below >= first else None, at_or_above=max(above, first))


def _height_faults(row: ChartRow, row_count: int) -> tuple[SmockingFault, ...]:
    if not row.top_row >= 1:  # so that no number is no height either
        return (_fault("row_off_pleated_height", row, float(row.top_row), 1),)
    if not row.bottom_row <= row_count:
        return (_fault("row_off_pleated_height", row, float(row.bottom_row), row_count),)
    return ()


def _fault(reason: FaultReason, row: ChartRow, found: float, needed: float) -> SmockingFault:
    return SmockingFault(reason=reason, row_name=row.name, found=found, needed=needed)
