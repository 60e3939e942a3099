"""Lines of a drawing with no more points than the eye can tell: each costs the PDF engine time and memory."""

import re
from collections.abc import Iterable

from shapely import LineString

from gowngroup.planning.tiling import Line

PARTS = re.compile(r"M([-\d. L]+)(Z?)")
TOLD_APART_MM = 0.05  # on paper


def lean_line(line: Line, tolerance: float) -> Line:
    """The line without the points that lie on it, no further off than the tolerance; a closed one stays closed."""
    if len(line) < 3:
        return line
    return tuple((x, y) for x, y in LineString(line).simplify(tolerance).coords)


def lean_path(data: str, tolerance: float) -> str:
    """Path data of straight lines, those that go on where the last one ended drawn as one, without needless points."""
    lines: list[list[tuple[float, float]]] = []
    for points, end in PARTS.findall(data):
        line = [_point(point) for point in points.split("L")]
        if end:
            line.append(line[0])
        if lines and lines[-1][-1] == line[0] and lines[-1][0] != line[0]:
            lines[-1] += line[1:]
        else:
            lines.append(line)
    return "".join(_written(lean_line(tuple(line), tolerance)) for line in lines)


def _point(words: str) -> tuple[float, float]:
    x, y = map(float, words.split())
    return x, y


def _written(line: Line) -> str:
    is_closed = len(line) > 2 and line[0] == line[-1]
    return f"M{'L'.join(_numbers(line[:-1] if is_closed else line))}{'Z' if is_closed else ''}"


def _numbers(line: Line) -> Iterable[str]:
    return (f"{x:g} {y:g}" for x, y in line)
