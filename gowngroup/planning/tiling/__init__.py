"""A pattern at true size on pages of paper: where pieces lie, which pages are needed and how they join."""

from gowngroup.planning.tiling.arranging import NothingToArrange, arrange
from gowngroup.planning.tiling.clipping import clipped, is_clear, polygon_on
from gowngroup.planning.tiling.joins import joins_of
from gowngroup.planning.tiling.one_page import WIDEST_MM, one_page
from gowngroup.planning.tiling.room import Room, free_corner
from gowngroup.planning.tiling.values import (
    Box,
    Join,
    Line,
    Placed,
    Shape,
    Sheet,
    SheetPiece,
    Tile,
    TileSize,
    turned_outline,
)

__all__ = [
    "WIDEST_MM",
    "Box",
    "Join",
    "Line",
    "NothingToArrange",
    "Placed",
    "Room",
    "Shape",
    "Sheet",
    "SheetPiece",
    "Tile",
    "TileSize",
    "arrange",
    "clipped",
    "free_corner",
    "is_clear",
    "joins_of",
    "one_page",
    "polygon_on",
    "turned_outline",
]
