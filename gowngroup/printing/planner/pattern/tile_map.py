"""The map of the tiles: what lies where, which pages join at which letters, which are empty."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import shapely
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from gowngroup.planning.geometry import Point
from gowngroup.planning.tiling import Box, Line, Room, Shape, free_corner, polygon_on
from gowngroup.printing.planner.pattern.drawing import box_line, path_data
from gowngroup.printing.planner.pattern.labels import Words, words_box
from gowngroup.printing.planner.pattern.tiles import TiledPattern

EDGE_MM = 1.0
NUMBER_SHARE = 1.45  # tile numbers are set this much larger than the rest


@dataclass(frozen=True, slots=True, kw_only=True)
class TileMap:
    """The sheet drawn small; piece numbers stand in rings, tile numbers large in the corner of their tile."""

    width_mm: float
    height_mm: float
    tiles: str
    empty: str
    pieces: str
    tile_numbers: tuple[Words, ...]
    tile_number_mm: float
    letters: tuple[Words, ...]
    letter_grounds: str
    piece_numbers: tuple[Words, ...]
    rings: tuple[Point, ...]
    ring_mm: float
    type_mm: float
    title: str


def tile_map(tiled: TiledPattern, *, width_mm: float, height_mm: float) -> TileMap:
    """The map as large as fits into a width and height in mm."""
    across, down = tiled.sheet.size_mm
    scale = min((width_mm - 2 * EDGE_MM) / across, (height_mm - 2 * EDGE_MM) / down)
    drawn = _Scaled(tiled=tiled, scale=scale)
    letters, type_mm = tuple(drawn.letters()), tiled.pattern.type_mm
    taken = [words_box(each, type_mm) for each in letters]
    numbers = tuple(drawn.tile_numbers(taken))
    taken += [words_box(each, type_mm * NUMBER_SHARE) for each in numbers]
    rings = dict(drawn.rings(taken))
    return TileMap(
        width_mm=round(across * scale + 2 * EDGE_MM, 3),
        height_mm=round(down * scale + 2 * EDGE_MM, 3),
        tiles=path_data(drawn.tile_frames()),
        empty=path_data(drawn.crosses()),
        pieces=path_data(drawn.outlines()),
        tile_numbers=numbers,
        tile_number_mm=round(type_mm * NUMBER_SHARE, 3),
        letters=letters,
        letter_grounds=path_data(box_line(words_box(each, type_mm)) for each in letters),
        piece_numbers=tuple(
            Words(text=key, x_mm=x, y_mm=y + 0.35 * type_mm, is_centred=True) for key, (x, y) in rings.items()
        ),
        rings=tuple(rings.values()),
        ring_mm=round(type_mm * 0.85, 3),
        type_mm=type_mm,
        title=_title(tiled),
    )


def _title(tiled: TiledPattern) -> str:
    sheet = tiled.sheet
    rows = [
        _("row %(row)d: %(tiles)s")
        % {"row": row + 1, "tiles": ", ".join(str(tile.number) for tile in sheet.tiles if tile.row == row)}
        for row in range(sheet.row_count)
    ]
    return _("Map of the tiles; %(rows)s") % {"rows": "; ".join(rows)}


def empty_words(tiled: TiledPattern) -> str:
    """How many tiles of the map are empty and not printed; nothing where there is none."""
    count = len(tiled.sheet.empty_cells)
    if not count:
        return ""
    return ngettext(
        "%(count)d tile, crossed out on the map, is empty and not printed.",
        "%(count)d tiles, crossed out on the map, are empty and not printed.",
        count,
    ) % {"count": count}


@dataclass(frozen=True, slots=True, kw_only=True)
class _Scaled:
    """A tiled pattern drawn at a scale."""

    tiled: TiledPattern
    scale: float

    def at(self, point: Point) -> Point:
        return point[0] * self.scale + EDGE_MM, point[1] * self.scale + EDGE_MM

    def box(self, column: int, row: int) -> Box:
        left, top, right, bottom = self.tiled.sheet.tile.box(column, row)
        return (*self.at((left, top)), *self.at((right, bottom)))

    def tile_frames(self) -> Iterator[Line]:
        for tile in self.tiled.sheet.tiles:
            yield box_line(self.box(tile.column, tile.row))

    def crosses(self) -> Iterator[Line]:
        for cell in self.tiled.sheet.empty_cells:
            left, top, right, bottom = self.box(*cell)
            yield from (
                box_line((left, top, right, bottom)),
                ((left, top), (right, bottom)),
                ((left, bottom), (right, top)),
            )

    def outlines(self) -> Iterator[Line]:
        for piece in self.tiled.pattern.pieces:
            place = self.tiled.sheet.place(piece.key)
            for line in piece.lines.cut:
                yield tuple(self.at(point) for point in place.on_sheet(line))

    def tile_numbers(self, letters: Sequence[Box]) -> Iterator[Words]:
        """Each tile's number as near to its upper left corner as it stands clear of outlines and letters."""
        type_mm, lines = self.tiled.pattern.type_mm * NUMBER_SHARE, list(self.outlines())
        for tile in self.tiled.sheet.tiles:
            left, top, right, bottom = self.box(tile.column, tile.row)
            inwards_mm = self.tiled.sheet.tile.overlap_mm * self.scale + 1.0
            corner = (left + inwards_mm, top + inwards_mm)
            area = shapely.box(*corner, right - inwards_mm, bottom - inwards_mm)
            size_mm = (0.55 * type_mm * len(str(tile.number)), 0.7 * type_mm)
            free = free_corner(Room(area=area, lines=lines, boxes=letters).free, size_mm, near=corner)
            x_mm, y_mm = free or corner
            yield Words(text=str(tile.number), x_mm=x_mm, y_mm=y_mm + size_mm[1], is_bold=True)

    def letters(self) -> Iterator[Words]:
        type_mm = self.tiled.pattern.type_mm
        for join in self.tiled.joins:
            left, top, right, bottom = join.strip
            x, y = self.at(((left + right) / 2, (top + bottom) / 2))
            yield Words(text=join.letter, x_mm=x, y_mm=y + 0.35 * type_mm, is_centred=True)

    def rings(self, taken: list[Box]) -> Iterator[tuple[str, Point]]:
        """A point for the number of each piece, clear of all other numbers; without room the table alone tells its tile."""
        type_mm = self.tiled.pattern.type_mm
        for piece in self.tiled.pattern.pieces:
            outline = [
                self.at(point)
                for point in self.tiled.sheet.place(piece.key).on_sheet(piece.sheet_piece.outline)
            ]
            area = polygon_on(outline, (0.0, 0.0, 1e6, 1e6))
            side_mm = 1.8 * type_mm
            free = Room(area=area, boxes=taken).free
            corner = free_corner(free, (side_mm, side_mm), near=(area.centroid.x, area.centroid.y))
            x, y = (corner[0] + side_mm / 2, corner[1] + side_mm / 2) if corner else _inside(area)
            ring = (x - type_mm, y - type_mm, x + type_mm, y + type_mm)
            if corner or not shapely.box(*ring).intersects(
                shapely.union_all([shapely.box(*box) for box in taken])
            ):
                taken.append(ring)
                yield piece.key, (x, y)


def _inside(area: Shape) -> Point:
    point = area.representative_point()
    return point.x, point.y
