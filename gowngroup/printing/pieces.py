"""The pieces of a gown as they stand on a sheet, small and numbered, so that each can be told from the others."""

from collections.abc import Sequence
from dataclasses import dataclass

from gowngroup.catalog.drawing.pieces import PieceDrawing, pieces_drawing
from gowngroup.catalog.planner import GownPiece
from gowngroup.planning.geometry import bounding_box_mm
from gowngroup.planning.tiling import turned_outline

LINE_MM, FINE_MM = 0.35, 0.15
BIAS_DEG = 45.0


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintedPieces:
    """A drawing with its size on paper; line widths and letters in the drawing's own mm."""

    view_box: str
    width_mm: float
    height_mm: float
    line_width: float
    fine_width: float
    letter: float
    pieces: tuple[PieceDrawing, ...]


def own_size_mm(piece: GownPiece) -> tuple[float, float]:
    """Width across the cloth and length along it in mm; of a strip cut on the bias, its own width and length."""
    if not piece.pattern.is_bias:
        return piece.width_mm, piece.length_mm
    left, low, right, high = bounding_box_mm(turned_outline(piece.outline, BIAS_DEG))
    width_mm, length_mm = sorted((right - left, high - low))
    return width_mm, length_mm


def printed_pieces(
    pieces: Sequence[GownPiece], *, width_mm: float, height_mm: float, letter_mm: float
) -> PrintedPieces:
    """The pieces as large as they all fit into a width and height in mm, their numbers in type of this size."""
    drawing = pieces_drawing(pieces)
    scale = min(width_mm / drawing.width_mm, height_mm / drawing.height_mm)
    return PrintedPieces(
        view_box=drawing.view_box,
        width_mm=round(drawing.width_mm * scale, 2),
        height_mm=round(drawing.height_mm * scale, 2),
        line_width=round(LINE_MM / scale, 2),
        fine_width=round(FINE_MM / scale, 2),
        letter=round(letter_mm / scale, 2),
        pieces=drawing.pieces,
    )
