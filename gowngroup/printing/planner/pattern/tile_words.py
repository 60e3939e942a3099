"""What is written on the pieces of each tile: a full label once, name and number on every other tile, row numbers."""

from collections.abc import Iterator
from dataclasses import replace

import shapely

from gowngroup.planning.tiling import Box, Tile, polygon_on
from gowngroup.printing.planner.pattern.labels import WIDTHS_MM, Label, Words, label_words
from gowngroup.printing.planner.pattern.laid import Laid
from gowngroup.printing.planner.pattern.pattern import PatternPiece

INSIDE_MM = 2.0


def tile_words(laid: Laid) -> dict[int, tuple[Words, ...]]:
    """Words by the number of their tile, in mm from the tile's own corner."""
    found: dict[int, tuple[Words, ...]] = {tile.number: _row_numbers(laid, tile) for tile in laid.sheet.tiles}
    for piece in laid.pattern.pieces:
        for number, words in _labels(laid, piece):
            found[number] = (*words, *found[number])
    return found


def _labels(laid: Laid, piece: PatternPiece) -> Iterator[tuple[int, tuple[Words, ...]]]:
    """The label on the tile that shows most of the piece and has room; elsewhere its first line alone."""
    tiles = _tiles(laid, piece)
    labelled = next((tile for tile in tiles if _words(laid, piece, piece.label, tile)), None)
    short = replace(piece.label, texts=piece.label.texts[:1], caption_mm=(0.0, 0.0))
    for tile in tiles:
        if tile == labelled:
            yield tile.number, _words(laid, piece, piece.label, tile)
        elif words := _words(laid, piece, short, tile):
            yield tile.number, words
    if labelled is None:
        yield tiles[0].number, _over_lines(laid, piece, tiles[0])


def _tiles(laid: Laid, piece: PatternPiece) -> list[Tile]:
    """The tiles of a piece, that which shows most of it first."""
    outline = laid.outlines[piece.key]
    return sorted(
        (tile for tile in laid.sheet.tiles if piece.key in tile.piece_keys),
        key=lambda tile: -polygon_on(outline, laid.box(tile)).area,
    )


def _words(laid: Laid, piece: PatternPiece, label: Label, tile: Tile) -> tuple[Words, ...]:
    """A label inside the strips where tiles overlap, else anywhere on the tile; () where it finds no room."""
    box, place = laid.box(tile), laid.place(piece)
    if not label.is_inside:
        return label_words(label, place, piece.lines, box)
    inset_mm = laid.sheet.tile.overlap_mm
    inner: Box = (box[0] + inset_mm, box[1] + inset_mm, box[2] - inset_mm, box[3] - inset_mm)
    if words := label_words(label, place, piece.lines, inner):
        return tuple(replace(each, x_mm=each.x_mm + inset_mm, y_mm=each.y_mm + inset_mm) for each in words)
    return label_words(label, place, piece.lines, box)


def _over_lines(laid: Laid, piece: PatternPiece, tile: Tile) -> tuple[Words, ...]:
    """Where no room is clear of lines the words stand over them, inside the frame."""
    left, top, right, bottom = laid.box(tile)
    width_mm, height_mm = piece.label.size_mm(WIDTHS_MM[-1])
    point = polygon_on(laid.outlines[piece.key], (left, top, right, bottom)).representative_point()
    x = min(max(point.x - width_mm / 2, INSIDE_MM), right - left - width_mm - INSIDE_MM)
    y = min(max(point.y - height_mm / 2, INSIDE_MM), bottom - top - height_mm - INSIDE_MM)
    return piece.label.words((x, y), WIDTHS_MM[-1])


def _row_numbers(laid: Laid, tile: Tile) -> tuple[Words, ...]:
    """Numbers of pleater rows whose room lies inside the frame."""
    box = laid.box(tile)
    frame = shapely.box(*box).buffer(-laid.type_mm)
    found = []
    for piece in laid.pattern.pieces:
        for number, point in piece.lines.row_numbers:
            ((x, y),) = laid.place(piece).on_sheet([point])
            if frame.contains(shapely.Point(x, y)):
                y_mm = y - box[1] + 0.35 * laid.type_mm
                found.append(Words(text=number, x_mm=x - box[0], y_mm=y_mm, is_centred=True))
    return tuple(found)
