"""Cutting lays: pieces, the strip of cloth, and the engines that place one on the other.

`Piece`, `lay_out`, `Lay` and `Placement` are the stable door for bare outlines; the other names are the planner's own.
"""

from gowngroup.planning.lay.door import lay_out
from gowngroup.planning.lay.outlines import CannotLay, Lay, Piece, Placement
from gowngroup.planning.lay.rows import lay_rows
from gowngroup.planning.lay.values import (
    ClothLay,
    ClothTooShort,
    Flaw,
    LayEngine,
    LayPiece,
    PieceTooWide,
    PlacedPiece,
    Strip,
)

__all__ = [
    "CannotLay",
    "ClothLay",
    "ClothTooShort",
    "Flaw",
    "Lay",
    "LayEngine",
    "LayPiece",
    "Piece",
    "PieceTooWide",
    "PlacedPiece",
    "Placement",
    "Strip",
    "lay_out",
    "lay_rows",
]
