"""Smocking charts, the pleats they are worked over, and the stitches that come of it."""

from gowngroup.planning.smocking.chart import Chart, ChartRow, Level, Rise, Start, Stitch, Thread
from gowngroup.planning.smocking.document import compiled_from_document, compiled_to_document
from gowngroup.planning.smocking.fit import (
    CannotSmock,
    FaultReason,
    NearestPleatCounts,
    SmockingFault,
    chart_faults,
    nearest_pleat_counts,
    suits_all_rows,
    used_pleats,
)
from gowngroup.planning.smocking.mirroring import mirrored
from gowngroup.planning.smocking.moves import (
    USUAL_THREADS,
    CompiledChart,
    CompiledRow,
    Move,
    ThreadPositions,
    compile_chart,
    compile_row,
)
from gowngroup.planning.smocking.overview import ChartFit, RowFit, chart_fit
from gowngroup.planning.smocking.paths import ChartPath, ShadePaths, chart_paths, row_paths, shade_paths
from gowngroup.planning.smocking.pleating import (
    PleaterProfile,
    calibrated_take_up_mm,
    cloth_ratio,
    flat_width_mm,
    pleat_pitch_mm,
    pleated_row_count,
    pleating_thread_mm,
    pleats_for_width,
)

__all__ = [
    "USUAL_THREADS",
    "CannotSmock",
    "Chart",
    "ChartFit",
    "ChartPath",
    "ChartRow",
    "CompiledChart",
    "CompiledRow",
    "FaultReason",
    "Level",
    "Move",
    "NearestPleatCounts",
    "PleaterProfile",
    "Rise",
    "RowFit",
    "ShadePaths",
    "SmockingFault",
    "Start",
    "Stitch",
    "Thread",
    "ThreadPositions",
    "calibrated_take_up_mm",
    "chart_faults",
    "chart_fit",
    "chart_paths",
    "cloth_ratio",
    "compile_chart",
    "compile_row",
    "compiled_from_document",
    "compiled_to_document",
    "flat_width_mm",
    "mirrored",
    "nearest_pleat_counts",
    "pleat_pitch_mm",
    "pleated_row_count",
    "pleating_thread_mm",
    "pleats_for_width",
    "row_paths",
    "shade_paths",
    "suits_all_rows",
    "used_pleats",
]
