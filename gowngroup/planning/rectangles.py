"""Designs whose pieces are plain rectangles, entered per size, as pattern pieces like any other."""

import math
from dataclasses import dataclass

from gowngroup.planning.drafting.piece import Edge, Piece, PieceOutline, cut_piece
from gowngroup.planning.geometry import Point, line, path


class BadRectangle(Exception):
    """A rectangle without a width, a length or a count; `field` names which."""

    def __init__(self, field: str) -> None:
        super().__init__(f"{field} must be a number above zero.")
        self.field = field


@dataclass(frozen=True, slots=True, kw_only=True)
class RectanglePiece:
    """A rectangle to cut `count` times: width across, length along the cloth, seam allowance included."""

    name: str
    count: int
    width_mm: float
    length_mm: float
    may_turn: bool = True


def rectangle_as_piece(rectangle: RectanglePiece) -> Piece:
    """The rectangle as a pattern piece whose cut outline is the rectangle itself; raises BadRectangle."""
    for field in ("count", "width_mm", "length_mm"):
        value = getattr(rectangle, field)
        if not (math.isfinite(value) and value > 0):
            raise BadRectangle(field)
    width_mm, length_mm = rectangle.width_mm, rectangle.length_mm
    corners: tuple[Point, ...] = ((0.0, 0.0), (width_mm, 0.0), (width_mm, length_mm), (0.0, length_mm))
    names = ("top", "right", "bottom", "left")
    edges = tuple(
        Edge(name=name, walked=path(line(a, b)), allowance_mm=0.0)
        for name, a, b in zip(names, corners, (*corners[1:], corners[0]), strict=True)
    )
    return cut_piece(
        PieceOutline(name=rectangle.name, count=rectangle.count, edges=edges, may_turn=rectangle.may_turn)
    )
