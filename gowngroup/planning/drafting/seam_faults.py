"""Whether a seam's two sides are equally long and its notches meet, measured on the pieces."""

from collections.abc import Iterator, Mapping, Sequence

import shapely

from gowngroup.planning.drafting.draft import EdgeRef, Seam
from gowngroup.planning.drafting.faults import Fault
from gowngroup.planning.drafting.outlines import CURVE_TOLERANCE_MM
from gowngroup.planning.drafting.piece import Piece
from gowngroup.planning.geometry import flattened, path_length_mm


def seam_faults(pieces: Sequence[Piece], seam: Seam, tolerance_mm: float) -> Iterator[Fault]:
    """Where a seam's sides differ in length, walked along their curves in mm, or its notches do not meet."""
    by_name = {piece.name: piece for piece in pieces}
    left_mm = _walked_mm(by_name, seam.left) - seam.taken_up_mm
    right_mm = _walked_mm(by_name, seam.right)
    difference_mm = left_mm - right_mm
    if abs(difference_mm) > tolerance_mm:
        yield Fault(code="seam", where=seam.name, difference_mm=difference_mm)
    left, right = _notches_mm(by_name, seam.left), _notches_mm(by_name, seam.right)
    if seam.taken_up_mm:
        left = _middle_only(left, left_mm + seam.taken_up_mm, left_mm)
    if len(left) != len(right):
        yield Fault(code="notches_missing", where=seam.name)
    for left_notch_mm, right_notch_mm in zip(left, right, strict=False):
        apart_mm = left_notch_mm - right_notch_mm
        if abs(apart_mm) > tolerance_mm:
            yield Fault(code="notch", where=seam.name, difference_mm=apart_mm)


def _walked_mm(pieces: Mapping[str, Piece], references: tuple[EdgeRef, ...]) -> float:
    return sum(
        path_length_mm(pieces[reference.piece].edge(reference.edge).walked) for reference in references
    )


def _notches_mm(pieces: Mapping[str, Piece], references: tuple[EdgeRef, ...]) -> tuple[float, ...]:
    """How far along the seam each notch lies, found by dropping it on the edge."""
    found: list[float] = []
    before_mm = 0.0
    for reference in references:
        walked = pieces[reference.piece].edge(reference.edge).walked
        line = shapely.LineString(flattened(walked, tolerance_mm=CURVE_TOLERANCE_MM))
        if reference.is_backwards:
            line = line.reverse()
        notches = (each for each in pieces[reference.piece].notches if each.edge == reference.edge)
        found.extend(before_mm + line.project(shapely.Point(each.seam_point)) for each in notches)
        before_mm += line.length
    return tuple(sorted(found))


def _middle_only(notches_mm: tuple[float, ...], flat_mm: float, finished_mm: float) -> tuple[float, ...]:
    """Of the notches along the flat strip the one at its middle, where it lies once the strip is pleated."""
    middle = min(notches_mm, key=lambda notch_mm: abs(notch_mm - flat_mm / 2), default=None)
    return () if middle is None else (finished_mm / 2 + (middle - flat_mm / 2),)
