"""What one tile shows of lines and outlines."""

from collections.abc import Iterable, Sequence

import shapely
import shapely.affinity

from gowngroup.planning.geometry import Point
from gowngroup.planning.tiling.values import Box, Line, Shape


def clipped(lines: Iterable[Line], box: Box) -> tuple[Line, ...]:
    """The parts of lines inside a box (left, top, right, bottom in mm), moved so that its corner is the origin."""
    frame, (left, top) = shapely.box(*box), box[:2]
    parts = shapely.get_parts(shapely.intersection([shapely.LineString(line) for line in lines], frame))
    return tuple(
        tuple((x - left, y - top) for x, y in part.coords)
        for part in parts
        if part.geom_type == "LineString" and part.length > 0
    )


def polygon_on(outline: Sequence[Point], box: Box) -> Shape:
    """What of an outline lies in a box, moved so that the corner of the box is the origin."""
    inside = shapely.Polygon(outline).buffer(0).intersection(shapely.box(*box))
    return shapely.affinity.translate(inside, -box[0], -box[1])


def is_clear(box: Box, lines: Iterable[Line]) -> bool:
    """Whether no line touches a box."""
    frame = shapely.box(*box)
    return not any(frame.intersects(shapely.LineString(line)) for line in lines)
