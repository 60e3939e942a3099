"""A pattern laid out on a sheet of tiles: every line where it comes to lie."""

from collections.abc import Mapping
from dataclasses import dataclass

from django.utils.translation import gettext as _

from gowngroup.planning.geometry import PolygonPoints, signed_area_mm2
from gowngroup.planning.tiling import Box, Join, Line, Placed, Sheet, Tile, arrange, joins_of
from gowngroup.printing.planner.pattern.papers import PatternPaper
from gowngroup.printing.planner.pattern.pattern import Pattern, PatternPiece
from gowngroup.records.errors import Refusal

MOST_TILES = 150


class TooManyTiles(Refusal):
    """The pattern is too large to be stuck together from pages."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Laid:
    """All that is drawn, by piece and style, in mm from the upper left corner of the sheet."""

    pattern: Pattern
    sheet: Sheet
    joins: tuple[Join, ...]
    outlines: Mapping[str, PolygonPoints]
    lines: Mapping[str, Mapping[str, tuple[Line, ...]]]

    @property
    def type_mm(self) -> float:
        """Size of the type."""
        return self.pattern.type_mm

    @property
    def every_line(self) -> list[Line]:
        """The lines of all pieces and styles."""
        return [line for by_style in self.lines.values() for found in by_style.values() for line in found]

    def place(self, piece: PatternPiece) -> Placed:
        """Where a piece lies."""
        return self.sheet.place(piece.key)

    def box(self, tile: Tile) -> Box:
        """What a tile shows."""
        return self.sheet.tile.box(tile.column, tile.row)


def laid_out(pattern: Pattern, paper: PatternPaper, *, has_large_print: bool) -> Laid:
    """The pattern on as few tiles of a paper as found; raises TooManyTiles."""
    tile = paper.tile(has_large_print=has_large_print)
    area_mm2 = sum(abs(signed_area_mm2(piece.sheet_piece.outline)) for piece in pattern.pieces)
    # Told before anything is tried, for trying hundreds of pages takes long.
    _refuse_too_many(int(area_mm2 / (tile.width_mm * tile.height_mm)), paper)
    sheet = arrange(tuple(piece.sheet_piece for piece in pattern.pieces), tile)
    _refuse_too_many(len(sheet.tiles), paper)
    places = {piece.key: sheet.place(piece.key) for piece in pattern.pieces}
    outlines = {piece.key: places[piece.key].on_sheet(piece.sheet_piece.outline) for piece in pattern.pieces}
    return Laid(
        pattern=pattern,
        sheet=sheet,
        joins=joins_of(sheet, outlines),
        outlines=outlines,
        lines={piece.key: _lines(piece, places[piece.key]) for piece in pattern.pieces},
    )


def _refuse_too_many(tile_count: int, paper: PatternPaper) -> None:
    if tile_count > MOST_TILES:
        raise TooManyTiles(
            _(
                "This pattern would take %(count)d pages of %(paper)s or more. Please have it printed as one large page at a copy shop instead."
            )
            % {"count": tile_count, "paper": paper.name}
        )


def _lines(piece: PatternPiece, place: Placed) -> dict[str, tuple[Line, ...]]:
    return {
        style: tuple(place.on_sheet(line) for line in found) for style, found in piece.lines.by_style.items()
    }
