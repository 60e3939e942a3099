"""Which tiles are stuck together, and where."""

from collections.abc import Iterator, Mapping
from string import ascii_uppercase
from typing import Literal

import shapely

from gowngroup.planning.geometry import PolygonPoints
from gowngroup.planning.tiling.values import Box, Join, Sheet, Tile


def joins_of(sheet: Sheet, outlines: Mapping[str, PolygonPoints]) -> tuple[Join, ...]:
    """The joins a piece runs across, lettered as they are read; `outlines` of the pieces lie on the sheet, in mm."""
    shapes = {key: shapely.Polygon(outline).buffer(0) for key, outline in outlines.items()}
    found = [
        (first, second, side, strip)
        for first, second, side, strip in _neighbours(sheet)
        if any(
            shapes[key].intersects(shapely.box(*strip))
            for key in first.piece_keys
            if key in second.piece_keys
        )
    ]
    return tuple(
        Join(letter=_letter(number), first=first.number, second=second.number, side=side, strip=strip)
        for number, (first, second, side, strip) in enumerate(found)
    )


def _neighbours(sheet: Sheet) -> Iterator[tuple[Tile, Tile, Literal["right", "below"], Box]]:
    by_cell = {(tile.column, tile.row): tile for tile in sheet.tiles}
    for tile in sheet.tiles:
        left, top, right, bottom = sheet.tile.box(tile.column, tile.row)
        if beside := by_cell.get((tile.column + 1, tile.row)):
            yield tile, beside, "right", (right - sheet.tile.overlap_mm, top, right, bottom)
        if below := by_cell.get((tile.column, tile.row + 1)):
            yield tile, below, "below", (left, bottom - sheet.tile.overlap_mm, right, bottom)


def _letter(number: int) -> str:
    """A to Z, then AA to AZ and so on."""
    more, rest = divmod(number, len(ascii_uppercase))
    return (_letter(more - 1) if more else "") + ascii_uppercase[rest]
