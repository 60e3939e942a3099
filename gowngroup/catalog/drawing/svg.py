"""Points written as SVG path data."""

from collections.abc import Sequence

Point = tuple[float, float]


def open_path(points: Sequence[Point]) -> str:
    """Path data of a line through points."""
    return "M" + "L".join(f"{number(x)} {number(y)}" for x, y in points)


def closed_path(points: Sequence[Point]) -> str:
    """Path data of a closed outline."""
    return open_path(points) + "Z"


def view_box(left: float, top: float, right: float, bottom: float) -> str:
    """The viewBox that shows a region."""
    return f"{number(left)} {number(top)} {number(right - left)} {number(bottom - top)}"


def number(value: float) -> str:
    """A coordinate with one decimal place."""
    return f"{value + 0.0:.1f}"
