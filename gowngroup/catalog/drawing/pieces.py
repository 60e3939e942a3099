"""The pieces of a gown beside one another, all to the same scale."""

from collections.abc import Sequence
from dataclasses import dataclass

from gowngroup.catalog.drawing.svg import Point, closed_path, open_path, view_box
from gowngroup.catalog.planner import GownPiece

ROW_WIDTH_MM = 900.0
GAP_MM = 30.0
CAPTION_MM = 34.0
NOTCH_MM = 5.0


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceDrawing:
    """One piece: its number in the list, where the number stands, outline, grain line and notches."""

    number: int
    label_x: float
    label_y: float
    outline: str
    grain: str
    notches: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PiecesDrawing:
    """All pieces of a gown, each drawn once; the viewBox is in millimetres."""

    view_box: str
    width_mm: float
    height_mm: float
    pieces: tuple[PieceDrawing, ...]


def pieces_drawing(pieces: Sequence[GownPiece]) -> PiecesDrawing:
    """The pieces in rows from left to right, numbered in their order."""
    drawings = []
    x_mm, y_mm, row_mm, right_mm = 0.0, 0.0, 0.0, 1.0
    for number, piece in enumerate(pieces, start=1):
        if x_mm and x_mm + piece.width_mm > ROW_WIDTH_MM:
            x_mm, y_mm, row_mm = 0.0, y_mm + row_mm + GAP_MM, 0.0
        drawings.append(_piece(piece, number, (x_mm, y_mm + CAPTION_MM)))
        x_mm += piece.width_mm + GAP_MM
        right_mm = max(right_mm, x_mm - GAP_MM)
        row_mm = max(row_mm, piece.length_mm + CAPTION_MM)
    bottom_mm = y_mm + row_mm
    return PiecesDrawing(
        view_box=view_box(-5, -5, right_mm + 5, bottom_mm + 5),
        width_mm=right_mm + 10,
        height_mm=bottom_mm + 10,
        pieces=tuple(drawings),
    )


def _piece(piece: GownPiece, number: int, corner: Point) -> PieceDrawing:
    def moved(points: Sequence[Point]) -> list[Point]:
        return [(x + corner[0], y + corner[1]) for x, y in points]

    return PieceDrawing(
        number=number,
        label_x=corner[0],
        label_y=corner[1] - 8,
        outline=closed_path(moved(piece.outline)),
        grain=open_path(moved(piece.pattern.grain_line)),
        notches=tuple(
            open_path(moved((notch.cut_point, _inwards(notch.cut_point, notch.seam_point))))
            for notch in piece.pattern.notches
        ),
    )


def _inwards(cut: Point, seam: Point) -> Point:
    distance_mm = max(((seam[0] - cut[0]) ** 2 + (seam[1] - cut[1]) ** 2) ** 0.5, 1e-9)
    share = NOTCH_MM / distance_mm
    return cut[0] + (seam[0] - cut[0]) * share, cut[1] + (seam[1] - cut[1]) * share
