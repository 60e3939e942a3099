"""Cutting lays: pieces, the strip of cloth, and the engines that place one on the other."""

from gowngroup.planning.lay.rows import lay_rows
from gowngroup.planning.lay.values import (
    ClothTooShort,
    Flaw,
    Lay,
    LayEngine,
    LayPiece,
    PieceTooWide,
    Placement,
    Strip,
)

__all__ = [
    "ClothTooShort",
    "Flaw",
    "Lay",
    "LayEngine",
    "LayPiece",
    "PieceTooWide",
    "Placement",
    "Strip",
    "lay_rows",
]
