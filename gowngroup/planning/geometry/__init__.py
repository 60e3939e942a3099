"""Paths, polygons and seam allowances in millimetres: x across the cloth, y along the grain."""

from gowngroup.planning.geometry.offset import offset_outline
from gowngroup.planning.geometry.path import (
    Path,
    Point,
    Segment,
    backwards,
    curve,
    flattened,
    joined,
    line,
    mirrored,
    moved,
    path,
    path_length_mm,
    point_at,
    rounded_corner,
    turned,
)
from gowngroup.planning.geometry.polygon import (
    PolygonPoints,
    bounding_box_mm,
    fill_share,
    is_simple_polygon,
    mirrored_polygon,
    signed_area_mm2,
)

__all__ = [
    "Path",
    "Point",
    "PolygonPoints",
    "Segment",
    "backwards",
    "bounding_box_mm",
    "curve",
    "fill_share",
    "flattened",
    "is_simple_polygon",
    "joined",
    "line",
    "mirrored",
    "mirrored_polygon",
    "moved",
    "offset_outline",
    "path",
    "path_length_mm",
    "point_at",
    "rounded_corner",
    "signed_area_mm2",
    "turned",
]
