"""Room for both test squares on a tile."""

from collections.abc import Sequence

import shapely

from gowngroup.planning.geometry import Point
from gowngroup.planning.tiling import Box, Line, Room, Shape, Tile, free_corner, polygon_on
from gowngroup.printing.planner.pattern.drawing import SQUARES_MM, TestSquare, squares_from
from gowngroup.printing.planner.pattern.laid import Laid

INSIDE_MM = 2.0  # squares keep off the frame and off each other


def tile_squares(
    laid: Laid, tile: Tile, lines: Sequence[Line], taken: Sequence[Box]
) -> tuple[TestSquare, ...]:
    """Both squares outside the pieces, else inside one, else over lines but no words, near the lower left corner."""
    left, top, right, bottom = laid.box(tile)
    width_mm, height_mm = right - left, bottom - top
    page = shapely.box(INSIDE_MM, INSIDE_MM, width_mm - INSIDE_MM, height_mm - INSIDE_MM)
    clear, wordless = (Room(area=page, lines=found, boxes=taken).free for found in (lines, ()))
    pieces = shapely.union_all([polygon_on(outline, laid.box(tile)) for outline in laid.outlines.values()])
    corners: list[Point] = []
    for _name, side_mm in SQUARES_MM:
        x, y = (
            _corner(clear, pieces, side_mm, near=(0.0, height_mm))
            or free_corner(wordless, (side_mm, side_mm), near=(0.0, height_mm))
            or (
                INSIDE_MM + sum(side + INSIDE_MM for _, side in SQUARES_MM[: len(corners)]),
                height_mm - INSIDE_MM - side_mm,
            )
        )
        corners.append((x, y))
        square = shapely.box(x, y, x + side_mm, y + side_mm).buffer(INSIDE_MM)
        clear, wordless = clear.difference(square), wordless.difference(square)
    return squares_from(corners, laid.type_mm)


def _corner(clear: Shape, pieces: Shape, side_mm: float, *, near: Point) -> Point | None:
    size_mm = (side_mm, side_mm)
    return free_corner(clear.difference(pieces), size_mm, near=near) or free_corner(clear, size_mm, near=near)
