"""The pages of a tiled pattern."""

from dataclasses import dataclass

from django.utils.translation import gettext as _

from gowngroup.planning.tiling import Join, Line, Sheet, Tile, clipped
from gowngroup.printing.planner.pattern.drawing import (
    StyledPath,
    TestSquare,
    box_line,
    path_data,
    styled_paths,
)
from gowngroup.printing.planner.pattern.labels import Words, words_box
from gowngroup.printing.planner.pattern.laid import Laid, laid_out
from gowngroup.printing.planner.pattern.marks import Mark, marks_of, marks_on, marks_path
from gowngroup.printing.planner.pattern.papers import FRAME_MM, PatternPaper
from gowngroup.printing.planner.pattern.pattern import Pattern, PatternPiece
from gowngroup.printing.planner.pattern.squares import tile_squares
from gowngroup.printing.planner.pattern.tile_words import tile_words


@dataclass(frozen=True, slots=True, kw_only=True)
class TilePage:
    """One page: the part of the sheet it shows, with frame, marks, words and squares; its own corner is 0, 0."""

    tile: Tile
    paths: tuple[StyledPath, ...]
    frame: str
    marks: str
    words: tuple[Words, ...]
    squares: tuple[TestSquare, ...]
    joins: tuple[tuple[str, int], ...]
    piece_names: tuple[str, ...]

    @property
    def column(self) -> int:
        """Its column on the map, from 1."""
        return self.tile.column + 1

    @property
    def row(self) -> int:
        """Its row on the map, from 1."""
        return self.tile.row + 1

    @property
    def title(self) -> str:
        """The page in words, for who cannot see it."""
        return _("Tile %(number)d at true size, with two test squares: %(pieces)s") % {
            "number": self.tile.number,
            "pieces": "; ".join(self.piece_names),
        }


@dataclass(frozen=True, slots=True, kw_only=True)
class TileView:
    """The part of a page that its drawing fills."""

    view_box: str
    width_mm: float
    height_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class TiledPattern:
    """A pattern spread over pages of one paper."""

    pattern: Pattern
    paper: PatternPaper
    sheet: Sheet
    joins: tuple[Join, ...]
    pages: tuple[TilePage, ...]

    @property
    def view(self) -> TileView:
        """What the drawing of each page shows: the tile and a little round its frame."""
        tile = self.sheet.tile
        width_mm, height_mm = tile.width_mm + 2 * FRAME_MM, tile.height_mm + 2 * FRAME_MM
        return TileView(
            view_box=f"-{FRAME_MM} -{FRAME_MM} {width_mm:.3f} {height_mm:.3f}",
            width_mm=round(width_mm, 3),
            height_mm=round(height_mm, 3),
        )

    def tiles_of(self, piece: PatternPiece) -> tuple[int, ...]:
        """Numbers of the tiles a piece is on."""
        return tuple(tile.number for tile in self.sheet.tiles if piece.key in tile.piece_keys)


def tiled_pattern(pattern: Pattern, paper: PatternPaper, *, has_large_print: bool) -> TiledPattern:
    """The pattern over as few pages as found; raises TooManyTiles."""
    laid = laid_out(pattern, paper, has_large_print=has_large_print)
    words = tile_words(laid)
    marks = marks_of(laid, words)
    pages = tuple(
        _page(laid, tile, words[tile.number], marks_on(laid, tile, marks)) for tile in laid.sheet.tiles
    )
    return TiledPattern(pattern=pattern, paper=paper, sheet=laid.sheet, joins=laid.joins, pages=pages)


def _page(laid: Laid, tile: Tile, words: tuple[Words, ...], marks: tuple[Mark, ...]) -> TilePage:
    size, type_mm = laid.sheet.tile, laid.type_mm
    lines = _lines_on(laid, tile)
    taken = [words_box(each, type_mm) for each in words]
    taken += [box for mark in marks for box in mark.boxes(type_mm)]
    return TilePage(
        tile=tile,
        paths=styled_paths(lines),
        frame=path_data([box_line((0.0, 0.0, size.width_mm, size.height_mm))]),
        marks=marks_path(marks),
        words=(*words, *(mark.words(type_mm) for mark in marks)),
        squares=tile_squares(laid, tile, [line for found in lines.values() for line in found], taken),
        joins=tuple(_joins(laid, tile)),
        piece_names=tuple(
            f"{piece.number} {piece.name}" for piece in laid.pattern.pieces if piece.key in tile.piece_keys
        ),
    )


def _joins(laid: Laid, tile: Tile) -> list[tuple[str, int]]:
    """The letters of a tile's joins, each with the number of the tile beyond."""
    pairs = [(join.letter, {join.first, join.second}) for join in laid.joins]
    return [(letter, (pair - {tile.number}).pop()) for letter, pair in pairs if tile.number in pair]


def _lines_on(laid: Laid, tile: Tile) -> dict[str, list[Line]]:
    found: dict[str, list[Line]] = {}
    for by_style in laid.lines.values():
        for style, lines in by_style.items():
            found.setdefault(style, []).extend(clipped(lines, laid.box(tile)))
    return found
