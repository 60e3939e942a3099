"""The pieces of a gown as they stand on a sheet, small and numbered, so that each can be told from the others."""

from collections.abc import Sequence
from dataclasses import dataclass

from gowngroup.catalog.drawing.pieces import PieceDrawing, pieces_drawing
from gowngroup.catalog.planner import GownPiece

LINE_MM, FINE_MM = 0.35, 0.15


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
