"""Whether one piece is drawn so that it can be cut: outline, allowances, halves and grain."""

import math
from collections.abc import Iterator

import shapely

from gowngroup.planning.drafting.faults import Fault
from gowngroup.planning.drafting.piece import CUT_TOLERANCE_MM, Edge, Piece
from gowngroup.planning.geometry import (
    PolygonPoints,
    flattened,
    is_simple_polygon,
    path_length_mm,
    point_at,
    signed_area_mm2,
)

CURVE_TOLERANCE_MM = 5e-3  # finer than any seam can be drawn, coarse enough to be quick
_FINE_MM = 1e-3


def seam_outline(piece: Piece) -> PolygonPoints:
    """The seam line all round as one polygon, within a two-hundredth of a mm of its curves."""
    return tuple(
        point
        for edge in piece.edges
        for point in flattened(edge.walked, tolerance_mm=CURVE_TOLERANCE_MM)[:-1]
    )


def piece_faults(piece: Piece, tolerance_mm: float) -> Iterator[Fault]:
    """What is wrong with how a piece is drawn."""
    yield from _outline_faults(piece)
    yield from _allowance_faults(piece, tolerance_mm)
    yield from _mirror_faults(piece, tolerance_mm)
    yield from _grain_faults(piece, tolerance_mm)


def _outline_faults(piece: Piece) -> Iterator[Fault]:
    ends = [edge.walked.end for edge in piece.edges]
    starts = [edge.walked.start for edge in piece.edges]
    gap_mm = max(math.dist(end, start) for end, start in zip(ends, starts[1:] + starts[:1], strict=True))
    if gap_mm > _FINE_MM:
        yield Fault(code="outline_open", where=piece.name, difference_mm=gap_mm)
    for outline in (seam_outline(piece), piece.cut_polygon):
        if not is_simple_polygon(outline) or signed_area_mm2(outline) < 0:
            yield Fault(code="outline_crosses", where=piece.name)


def _allowance_faults(piece: Piece, tolerance_mm: float) -> Iterator[Fault]:
    """Each edge's middle lies its own allowance inside the cutting line."""
    cut = shapely.LinearRing(piece.cut_polygon)
    for edge in piece.edges:
        middle, _ = point_at(edge.walked, distance_mm=path_length_mm(edge.walked) / 2)
        missing_mm = edge.allowance_mm - cut.distance(shapely.Point(middle))
        if abs(missing_mm) > tolerance_mm:
            yield Fault(code="allowance", where=f"{piece.name} {edge.name}", difference_mm=missing_mm)


def _mirror_faults(piece: Piece, tolerance_mm: float) -> Iterator[Fault]:
    if piece.is_symmetric:
        across = _across(piece).walked
        twice_axis_mm = across.start[0] + across.end[0]
        outline = shapely.LinearRing(seam_outline(piece))
        other = shapely.LinearRing([(twice_axis_mm - x, y) for x, y in outline.coords])
        apart_mm = outline.hausdorff_distance(other)
        if apart_mm > tolerance_mm:
            yield Fault(code="mirror", where=piece.name, difference_mm=apart_mm)
    elif piece.is_pair and piece.count % 2:
        yield Fault(code="no_partner", where=piece.name)


def _grain_faults(piece: Piece, tolerance_mm: float) -> Iterator[Fault]:
    """The grain line runs along the cloth inside the piece, and the piece's own length along the grain line."""
    (x_0, y_0), (x_1, y_1) = piece.grain_line
    off_mm = abs(x_1 - x_0)
    inside = shapely.Polygon(piece.cut_polygon).buffer(CUT_TOLERANCE_MM)
    if off_mm > _FINE_MM or y_1 <= y_0 or not inside.contains(shapely.LineString(piece.grain_line)):
        yield Fault(code="grain_line", where=piece.name, difference_mm=off_mm)
    askew_mm = _askew_mm(piece)
    if askew_mm > tolerance_mm:
        yield Fault(code="grain", where=piece.name, difference_mm=askew_mm)


def _across(piece: Piece) -> Edge:
    """The edge right across a symmetric piece: its neck or yoke seam, else its hem."""
    names = {edge.name: edge for edge in piece.edges}
    return names.get("neck") or names.get("yoke_seam") or names["hem"]


def _askew_mm(piece: Piece) -> float:
    """How far a piece's opening or the edge across it runs off the grain, or a bias strip off 45°."""
    names = {edge.name: edge for edge in piece.edges}
    edge = names.get("centre_back") or (_across(piece) if piece.is_symmetric else names.get("neck"))
    if edge is None:
        return 0.0
    across_mm, along_mm = (abs(b - a) for a, b in zip(edge.walked.start, edge.walked.end, strict=True))
    if piece.is_bias:
        return abs(across_mm - along_mm)
    return min(across_mm, along_mm)
