"""Compiled stitches as plain data for storage, and back; what was stored is never compiled again."""

from collections.abc import Mapping, Sequence
from itertools import pairwise

from gowngroup.planning.plain_data import Json, plain, value_of
from gowngroup.planning.smocking.chart import Chart, Thread
from gowngroup.planning.smocking.moves import CompiledChart, CompiledRow, Move

_THREADS: Mapping[str, Thread] = {"a": "above", "b": "below"}


def compiled_to_document(compiled: CompiledChart) -> dict[str, Json]:
    """The chart and its stitches as JSON data; each run of stitches takes one list of pleats and one of rows."""
    return {
        "chart": plain(compiled.chart),
        "pleat_count": compiled.pleat_count,
        "rows": [
            {
                "name": row.row.name,
                "pleat_count": row.pleat_count,
                "used_pleat_count": row.used_pleat_count,
                "runs": [_run_document(run) for run in row.runs],
            }
            for row in compiled.rows
        ],
    }


def compiled_from_document(document: Mapping[str, Json], *, row_space_mm: float) -> CompiledChart:
    """The stitches that were stored; raises KeyError, TypeError or ValueError where the data are damaged."""
    chart = value_of(Chart, document["chart"])
    return CompiledChart(
        chart=chart,
        pleat_count=value_of(int, document["pleat_count"]),
        rows=tuple(
            CompiledRow(
                row=row,
                pleat_count=value_of(int, stored["pleat_count"]),
                used_pleat_count=value_of(int, stored["used_pleat_count"]),
                runs=tuple(_run(run, row_space_mm) for run in stored["runs"]),
            )
            for row, stored in zip(chart.rows, document["rows"], strict=True)
        ),
    )


def _run_document(run: Sequence[Move]) -> dict[str, Json]:
    return {
        "pleats": [*(move.from_pleat for move in run[:1]), *(move.to_pleat for move in run)],
        "rows": [*(move.from_row for move in run[:1]), *(move.to_row for move in run)],
        "threads": "".join(move.thread[0] for move in run),
    }


def _run(stored: Mapping[str, Json], row_space_mm: float) -> tuple[Move, ...]:
    places = pairwise(zip(stored["pleats"], stored["rows"], strict=True))
    return tuple(
        Move(
            from_pleat=from_pleat,
            to_pleat=to_pleat,
            from_row=from_row,
            to_row=to_row,
            travel_mm=abs(to_row - from_row) * row_space_mm,
            thread=_THREADS[side],
        )
        for ((from_pleat, from_row), (to_pleat, to_row)), side in zip(places, stored["threads"], strict=True)
    )
