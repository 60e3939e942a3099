"""Pieces on one large sheet, and the tiles it is printed on; lengths in mm, x to the right and y downwards."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from shapely.geometry.base import BaseGeometry

from gowngroup.planning.geometry import Point, PolygonPoints, bounding_box_mm

Line = tuple[Point, ...]
Shape = BaseGeometry
Box = tuple[float, float, float, float]

GAP_MM = 4.0  # between pieces, and twice what is left free along the edge of a tile


@dataclass(frozen=True, slots=True, kw_only=True)
class TileSize:
    """What one page shows of the sheet, and by how much it overlaps its neighbours."""

    width_mm: float
    height_mm: float
    overlap_mm: float

    @property
    def step_x_mm(self) -> float:
        """From the left edge of a tile to that of the next."""
        return self.width_mm - self.overlap_mm

    @property
    def step_y_mm(self) -> float:
        """From the upper edge of a tile to that of the next."""
        return self.height_mm - self.overlap_mm

    def corner(self, column: int, row: int) -> Point:
        """The upper left corner of a tile, counted from 0."""
        return column * self.step_x_mm, row * self.step_y_mm

    def box(self, column: int, row: int) -> Box:
        """What a tile shows: left, top, right, bottom."""
        x, y = self.corner(column, row)
        return x, y, x + self.width_mm, y + self.height_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetPiece:
    """A piece to draw; paper has no grain, so it may be turned by any of `turns_deg` to save pages.

    `caption_mm` is the width and height of words that do not fit inside and stand below or beside it.
    """

    key: str
    outline: PolygonPoints
    turns_deg: tuple[float, ...] = (0.0, 90.0)
    caption_mm: tuple[float, float] = (0.0, 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """How a piece comes onto the sheet: turned about its own origin, then moved.

    `caption` is where words outside it begin; below it they may slide to the right by `caption_slide_mm`.
    """

    key: str
    angle_deg: float
    move_x_mm: float
    move_y_mm: float
    caption: Point
    caption_slide_mm: float = 0.0

    def on_sheet(self, points: Iterable[Point]) -> Line:
        """Points of the piece where they come to lie."""
        cosine, sine = _cosine_sine(self.angle_deg)
        return tuple(
            (x * cosine - y * sine + self.move_x_mm, x * sine + y * cosine + self.move_y_mm)
            for x, y in points
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Tile:
    """One page that is printed, numbered as they are read; column and row count from 0."""

    number: int
    column: int
    row: int
    piece_keys: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Join:
    """Two tiles to stick together, the second to the right of the first or below it."""

    letter: str
    first: int
    second: int
    side: Literal["right", "below"]
    strip: Box


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """Where every piece lies and which tiles must be printed; all other tiles are empty."""

    tile: TileSize
    column_count: int
    row_count: int
    places: tuple[Placed, ...]
    tiles: tuple[Tile, ...]

    def place(self, key: str) -> Placed:
        """Where the piece of this key lies; raises KeyError."""
        for each in self.places:
            if each.key == key:
                return each
        raise KeyError(key)

    @property
    def size_mm(self) -> tuple[float, float]:
        """Width and height of all the tiles stuck together."""
        return self.tile.box(self.column_count - 1, self.row_count - 1)[2:]

    @property
    def empty_cells(self) -> tuple[tuple[int, int], ...]:
        """Column and row of every tile that is not printed."""
        printed = {(tile.column, tile.row) for tile in self.tiles}
        cells = ((column, row) for row in range(self.row_count) for column in range(self.column_count))
        return tuple(cell for cell in cells if cell not in printed)


def turned_outline(outline: Sequence[Point], angle_deg: float) -> PolygonPoints:
    """An outline turned, the upper left corner of its box at the origin."""
    turned = Placed(key="", angle_deg=angle_deg, move_x_mm=0.0, move_y_mm=0.0, caption=(0.0, 0.0)).on_sheet(
        outline
    )
    left, top, _, _ = bounding_box_mm(turned)
    return tuple((x - left, y - top) for x, y in turned)


def _cosine_sine(angle_deg: float) -> Point:
    """Exact for quarter turns, so that straight lines stay straight to the last digit."""
    if angle_deg % 90 == 0:
        return ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))[round(angle_deg / 90) % 4]
    return math.cos(math.radians(angle_deg)), math.sin(math.radians(angle_deg))
