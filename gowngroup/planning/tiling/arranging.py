"""Pieces arranged on a sheet so that few pages are needed and whatever fits one page stays whole."""

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import product

import shapely

from gowngroup.planning.geometry import Point, bounding_box_mm
from gowngroup.planning.tiling.values import (
    GAP_MM,
    Box,
    Placed,
    Sheet,
    SheetPiece,
    Tile,
    TileSize,
    turned_outline,
)

FURTHER_COLUMNS = 3  # widths tried beyond what the widest piece needs
_SAME_MM = 1e-6

Cells = frozenset[tuple[int, int]]


class NothingToArrange(ValueError):
    """There is no piece to put on the sheet."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Turn:
    """One way a piece may lie: its box with words and a gap all round.

    Words begin at `caption` in the box, or up to `slide_mm` to the right of it, and are `caption_mm` wide and high.
    """

    angle_deg: float
    width_mm: float
    height_mm: float
    caption: Point
    caption_mm: tuple[float, float]
    slide_mm: float

    def box_at(self, corner: Point) -> Box:
        x_mm, y_mm = corner
        return x_mm, y_mm, x_mm + self.width_mm, y_mm + self.height_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class _Spot:
    """A turned piece put somewhere: the tiles that show its box whole, and how many others show some of it."""

    piece: SheetPiece
    turn: _Turn
    box: Box
    cells: Cells
    strip_count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class _Trial:
    """One way to go about it: how wide the sheet may be, and whether pieces shun the strips where tiles overlap."""

    tile: TileSize
    column_count: int
    shuns_strips: bool

    @property
    def width_mm(self) -> float:
        return self.tile.box(self.column_count - 1, 0)[2]


@lru_cache(maxsize=32)
def arrange(pieces: tuple[SheetPiece, ...], tile: TileSize) -> Sheet:
    """The sheet, among several widths, that needs the fewest tiles of this size; lengths in mm.

    Largest pieces come first, each where it is split over the fewest tiles and opens the fewest new ones.
    Raises NothingToArrange without pieces. Source: greedy corner placement, textbook method; own rules.
    """
    if not pieces:
        raise NothingToArrange
    turns = {piece.key: _turns(piece) for piece in pieces}
    order = sorted(pieces, key=lambda piece: -min(_area_mm2(each) for each in turns[piece.key]))
    least = max(min(_across(each, tile) for each in found) for found in turns.values())
    trials = [
        _Trial(tile=tile, column_count=column_count, shuns_strips=shuns_strips)
        for column_count in range(least, least + 1 + FURTHER_COLUMNS)
        for shuns_strips in (True, False)
    ]
    return _sheet(min((_spots(order, turns, trial) for trial in trials), key=_wish), tile)


def _turns(piece: SheetPiece) -> list[_Turn]:
    found = []
    for angle_deg in piece.turns_deg:
        _, _, right, low = bounding_box_mm(turned_outline(piece.outline, angle_deg))
        wide_mm, high_mm = piece.caption_mm
        below = (max(right, wide_mm), low + high_mm, (0.0, low), max(right - wide_mm, 0.0))
        beside = (right + GAP_MM / 2 + wide_mm, max(low, high_mm), (right + GAP_MM / 2, 0.0), 0.0)
        for width_mm, height_mm, caption, slide_mm in (below, beside) if high_mm else (below,):
            turn = _Turn(
                angle_deg=angle_deg,
                width_mm=width_mm + GAP_MM,
                height_mm=height_mm + GAP_MM,
                caption=caption,
                caption_mm=piece.caption_mm,
                slide_mm=slide_mm,
            )
            found.append(turn)
    return found


def _area_mm2(turn: _Turn) -> float:
    return turn.width_mm * turn.height_mm


def _across(turn: _Turn, tile: TileSize) -> int:
    """Columns that a turned piece needs at least."""
    return _last_cell(turn.width_mm, tile.width_mm, tile.step_x_mm) + 1


def _last_cell(end_mm: float, size_mm: float, step_mm: float) -> int:
    """The first tile along one way that reaches an end."""
    return max(math.ceil((end_mm - size_mm - _SAME_MM) / step_mm), 0)


def _spots(order: Iterable[SheetPiece], turns: dict[str, list[_Turn]], trial: _Trial) -> list[_Spot]:
    spots: list[_Spot] = []
    for piece in order:
        spots.append(_best_spot(piece, turns[piece.key], trial, spots))
    return spots


def _best_spot(piece: SheetPiece, turns: Sequence[_Turn], trial: _Trial, spots: Sequence[_Spot]) -> _Spot:
    """Where one tile shows its words, a piece is split least, opens fewest tiles, lies furthest up and left."""
    used, boxes = _used(spots), [spot.box for spot in spots]
    tried = sorted(
        (
            not _shows_words_whole(turn, corner, trial.tile),
            *_place_wish(turn.box_at(corner), trial, used),
            corner[1],
            corner[0],
            number,
        )
        for number, turn in enumerate(turns)
        for corner in _corners(turn, trial, spots)
    )
    *_, y_mm, x_mm, number = next(
        each for each in tried if _is_free(turns[each[-1]].box_at((each[-2], each[-3])), boxes)
    )
    box = turns[number].box_at((x_mm, y_mm))
    return _Spot(
        piece=piece,
        turn=turns[number],
        box=box,
        cells=frozenset(_cells(box, trial.tile)),
        strip_count=_strip_count(box, trial.tile),
    )


def _shows_words_whole(turn: _Turn, corner: Point, tile: TileSize) -> bool:
    """Whether one tile shows all the words outside a piece, slid along where that helps."""
    wide_mm, high_mm = turn.caption_mm
    if not high_mm:
        return True
    x_mm, y_mm = (corner[way] + GAP_MM / 2 + turn.caption[way] for way in (0, 1))
    row = math.floor((y_mm + _SAME_MM) / tile.step_y_mm)
    column = math.floor((x_mm + _SAME_MM) / tile.step_x_mm)
    places = ((each, max(x_mm, tile.corner(each, row)[0] + GAP_MM / 2)) for each in (column, column + 1))
    return y_mm + high_mm <= tile.box(0, row)[3] and any(
        left <= x_mm + turn.slide_mm + _SAME_MM
        and left + wide_mm + GAP_MM / 2 <= tile.box(each, row)[2] + _SAME_MM
        for each, left in places
    )


def _place_wish(box: Box, trial: _Trial, used: Cells) -> tuple[int, int, int]:
    """Tiles a box is split over, new ones among them, and further tiles that show some of it."""
    cells = _cells(box, trial.tile)
    strip_count = _strip_count(box, trial.tile) if trial.shuns_strips else 0
    return len(cells), sum(cell not in used for cell in cells), strip_count


def _used(spots: Iterable[_Spot]) -> Cells:
    return frozenset[tuple[int, int]]().union(*(spot.cells for spot in spots))


def _corners(turn: _Turn, trial: _Trial, spots: Sequence[_Spot]) -> Iterator[Point]:
    """Corners of tiles with and without the strip, and beside and below what already lies there."""
    tile = trial.tile
    rows = 1 + max((row for spot in spots for _, row in spot.cells), default=-1)
    lefts = {tile.corner(column, 0)[0] for column in range(trial.column_count)}
    tops = {tile.corner(0, row)[1] for row in range(rows + 1)}
    if trial.shuns_strips:
        lefts |= {left + tile.overlap_mm for left in lefts}
        tops |= {top + tile.overlap_mm for top in tops}
    lefts |= {spot.box[2] for spot in spots}
    tops |= {spot.box[3] for spot in spots}
    furthest_mm = trial.width_mm - turn.width_mm + _SAME_MM
    return product((left for left in lefts if left <= furthest_mm), tops)


def _cells(box: Box, tile: TileSize) -> list[tuple[int, int]]:
    """The fewest tiles that show a box whole."""
    first_column = math.floor((box[0] + _SAME_MM) / tile.step_x_mm)
    first_row = math.floor((box[1] + _SAME_MM) / tile.step_y_mm)
    last_column = max(_last_cell(box[2], tile.width_mm, tile.step_x_mm), first_column)
    last_row = max(_last_cell(box[3], tile.height_mm, tile.step_y_mm), first_row)
    return list(product(range(first_column, last_column + 1), range(first_row, last_row + 1)))


def _strip_count(box: Box, tile: TileSize) -> int:
    """How many tiles show some of a box besides those that show it whole."""
    across, down = (
        math.ceil((end - _SAME_MM) / step) - max(math.floor((start - tile.overlap_mm + _SAME_MM) / step), 0)
        for start, end, step in ((box[0], box[2], tile.step_x_mm), (box[1], box[3], tile.step_y_mm))
    )
    return across * down - len(_cells(box, tile))


def _is_free(box: Box, others: Iterable[Box]) -> bool:
    return not any(_overlap(box, other) for other in others)


def _overlap(one: Box, other: Box) -> bool:
    return (
        one[0] < other[2] - _SAME_MM
        and other[0] < one[2] - _SAME_MM
        and one[1] < other[3] - _SAME_MM
        and other[1] < one[3] - _SAME_MM
    )


def _wish(spots: Sequence[_Spot]) -> tuple[float, ...]:
    """Fewest pages, then fewest joins, then the least stretched sheet, then fewest pieces in strips."""
    cells = _used(spots)
    columns, rows = (1 + max(cell[way] for cell in cells) for way in (0, 1))
    splits, strips = sum(len(spot.cells) for spot in spots), sum(spot.strip_count for spot in spots)
    return len(cells), splits, max(columns, rows), strips, columns * rows


def _sheet(spots: Sequence[_Spot], tile: TileSize) -> Sheet:
    places = tuple(_placed(spot) for spot in spots)
    shown: dict[tuple[int, int], list[str]] = {}
    for spot, place in zip(spots, places, strict=True):
        for cell in _cells_with_piece(spot, place, tile):
            shown.setdefault(cell, []).append(spot.piece.key)
    cells = sorted(shown, key=lambda cell: (cell[1], cell[0]))
    return Sheet(
        tile=tile,
        column_count=1 + max(column for column, _ in cells),
        row_count=1 + max(row for _, row in cells),
        places=places,
        tiles=tuple(
            Tile(number=number, column=column, row=row, piece_keys=tuple(shown[column, row]))
            for number, (column, row) in enumerate(cells, start=1)
        ),
    )


def _placed(spot: _Spot) -> Placed:
    """The piece half a gap from the corner of its box; its words below it."""
    x_mm, y_mm = spot.box[0] + GAP_MM / 2, spot.box[1] + GAP_MM / 2
    turned = Placed(
        key="", angle_deg=spot.turn.angle_deg, move_x_mm=0.0, move_y_mm=0.0, caption=(0.0, 0.0)
    ).on_sheet(spot.piece.outline)
    left, top, _, _ = bounding_box_mm(turned)
    return Placed(
        key=spot.piece.key,
        angle_deg=spot.turn.angle_deg,
        move_x_mm=x_mm - left,
        move_y_mm=y_mm - top,
        caption=(x_mm + spot.turn.caption[0], y_mm + spot.turn.caption[1]),
        caption_slide_mm=spot.turn.slide_mm,
    )


def _cells_with_piece(spot: _Spot, place: Placed, tile: TileSize) -> Iterator[tuple[int, int]]:
    """The tiles of a piece that show some of it which no other of them shows before."""
    if len(spot.cells) == 1:
        yield from spot.cells
        return
    outline = shapely.Polygon(place.on_sheet(spot.piece.outline)).buffer(0)
    for column, row in spot.cells:
        last_column = (column + 1, row) not in spot.cells
        last_row = (column, row + 1) not in spot.cells
        left, top, right, bottom = tile.box(column, row)
        core = shapely.box(
            left,
            top,
            right if last_column else right - tile.overlap_mm,
            bottom if last_row else bottom - tile.overlap_mm,
        )
        if outline.intersection(core).area > _SAME_MM:
            yield column, row
