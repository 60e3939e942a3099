"""Charts compiled to the single stitches over a number of pleats."""

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import chain, pairwise
from typing import Self

from gowngroup.planning.smocking.chart import Chart, ChartRow, Level, Thread
from gowngroup.planning.smocking.fit import CannotSmock, chart_faults, row_faults, used_pleats
from gowngroup.planning.smocking.pleating import PleaterProfile


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreadPositions:
    """On which side of the needle the thread lies (common practice; sources differ on outline and stem)."""

    rising: Thread = "below"
    falling: Thread = "above"
    level_at_bottom: Thread = "below"
    level_at_top: Thread = "above"
    outline: Thread = "above"
    stem: Thread = "below"

    @classmethod
    def from_figures(cls, values: Mapping[str, float]) -> Self:
        """The group's habit, from the figures keyed `stitch_…`."""
        low, high = _pair(values["stitch_rising_thread_is_below"] >= 0.5)
        stem, outline = _pair(values["stitch_outline_thread_is_above"] >= 0.5)
        return cls(
            rising=low, falling=high, level_at_bottom=low, level_at_top=high, outline=outline, stem=stem
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """One stitch that picks up one new pleat; pleats count from 0 at the left, rows from 1 at the top."""

    from_pleat: int
    to_pleat: int
    from_row: float
    to_row: float
    travel_mm: float
    thread: Thread

    @property
    def is_level(self) -> bool:
        """Whether it runs level: a turn, or any stitch of a level row."""
        return self.from_row == self.to_row


@dataclass(frozen=True, slots=True, kw_only=True)
class CompiledRow:
    """A row over a pleat count; each of `runs` starts with a fresh needleful, in the order worked.

    A row started at the centre has two runs, the longer one, with the centre turn, first.
    """

    row: ChartRow
    pleat_count: int
    used_pleat_count: int
    runs: tuple[tuple[Move, ...], ...]

    @property
    def moves(self) -> tuple[Move, ...]:
        """All stitches in the order worked."""
        return tuple(chain.from_iterable(self.runs))

    @property
    def spare_each_side(self) -> int:
        """Pleats left unworked at each side."""
        return (self.pleat_count - self.used_pleat_count) // 2

    @property
    def repeat_count(self) -> int:
        """Whole repeats from edge to edge."""
        return (self.used_pleat_count - 1) // self.row.repeat_pleats


@dataclass(frozen=True, slots=True, kw_only=True)
class CompiledChart:
    """Every row of a chart over one pleat count."""

    chart: Chart
    pleat_count: int
    rows: tuple[CompiledRow, ...]

    @property
    def move_count(self) -> int:
        """Stitches in the whole chart."""
        return sum(row.used_pleat_count - 1 for row in self.rows)


USUAL_THREADS = ThreadPositions()


def compile_row(
    row: ChartRow,
    pleat_count: int,
    profile: PleaterProfile,
    *,
    threads: ThreadPositions = USUAL_THREADS,
    is_left_handed: bool = False,
) -> CompiledRow:
    """The stitches of one centred row; raises CannotSmock (centring derived, thread common practice).

    Thread sides are those seen on the chart held upright, each run read in its own direction of work. A
    back-smocking row starts at the left or right that its worker sees on the wrong side: pleats still count
    from the left of the right side, so it is worked the other way about.
    """
    if faults := row_faults(row, pleat_count):
        raise CannotSmock(faults)
    used = used_pleats(row, pleat_count)
    runs = _pleat_runs(row, pleat_count, used, is_mirrored=is_left_handed != row.is_back_smocking)
    return CompiledRow(
        row=row,
        pleat_count=pleat_count,
        used_pleat_count=used,
        runs=tuple(
            _run_moves(row, run, first_index=index, pleat_count=pleat_count, profile=profile, threads=threads)
            for index, run in enumerate(runs)
        ),
    )


def compile_chart(
    chart: Chart,
    pleat_count: int,
    profile: PleaterProfile,
    *,
    threads: ThreadPositions = USUAL_THREADS,
    is_left_handed: bool = False,
) -> CompiledChart:
    """Every row of the chart compiled; raises CannotSmock with each fault and its row's name."""
    if faults := chart_faults(chart, pleat_count):
        raise CannotSmock(faults)
    rows = tuple(
        compile_row(row, pleat_count, profile, threads=threads, is_left_handed=is_left_handed)
        for row in chart.rows
    )
    return CompiledChart(chart=chart, pleat_count=pleat_count, rows=rows)


def _pleat_runs(
    row: ChartRow, pleat_count: int, used: int, *, is_mirrored: bool
) -> tuple[tuple[int, ...], ...]:
    """Pleats in the order picked up, one tuple per thread start, for a right-handed worker before mirroring."""
    right, half = pleat_count // 2, used // 2
    runs: tuple[tuple[int, ...], ...] = (
        tuple(range(right - 1, right + half)),
        tuple(range(right - 1, right - half - 1, -1)),
    )
    if row.start != "centre":
        whole = tuple(range(right - half, right + half))
        runs = (whole if row.start == "left" else whole[::-1],)
    if is_mirrored:
        return tuple(tuple(pleat_count - 1 - pleat for pleat in run) for run in runs)
    return runs


def _run_moves(
    row: ChartRow,
    run: tuple[int, ...],
    *,
    first_index: int,
    pleat_count: int,
    profile: PleaterProfile,
    threads: ThreadPositions,
) -> tuple[Move, ...]:
    heights = [row_at_pleat(row, pleat, pleat_count) for pleat in run]
    steps = enumerate(pairwise(zip(run, heights, strict=True)), start=first_index)
    return tuple(
        Move(
            from_pleat=from_pleat,
            to_pleat=to_pleat,
            from_row=from_row,
            to_row=to_row,
            travel_mm=abs(to_row - from_row) * profile.row_space_mm,
            thread=_thread(row, index, threads, from_row=from_row, to_row=to_row),
        )
        for index, ((from_pleat, from_row), (to_pleat, to_row)) in steps
    )


def row_at_pleat(row: ChartRow, pleat: int, pleat_count: int) -> float:
    """Height of a row's thread at a pleat, as a row number, mirrored about the centre valley (derived)."""
    centre = pleat_count // 2
    out = pleat - centre if pleat >= centre else centre - 1 - pleat
    turn, step = divmod(out, row.steps + 1)
    from_level = step if turn % 2 == 0 else row.steps - step
    down = from_level if row.centre_at == "top" else row.steps - from_level
    return float(row.top_row + row.rise_spaces * down / max(row.steps, 1))


def _thread(row: ChartRow, index: int, threads: ThreadPositions, *, from_row: float, to_row: float) -> Thread:
    if row.stitch == "cable":
        return row.first_thread if index % 2 == 0 else _other(row.first_thread)
    if row.stitch == "outline":
        return threads.outline
    if row.stitch == "stem":
        return threads.stem
    if from_row != to_row:
        return threads.rising if to_row < from_row else threads.falling
    level: Level = "top" if from_row == float(row.top_row) else "bottom"
    return threads.level_at_top if level == "top" else threads.level_at_bottom


def _pair(is_usual: bool) -> tuple[Thread, Thread]:
    return ("below", "above") if is_usual else ("above", "below")


def _other(thread: Thread) -> Thread:
    return "above" if thread == "below" else "below"
