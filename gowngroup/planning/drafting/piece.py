"""A pattern piece: named edges on the seam line, the cut outline round them, grain and notches."""

from dataclasses import dataclass, replace
from operator import itemgetter

import shapely

from gowngroup.planning.drafting.refusals import CannotDraft
from gowngroup.planning.geometry import (
    Path,
    Point,
    PolygonPoints,
    bounding_box_mm,
    fill_share,
    is_simple_polygon,
    mirrored_polygon,
    moved,
    offset_outline,
    path_length_mm,
    point_at,
)

CUT_TOLERANCE_MM = 0.1  # far below what scissors follow


@dataclass(frozen=True, slots=True, kw_only=True)
class Edge:
    """One named edge of the seam line, walked with the piece on its left, and the allowance cut outside it."""

    name: str
    walked: Path
    allowance_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Notch:
    """A mark that meets its like on the other edge; `cut_point` is where it is snipped."""

    edge: str
    seam_point: Point
    cut_point: Point


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """A pattern piece in mm, x across the cloth, y along the grain from neck to hem, its corner at the origin.

    `edges` run once round counter-clockwise; `is_pair` cuts every second one turned over; `is_symmetric` has a
    left half that mirrors its right; `may_turn` lets it lie upside down where the cloth allows.
    """

    name: str
    count: int
    edges: tuple[Edge, ...]
    cut_polygon: PolygonPoints
    grain_line: tuple[Point, Point]
    notches: tuple[Notch, ...]
    is_pair: bool
    is_symmetric: bool
    is_bias: bool
    may_turn: bool

    def edge(self, name: str) -> Edge:
        """The edge of this name; raises KeyError."""
        for each in self.edges:
            if each.name == name:
                return each
        raise KeyError(name)

    @property
    def cut_size_mm(self) -> tuple[float, float]:
        """Width across and length along the cloth of the cut outline."""
        left, low, right, high = bounding_box_mm(self.cut_polygon)
        return right - left, high - low

    @property
    def fill(self) -> float:
        """Share (0 to 1) of its bounding box that the cut outline fills."""
        return fill_share(self.cut_polygon)

    @property
    def cut_shapes(self) -> tuple[PolygonPoints, ...]:
        """The cut outline once for every piece to be cut, pairs turned over."""
        other = mirrored_polygon(self.cut_polygon) if self.is_pair else self.cut_polygon
        return tuple(other if index % 2 else self.cut_polygon for index in range(self.count))


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceOutline:
    """What a draft knows of a piece before allowances are set round it; notches are (edge, share of its length)."""

    name: str
    count: int
    edges: tuple[Edge, ...]
    notches: tuple[tuple[str, float], ...] = ()
    is_pair: bool = False
    is_symmetric: bool = False
    is_bias: bool = False
    may_turn: bool = True


def cut_piece(outline: PieceOutline) -> Piece:
    """The piece with allowances set out, its corner moved to the origin, grain line and notches placed."""
    raw = cut_outline(outline.edges)
    left, low, _, _ = bounding_box_mm(raw)
    edges = tuple(replace(each, walked=moved(each.walked, x_mm=-left, y_mm=-low)) for each in outline.edges)
    cut_polygon = tuple((x - left, y - low) for x, y in raw)
    return Piece(
        name=outline.name,
        count=outline.count,
        edges=edges,
        cut_polygon=cut_polygon,
        grain_line=_grain_line(cut_polygon, share=0.45 if outline.is_bias else 0.25),
        notches=tuple(_notch(edges, name, share) for name, share in outline.notches),
        is_pair=outline.is_pair,
        is_symmetric=outline.is_symmetric,
        is_bias=outline.is_bias,
        may_turn=outline.may_turn,
    )


def cut_or_refuse(outline: PieceOutline) -> Piece:
    """The piece with its cutting line; raises CannotDraft where that would cross itself."""
    piece = cut_piece(outline)
    if not is_simple_polygon(piece.cut_polygon):
        raise CannotDraft("outline_crosses", piece=outline.name)
    return piece


def cut_outline(edges: tuple[Edge, ...]) -> PolygonPoints:
    """The polygon cut round a seam line, each edge with its own allowance."""
    return offset_outline([(each.walked, each.allowance_mm) for each in edges], tolerance_mm=CUT_TOLERANCE_MM)


def _grain_line(polygon: PolygonPoints, *, share: float) -> tuple[Point, Point]:
    """A line along the cloth through the middle of a piece, from `share` of its length to as much before its end.

    Where a hollow cuts into the middle, it keeps to the longest stretch of cloth there.
    """
    _, _, right, high = bounding_box_mm(polygon)
    along = shapely.LineString([(right / 2, 0.0), (right / 2, high)])
    outline = shapely.Polygon(polygon)
    if not outline.is_valid or outline.contains(shapely.LineString(_inner(along, share))):
        return _inner(along, share)
    stretches = shapely.get_parts(outline.intersection(along))
    return _inner(max(stretches, key=lambda stretch: float(stretch.length)), share)


def _inner(along: shapely.LineString, share: float) -> tuple[Point, Point]:
    ends = [along.interpolate(at, normalized=True) for at in (share, 1 - share)]
    low, high = sorted(((end.x, end.y) for end in ends), key=itemgetter(1))
    return low, high


def _notch(edges: tuple[Edge, ...], name: str, share: float) -> Notch:
    edge = next(each for each in edges if each.name == name)
    (x, y), (t_x, t_y) = point_at(edge.walked, distance_mm=share * path_length_mm(edge.walked))
    out_mm = edge.allowance_mm
    return Notch(edge=name, seam_point=(x, y), cut_point=(x + t_y * out_mm, y - t_x * out_mm))
