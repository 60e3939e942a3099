"""The pieces on one large page, for a plotter or copy shop."""

from collections.abc import Sequence
from dataclasses import replace

from gowngroup.planning.geometry import bounding_box_mm
from gowngroup.planning.lay import LayPiece, Strip, lay_rows
from gowngroup.planning.tiling.arranging import NothingToArrange
from gowngroup.planning.tiling.values import GAP_MM, Placed, SheetPiece, turned_outline

WIDEST_MM = 800.0  # with margins within a roll of 841 mm (ISO 216, A0) or 36 in


def one_page(pieces: Sequence[SheetPiece]) -> tuple[tuple[Placed, ...], tuple[float, float]]:
    """Where the pieces lie on one page, the way round each names first, and width and height in mm it takes.

    No wider than 800 mm unless a piece is. Raises NothingToArrange without pieces.
    Source: the row lays of `planning.lay`.
    """
    if not pieces:
        raise NothingToArrange
    boxes = {piece.key: _box_mm(piece) for piece in pieces}
    lay = lay_rows(
        [_lay_piece(number, piece, boxes[piece.key]) for number, piece in enumerate(pieces)],
        Strip(
            usable_width_mm=max(WIDEST_MM, *(width for width, _ in boxes.values())),
            length_mm=float("inf"),
            gap_mm=GAP_MM,
        ),
    )
    by_key = {piece.key: piece for piece in pieces}
    places = tuple(_placed(by_key[place.piece_key], place.x_mm, place.y_mm) for place in lay.placements)
    width_mm = max(place.x_mm + boxes[place.piece_key][0] for place in lay.placements)
    height_mm = max(place.y_mm + boxes[place.piece_key][1] for place in lay.placements)
    return places, (width_mm, height_mm)


def _box_mm(piece: SheetPiece) -> tuple[float, float]:
    _, _, right, bottom = bounding_box_mm(turned_outline(piece.outline, piece.turns_deg[0]))
    return max(right, piece.caption_mm[0]), bottom + piece.caption_mm[1]


def _lay_piece(number: int, piece: SheetPiece, box_mm: tuple[float, float]) -> LayPiece:
    width_mm, height_mm = box_mm
    corners = ((0.0, 0.0), (width_mm, 0.0), (width_mm, height_mm), (0.0, height_mm))
    return LayPiece(key=piece.key, kit_key="", name=piece.key, number=number, outline=corners, may_turn=False)


def _placed(piece: SheetPiece, x_mm: float, y_mm: float) -> Placed:
    turned = Placed(
        key=piece.key, angle_deg=piece.turns_deg[0], move_x_mm=0.0, move_y_mm=0.0, caption=(0.0, 0.0)
    )
    left, top, _, bottom = bounding_box_mm(turned.on_sheet(piece.outline))
    return replace(turned, move_x_mm=x_mm - left, move_y_mm=y_mm - top, caption=(x_mm, y_mm + bottom - top))
