"""How a chart sits on a number of pleats, row by row, whether or not it can be worked over it."""

from dataclasses import dataclass

from gowngroup.planning.smocking.chart import Chart, ChartRow, Thread
from gowngroup.planning.smocking.fit import (
    NearestPleatCounts,
    SmockingFault,
    chart_faults,
    nearest_pleat_counts,
    row_faults,
)
from gowngroup.planning.smocking.moves import USUAL_THREADS, CompiledRow, ThreadPositions, compile_row
from gowngroup.planning.smocking.pleating import PleaterProfile


@dataclass(frozen=True, slots=True, kw_only=True)
class RowFit:
    """One row over the pleats: whole repeats, pleats left without stitches at each side, stitches, first thread.

    `compiled` is None, and the counts are 0, where the row cannot be worked over these pleats.
    """

    row: ChartRow
    compiled: CompiledRow | None
    repeat_count: int = 0
    spare_each_side: int = 0
    stitch_count: int = 0
    first_thread: Thread = "below"

    @property
    def is_whole(self) -> bool:
        """Whether the row uses every pleat."""
        return self.compiled is not None and self.spare_each_side == 0


@dataclass(frozen=True, slots=True, kw_only=True)
class ChartFit:
    """A chart over a number of pleats; `nearest` are the numbers next to it that every row uses whole."""

    pleat_count: int
    rows: tuple[RowFit, ...]
    faults: tuple[SmockingFault, ...]
    nearest: NearestPleatCounts

    @property
    def suits_all_rows(self) -> bool:
        """Whether every row can be worked and leaves no pleat over."""
        return not self.faults and all(row.is_whole for row in self.rows)


def chart_fit(
    chart: Chart, pleat_count: int, profile: PleaterProfile, *, threads: ThreadPositions = USUAL_THREADS
) -> ChartFit:
    """Every row over a number of pleats, the faults, and the nearest numbers that suit (centring derived).

    Raises CannotSmock for a chart without rows.
    """
    nearest = nearest_pleat_counts(chart, pleat_count)
    return ChartFit(
        pleat_count=pleat_count,
        rows=tuple(_row_fit(row, pleat_count, profile, threads) for row in chart.rows),
        faults=chart_faults(chart, pleat_count),
        nearest=nearest,
    )


def _row_fit(row: ChartRow, pleat_count: int, profile: PleaterProfile, threads: ThreadPositions) -> RowFit:
    if row_faults(row, pleat_count):
        return RowFit(row=row, compiled=None)
    compiled = compile_row(row, pleat_count, profile, threads=threads)
    return RowFit(
        row=row,
        compiled=compiled,
        repeat_count=compiled.repeat_count,
        spare_each_side=compiled.spare_each_side,
        stitch_count=len(compiled.moves),
        first_thread=compiled.moves[0].thread,
    )
