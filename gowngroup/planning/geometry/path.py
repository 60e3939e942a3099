"""Paths of straight lines and cubic curves in millimetres: x across the cloth, y along the grain."""

import math
from collections.abc import Callable
from dataclasses import dataclass

Point = tuple[float, float]

# Where the control polygon and the chord differ by less, their mean is the length to far below 1 µm.
_LENGTH_TOLERANCE_MM = 1e-3
_BISECTIONS = 40
_QUARTER = 4 * (math.sqrt(2) - 1) / 3  # a quarter circle as one cubic curve, within 0.03 % of its radius


@dataclass(frozen=True, slots=True, kw_only=True)
class Segment:
    """A straight line (two points) or a cubic Bézier curve (four points)."""

    points: tuple[Point, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Path:
    """Segments joined end to end."""

    segments: tuple[Segment, ...]

    @property
    def start(self) -> Point:
        """Where the path begins."""
        return self.segments[0].points[0]

    @property
    def end(self) -> Point:
        """Where the path ends."""
        return self.segments[-1].points[-1]


def line(start: Point, end: Point) -> Segment:
    """A straight segment."""
    return Segment(points=(start, end))


def curve(start: Point, control_1: Point, control_2: Point, end: Point) -> Segment:
    """A cubic Bézier segment."""
    return Segment(points=(start, control_1, control_2, end))


def rounded_corner(start: Point, corner: Point, end: Point) -> Segment:
    """A curve that leaves and arrives as if it went round by the corner; a quarter of an ellipse where that is square."""
    return Segment(points=(start, _between(start, corner, _QUARTER), _between(end, corner, _QUARTER), end))


def path(*segments: Segment) -> Path:
    """A path of segments that follow one another."""
    return Path(segments=segments)


def joined(*paths: Path) -> Path:
    """One path made of several that follow one another."""
    return Path(segments=tuple(segment for each in paths for segment in each.segments))


def path_length_mm(walked: Path) -> float:
    """Length in mm walked along the path, curves included (Gravesen 1997, adaptive subdivision)."""
    return sum(_length_mm(segment.points) for segment in walked.segments)


def flattened(walked: Path, *, tolerance_mm: float) -> tuple[Point, ...]:
    """Points of a polyline that keeps within `tolerance_mm` of the path, both ends included."""
    points = [walked.start]
    for segment in walked.segments:
        points.extend(_flattened(segment.points, tolerance_mm))
    return tuple(points)


def point_at(walked: Path, *, distance_mm: float) -> tuple[Point, Point]:
    """Point and unit tangent at a distance walked from the start; the distance is clamped to the path."""
    remaining_mm = max(distance_mm, 0.0)
    for segment in walked.segments[:-1]:
        length_mm = _length_mm(segment.points)
        if remaining_mm <= length_mm:
            return _point_on(segment.points, remaining_mm)
        remaining_mm -= length_mm
    return _point_on(walked.segments[-1].points, remaining_mm)


def mirrored(walked: Path, *, axis_x_mm: float = 0.0) -> Path:
    """The path reflected in a line along the grain and walked from the other end, so that inside stays left."""
    return backwards(_mapped(walked, lambda point: (2 * axis_x_mm - point[0], point[1])))


def moved(walked: Path, *, x_mm: float, y_mm: float) -> Path:
    """The path shifted across and along the cloth."""
    return _mapped(walked, lambda point: (point[0] + x_mm, point[1] + y_mm))


def turned(walked: Path, *, angle_deg: float) -> Path:
    """The path turned about the origin."""
    cosine, sine = math.cos(math.radians(angle_deg)), math.sin(math.radians(angle_deg))
    return _mapped(
        walked, lambda point: (point[0] * cosine - point[1] * sine, point[0] * sine + point[1] * cosine)
    )


def backwards(walked: Path) -> Path:
    """The same path walked from its end to its start."""
    return Path(segments=tuple(Segment(points=segment.points[::-1]) for segment in walked.segments[::-1]))


def _mapped(walked: Path, move: Callable[[Point], Point]) -> Path:
    return Path(
        segments=tuple(
            Segment(points=tuple(move(point) for point in segment.points)) for segment in walked.segments
        )
    )


def _length_mm(points: tuple[Point, ...]) -> float:
    chord_mm = math.dist(points[0], points[-1])
    if len(points) == 2:
        return chord_mm
    first, second, third, fourth = points
    polygon_mm = math.dist(first, second) + math.dist(second, third) + math.dist(third, fourth)
    if polygon_mm - chord_mm < _LENGTH_TOLERANCE_MM:
        return (chord_mm + polygon_mm) / 2
    before, after = _split(points, 0.5)
    return _length_mm(before) + _length_mm(after)


def _flattened(points: tuple[Point, ...], tolerance_mm: float) -> list[Point]:
    if all(_distance_to_chord_mm(control, points) <= tolerance_mm for control in points[1:-1]):
        return [points[-1]]
    first, second = _split(points, 0.5)
    return _flattened(first, tolerance_mm) + _flattened(second, tolerance_mm)


def _distance_to_chord_mm(control: Point, points: tuple[Point, ...]) -> float:
    (x_0, y_0), (x_1, y_1) = points[0], points[-1]
    d_x, d_y = x_1 - x_0, y_1 - y_0
    squared = d_x * d_x + d_y * d_y
    along = ((control[0] - x_0) * d_x + (control[1] - y_0) * d_y) / squared if squared else 0.0
    along = min(max(along, 0.0), 1.0)
    return math.dist(control, (x_0 + along * d_x, y_0 + along * d_y))


def _split(points: tuple[Point, ...], share: float) -> tuple[tuple[Point, ...], tuple[Point, ...]]:
    """Both parts of a segment cut at a parameter, by de Casteljau's construction."""
    if len(points) == 2:
        middle = _between(points[0], points[1], share)
        return (points[0], middle), (middle, points[1])
    (x_0, y_0), (x_1, y_1), (x_2, y_2), (x_3, y_3) = points
    a_x, a_y = x_0 + (x_1 - x_0) * share, y_0 + (y_1 - y_0) * share
    b_x, b_y = x_1 + (x_2 - x_1) * share, y_1 + (y_2 - y_1) * share
    c_x, c_y = x_2 + (x_3 - x_2) * share, y_2 + (y_3 - y_2) * share
    d_x, d_y = a_x + (b_x - a_x) * share, a_y + (b_y - a_y) * share
    e_x, e_y = b_x + (c_x - b_x) * share, b_y + (c_y - b_y) * share
    middle = (d_x + (e_x - d_x) * share, d_y + (e_y - d_y) * share)
    return (points[0], (a_x, a_y), (d_x, d_y), middle), (middle, (e_x, e_y), (c_x, c_y), points[3])


def _between(a: Point, b: Point, share: float) -> Point:
    return a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share


def _point_on(points: tuple[Point, ...], distance_mm: float) -> tuple[Point, Point]:
    low, high = 0.0, 1.0
    for _ in range(_BISECTIONS):
        middle = (low + high) / 2
        if _length_mm(_split(points, middle)[0]) < distance_mm:
            low = middle
        else:
            high = middle
    before, after = _split(points, (low + high) / 2)
    return after[0], _direction(before, after)


def _direction(before: tuple[Point, ...], after: tuple[Point, ...]) -> Point:
    """Unit tangent where two parts of a segment meet; at an end one part has shrunk to a point.

    Where handles lie on their own end, the next control points further away give the direction.
    """
    origin, target = after[0], after[0]
    for further in range(1, len(after)):
        legs = ((after[0], after[further]), (before[-1 - further], before[-1]))
        origin, target = max(legs, key=lambda leg: math.dist(*leg))
        if origin != target:
            break
    length_mm = math.dist(origin, target) or 1.0
    return (target[0] - origin[0]) / length_mm, (target[1] - origin[1]) / length_mm
