"""The lines of a pattern piece by what they mean, in the piece's own millimetres."""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from gowngroup.planning.drafting import Notch, Piece
from gowngroup.planning.geometry import Point, PolygonPoints, flattened
from gowngroup.planning.pleater_rows import ArmholeTemplate, RunningRow
from gowngroup.planning.tiling import Line

CURVE_TOLERANCE_MM = 0.01
NOTCH_MM = 5.0
ARROW_MM = 3.5
ROW_NUMBER_MM = 24.0  # how far in from its ends a row's number stands, and how much of the row it takes
ROW_NUMBER_ROOM_MM = 6.0
LONG_ROW_MM = 100.0  # shorter rows carry their number at one end only


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceLines:
    """Polylines of one piece: where to cut, seam lines, grain, notches, pleater rows; and the rows' numbers."""

    cut: tuple[Line, ...]
    seam: tuple[Line, ...]
    grain: tuple[Line, ...]
    notch: tuple[Line, ...]
    row: tuple[Line, ...]
    row_numbers: tuple[tuple[str, Point], ...]

    @property
    def outline(self) -> PolygonPoints:
        """The cutting line as a polygon."""
        return self.cut[0][:-1]

    @property
    def by_style(self) -> Mapping[str, tuple[Line, ...]]:
        """The lines by the name of their style, in the order they are drawn."""
        return {
            "row": self.row,
            "seam": self.seam,
            "grain": self.grain,
            "notch": self.notch,
            "cut": self.cut,
        }


def piece_lines(piece: Piece, rows: Sequence[RunningRow]) -> PieceLines:
    """Every line of a piece; edges without allowance have no seam line of their own."""
    return PieceLines(
        cut=(_closed(piece.cut_polygon),),
        seam=tuple(
            flattened(edge.walked, tolerance_mm=CURVE_TOLERANCE_MM)
            for edge in piece.edges
            if edge.allowance_mm > 0
        ),
        grain=_arrow(*piece.grain_line),
        notch=tuple(line for notch in piece.notches if (line := _notch(notch))),
        row=_row_lines(rows),
        row_numbers=_row_numbers(rows),
    )


def template_lines(template: ArmholeTemplate) -> PieceLines:
    """The lines of an armhole template: no grain, for it is never cut from cloth."""
    return PieceLines(
        cut=(_closed(template.outline),),
        seam=template.seam_lines,
        grain=(),
        notch=(),
        row=_row_lines(template.rows),
        row_numbers=_row_numbers(template.rows),
    )


def _closed(points: Sequence[Point]) -> Line:
    return (*points, points[0])


def _arrow(start: Point, end: Point) -> tuple[Line, ...]:
    """A line with an open head at both ends."""
    return ((start, end), _head(start, end), _head(end, start))


def _head(tip: Point, other: Point) -> Line:
    length_mm = math.dist(tip, other) or 1.0
    x, y = (other[0] - tip[0]) / length_mm * ARROW_MM, (other[1] - tip[1]) / length_mm * ARROW_MM
    return ((tip[0] + x - y / 2, tip[1] + y + x / 2), tip, (tip[0] + x + y / 2, tip[1] + y - x / 2))


def _notch(notch: Notch) -> Line:
    """A stroke from the cutting line inwards, never beyond the seam line; none without an allowance."""
    (cut_x, cut_y), (seam_x, seam_y) = notch.cut_point, notch.seam_point
    distance_mm = math.dist(notch.cut_point, notch.seam_point)
    if not distance_mm:
        return ()
    share = min(NOTCH_MM / distance_mm, 1.0)
    return (notch.cut_point, (cut_x + (seam_x - cut_x) * share, cut_y + (seam_y - cut_y) * share))


def _row_lines(rows: Sequence[RunningRow]) -> tuple[Line, ...]:
    """Each row, with a gap where a number of it stands."""
    return tuple(line for row in rows for line in _with_gaps(row))


def _with_gaps(row: RunningRow) -> Iterator[Line]:
    (left, y), (right, _) = row.left, row.right
    gaps = [(x - ROW_NUMBER_ROOM_MM / 2, x + ROW_NUMBER_ROOM_MM / 2) for x in _number_places(row)]
    for (_, start), (end, _) in pairwise([(left, left), *gaps, (right, right)]):
        yield ((start, y), (end, y))


def _number_places(row: RunningRow) -> list[float]:
    if row.number is None:
        return []
    left, right = row.left[0], row.right[0]
    both = [left + ROW_NUMBER_MM, right - ROW_NUMBER_MM]
    return both if right - left > LONG_ROW_MM else both[:1]


def _row_numbers(rows: Sequence[RunningRow]) -> tuple[tuple[str, Point], ...]:
    return tuple((str(row.number), (x, row.left[1])) for row in rows for x in _number_places(row))
