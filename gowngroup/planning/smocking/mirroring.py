"""A compiled chart for who works from right to left: each stitch at the pleat opposite, thread side unchanged."""

from dataclasses import replace

from gowngroup.planning.smocking.chart import Start
from gowngroup.planning.smocking.moves import CompiledChart, CompiledRow, Move

_OPPOSITE: dict[Start, Start] = {"left": "right", "right": "left", "centre": "centre"}


def mirrored(compiled: CompiledChart) -> CompiledChart:
    """The chart for the left hand: pleats counted from the other edge, rows started at the other side (derived)."""
    rows = tuple(_mirrored_row(row) for row in compiled.rows)
    return replace(compiled, chart=replace(compiled.chart, rows=tuple(row.row for row in rows)), rows=rows)


def _mirrored_row(compiled: CompiledRow) -> CompiledRow:
    last = compiled.pleat_count - 1
    return replace(
        compiled,
        row=replace(compiled.row, start=_OPPOSITE[compiled.row.start]),
        runs=tuple(tuple(_mirrored_move(move, last) for move in run) for run in compiled.runs),
    )


def _mirrored_move(move: Move, last: int) -> Move:
    return replace(move, from_pleat=last - move.from_pleat, to_pleat=last - move.to_pleat)
