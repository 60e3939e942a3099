"""Compiled stitches as lines to draw, in pleats across and row spaces down."""

from dataclasses import dataclass
from itertools import groupby

from gowngroup.planning.smocking.chart import Thread
from gowngroup.planning.smocking.moves import CompiledChart, CompiledRow, Move

Point = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class ChartPath:
    """A run of stitches with the thread on one side: x in pleats from the left, y in row spaces below row 1."""

    row_name: str
    floss_role: str
    is_back_smocking: bool
    thread: Thread
    points: tuple[Point, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ShadePaths:
    """All lines of one shade on one face of the cloth, so that a drawing needs one path for them."""

    floss_role: str
    is_back_smocking: bool
    paths: tuple[ChartPath, ...]


def chart_paths(compiled: CompiledChart) -> tuple[ChartPath, ...]:
    """The lines of every row, left to right and split where the thread changes sides of the needle."""
    return tuple(path for row in compiled.rows for path in row_paths(row))


def row_paths(compiled: CompiledRow) -> tuple[ChartPath, ...]:
    """The lines of one row, left to right and split where the thread changes sides of the needle."""
    rightward = sorted((_rightward(move) for move in compiled.moves), key=lambda line: line[1])
    return tuple(
        ChartPath(
            row_name=compiled.row.name,
            floss_role=compiled.row.floss_role,
            is_back_smocking=compiled.row.is_back_smocking,
            thread=thread,
            points=_joined([(start, end) for _, start, end in lines]),
        )
        for thread, lines in groupby(rightward, key=lambda line: line[0])
    )


def shade_paths(compiled: CompiledChart) -> tuple[ShadePaths, ...]:
    """The lines grouped by shade and face of the cloth, in the order the shades first appear."""
    paths = chart_paths(compiled)
    keys = dict.fromkeys((path.floss_role, path.is_back_smocking) for path in paths)
    return tuple(
        ShadePaths(
            floss_role=role,
            is_back_smocking=is_back,
            paths=tuple(p for p in paths if (p.floss_role, p.is_back_smocking) == (role, is_back)),
        )
        for role, is_back in keys
    )


def _rightward(move: Move) -> tuple[Thread, Point, Point]:
    start, end = (float(move.from_pleat), move.from_row - 1), (float(move.to_pleat), move.to_row - 1)
    return (move.thread, start, end) if start[0] < end[0] else (move.thread, end, start)


def _joined(lines: list[tuple[Point, Point]]) -> tuple[Point, ...]:
    return (lines[0][0], *(end for _, end in lines))
