"""What may be wrong with an outline entered by hand, each with the piece and the point to blame."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import shapely

from gowngroup.planning.geometry import Path, flattened, signed_area_mm2

OutlineFaultCode = Literal[
    "name",
    "count",
    "allowance",
    "grain",
    "too_few_points",
    "too_many_points",
    "not_a_number",
    "too_far",
    "repeated_point",
    "crosses",
    "no_area",
    "fold",
    "wider_than_cloth",
]

SAME_MM = 0.1  # nobody measures cloth more finely
_FINE_MM = 0.01
_FURTHEST_MM = 5000.0  # no piece of a gown comes near it; keeps a slip of the keyboard out
_WIDEST_ALLOWANCE_MM = 60.0
_MOST_POINTS = 200
_MOST_PIECES = 100
_LEAST_AREA_MM2 = 100.0  # a square centimetre


@dataclass(frozen=True, slots=True, kw_only=True)
class OutlinePoint:
    """A corner in mm, x across and y down; the edge to the next stands out by `bow_mm` in its middle (- hollow)."""

    x_mm: float
    y_mm: float
    bow_mm: float = 0.0


class BadOutline(Exception):
    """An outline that cannot be cut: the piece, the number of the point to blame if any, a code and a sentence."""

    def __init__(self, *, piece: str, point: int | None, code: OutlineFaultCode, sentence: str) -> None:
        super().__init__(sentence)
        self.piece = piece
        self.point = point
        self.code = code
        self.sentence = sentence


def refused(piece: str, code: OutlineFaultCode, what: str, *, point: int | None = None) -> BadOutline:
    """The error for a piece, worded to follow its name and the number of the point."""
    blamed = f"Point {point} of the piece {piece}" if point else f"The piece {piece}"
    return BadOutline(piece=piece, point=point, code=code, sentence=f"{blamed} {what}.")


def refuse_bad_values(
    piece: str, *, count: int, is_pair: bool, allowance_mm: float, grain_angle_deg: float
) -> None:
    """Raises BadOutline for a missing name, a count, an allowance or a grain that cannot be."""
    if not piece.strip():
        raise BadOutline(piece=piece, point=None, code="name", sentence="A piece needs a name.")
    if not 1 <= count <= _MOST_PIECES:
        raise refused(piece, "count", f"can be cut 1 to {_MOST_PIECES} times, not {count}")
    if is_pair and count % 2:
        raise refused(piece, "count", f"is cut in pairs, so an even number of times, not {count}")
    if not 0 <= allowance_mm <= _WIDEST_ALLOWANCE_MM:
        raise refused(
            piece,
            "allowance",
            f"can have a seam allowance of 0 to {_WIDEST_ALLOWANCE_MM:g} mm, not {allowance_mm:g}",
        )
    if not math.isfinite(grain_angle_deg):
        raise refused(piece, "grain", "needs a number of degrees for its grain")


def refuse_bad_points(piece: str, points: Sequence[OutlinePoint]) -> None:
    """Raises BadOutline where there are too few or too many points, or for the first that is no place of its own."""
    if len(points) < 3:
        raise refused(piece, "too_few_points", f"has {len(points)} points; an outline needs at least three")
    if len(points) > _MOST_POINTS:
        raise refused(piece, "too_many_points", f"has {len(points)} points; use at most {_MOST_POINTS}")
    for number, point in enumerate(points, start=1):
        _refuse_bad_point(piece, number, point, points[number % len(points)])


def _refuse_bad_point(piece: str, number: int, point: OutlinePoint, following: OutlinePoint) -> None:
    values = (point.x_mm, point.y_mm, point.bow_mm)
    if not all(math.isfinite(value) for value in values):
        raise refused(piece, "not_a_number", "needs numbers for its place", point=number)
    if max(abs(value) for value in values) > _FURTHEST_MM:
        raise refused(piece, "too_far", f"lies more than {_FURTHEST_MM / 1000:g} m away", point=number)
    chord_mm = math.dist((point.x_mm, point.y_mm), (following.x_mm, following.y_mm))
    if chord_mm < SAME_MM:
        raise refused(piece, "repeated_point", "is the same as the next one", point=number)
    if abs(point.bow_mm) > chord_mm:
        raise refused(
            piece, "too_far", "starts an edge that stands out further than it is long", point=number
        )


def refuse_crossing(piece: str, walked: Sequence[Path]) -> None:
    """Raises BadOutline for the first edge that meets another one anywhere but at the corner they share."""
    lines = [shapely.LineString(flattened(edge, tolerance_mm=_FINE_MM)) for edge in walked]
    for here, line in enumerate(lines):
        for there in range(here + 1, len(lines)):
            if not _meets_only_at(_shared(lines, here, there), line, lines[there]):
                raise refused(
                    piece,
                    "crosses",
                    f"starts an edge that crosses or touches the edge from point {there + 1}",
                    point=here + 1,
                )
    corners = [point for line in lines for point in list(line.coords)[:-1]]
    if abs(signed_area_mm2([(x, y) for x, y in corners])) < _LEAST_AREA_MM2:
        raise refused(piece, "no_area", "has no area to speak of")


def _shared(lines: Sequence[shapely.LineString], here: int, there: int) -> shapely.Point:
    """The corner two edges share; an empty point where they are no neighbours."""
    if there == here + 1:
        return shapely.Point(lines[here].coords[-1])
    return shapely.Point(lines[here].coords[0]) if (here, there) == (0, len(lines) - 1) else shapely.Point()


def _meets_only_at(corner: shapely.Point, line: shapely.LineString, other: shapely.LineString) -> bool:
    meeting = line.intersection(other)
    return bool(meeting.difference(corner.buffer(_FINE_MM)).is_empty)
