"""The deterministic lay: boxes put one after the other where they reach least far along the strip."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from gowngroup.planning.geometry.polygon import bounding_box_mm
from gowngroup.planning.lay.outlines import Piece, Placement, fitting_turns, turned

Box = tuple[float, float]


def search(
    pieces: Sequence[Piece], *, strip_width_mm: float, gap_mm: float = 0.0, seed: int = 1
) -> tuple[Placement, ...]:
    """A place for every copy, the largest box first; the same whatever order the pieces come in. Lengths in mm."""
    width_mm = strip_width_mm + gap_mm
    skyline = [(0.0, width_mm, 0.0)]
    found: list[Placement] = []
    for piece in sorted(_copies(pieces), key=_order):
        ways = [
            (*_lowest(skyline, _box(piece, turn, gap_mm), width_mm), turn)
            for turn in fitting_turns(piece, strip_width_mm)
        ]
        end_mm, start_mm, y_mm, turn = min(ways)
        box = _box(piece, turn, gap_mm)
        skyline = _raised(skyline, y_mm, y_mm + box[1], end_mm)
        left, low, _, _ = bounding_box_mm(turned(piece.outline, turn))
        found.append(Placement(id=piece.id, turn=turn, x_mm=start_mm - left, y_mm=y_mm - low))
    return tuple(found)


def _copies(pieces: Sequence[Piece]) -> Iterator[Piece]:
    for piece in pieces:
        yield from [piece] * piece.quantity


def _order(piece: Piece) -> tuple[float, float, str]:
    length, width = _box(piece, piece.turns[0], 0.0)
    return -length, -width, piece.id


def _box(piece: Piece, turn: float, gap_mm: float) -> Box:
    left, low, right, high = bounding_box_mm(turned(piece.outline, turn))
    return right - left + gap_mm, high - low + gap_mm


def _lowest(
    skyline: Sequence[tuple[float, float, float]], box: Box, width_mm: float
) -> tuple[float, float, float]:
    """Where a box reaches least far: its end and start along the strip and its place across."""
    ways = []
    for start, _, _ in skyline:
        if start + box[1] <= width_mm * (1 + 1e-9):
            reached = max(height for low, high, height in skyline if low < start + box[1] and high > start)
            ways.append((reached + box[0], reached, start))
    return min(ways)


def _raised(
    skyline: Sequence[tuple[float, float, float]], low: float, high: float, to_mm: float
) -> list[tuple[float, float, float]]:
    left = [(start, min(end, low), height) for start, end, height in skyline if start < low]
    right = [(max(start, high), end, height) for start, end, height in skyline if end > high]
    return [*left, (low, high, to_mm), *right]
