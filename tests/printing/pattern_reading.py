"""Patterns read back from their PDFs and put together again like the paper, by programs that did not make them."""

import io
import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

import pdfplumber
import shapely

from gowngroup.planning.geometry import PolygonPoints
from tests.printing.reading import MM

FRAME_WIDTH, CUT_WIDTH, SQUARE_WIDTH, MARK_WIDTH = 0.15, 0.6, 0.2, 0.25
Point = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadTile:
    """A tile page: where it says it belongs, its frame on the page, its lines by width in mm from the frame's corner."""

    column: int
    row: int
    width_mm: float
    height_mm: float
    lines: tuple[tuple[float, tuple[Point, ...]], ...]

    @property
    def corner(self) -> Point:
        """Where its corner lies on the sheet, overlaps of 10 mm taken off."""
        return (self.column - 1) * (self.width_mm - 10), (self.row - 1) * (self.height_mm - 10)

    def of_width(self, width: float) -> list[tuple[Point, ...]]:
        """Lines drawn in a width."""
        return [points for drawn, points in self.lines if abs(drawn - width) < 0.01]

    def boxes(self, width: float) -> list[tuple[float, float]]:
        """Width and height of what is drawn in a width, in mm."""
        return [size_of(points) for points in self.of_width(width)]


def opened_pdf(content: bytes) -> Any:
    """A PDF opened by pdfplumber."""
    return pdfplumber.open(io.BytesIO(content))


def size_of(points: Iterable[Point]) -> tuple[float, float]:
    """Width and height of points."""
    xs, ys = zip(*points, strict=True)
    return max(xs) - min(xs), max(ys) - min(ys)


def drawn_lines(page: Any) -> list[tuple[float, tuple[Point, ...]]]:
    """Every stroked line of a page: its width and its points in mm from the page's upper left corner."""
    found = []
    for thing in (*page.lines, *page.rects, *page.curves):
        points = [(x / MM, y / MM) for x, y in thing["pts"]]
        if thing["object_type"] == "rect":
            points.append(points[0])
        if thing["stroke"]:
            found.append((float(thing["linewidth"]) / MM, tuple(points)))
    return found


def read_tile(page: Any) -> ReadTile:
    """A tile page as read."""
    where = re.search(r"column (\d+), row (\d+)", page.extract_text())
    assert where, page.extract_text()[:200]
    lines = drawn_lines(page)
    (frame,) = [points for width, points in lines if abs(width - FRAME_WIDTH) < 0.01]
    left, top = min(x for x, _ in frame), min(y for _, y in frame)
    width_mm, height_mm = size_of(frame)
    return ReadTile(
        column=int(where[1]),
        row=int(where[2]),
        width_mm=width_mm,
        height_mm=height_mm,
        lines=tuple(
            (width, tuple((x - left, y - top) for x, y in points))
            for width, points in lines
            if points is not frame
        ),
    )


def stuck_together(tiles: Iterable[ReadTile], width: float) -> list[tuple[Point, ...]]:
    """The lines of a width on all tiles, laid where each tile says it belongs."""
    return [
        tuple((x + tile.corner[0], y + tile.corner[1]) for x, y in points)
        for tile in tiles
        for points in tile.of_width(width)
    ]


def bands_of(lines: Iterable[tuple[Point, ...]]) -> list[shapely.Polygon]:
    """A narrow band round each outline that lines make together, parts drawn twice counted once."""
    joined = shapely.union_all([shapely.LineString(line).buffer(0.02, quad_segs=2) for line in lines])
    return list(shapely.get_parts(joined))


def is_outline(band: shapely.Polygon, outline: PolygonPoints, angles_deg: Iterable[float]) -> bool:
    """Whether a band runs round this outline, turned by one of the angles, everywhere within a tenth of a mm."""
    return any(_fits(band, shapely.LinearRing(outline), angle_deg) for angle_deg in angles_deg)


def _fits(band: shapely.Polygon, ring: shapely.LinearRing, angle_deg: float) -> bool:
    turned = shapely.affinity.rotate(ring, angle_deg, origin=(0, 0))
    left, top, _, _ = band.buffer(-0.01).bounds
    x, y, _, _ = turned.bounds
    moved = shapely.affinity.translate(turned, left - x + 0.01, top - y + 0.01)
    return bool(moved.buffer(0.1).covers(band) and band.buffer(0.1).covers(moved))
