"""Pieces, marks and test squares as SVG paths: one for each style of line, lengths in mm."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from gowngroup.planning.tiling import Box, Line
from gowngroup.printing.planner.pattern.labels import Words

SQUARES_MM = (("50 mm", 50.0), ("2 in", 50.8))
SQUARES_GAP_MM = 4.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Style:
    """How a kind of line is drawn, so that black and white tell it apart."""

    name: str
    width_mm: float
    dash: str = ""


STYLES = (
    Style(name="row", width_mm=0.2, dash="0.4 1.2"),
    Style(name="seam", width_mm=0.3, dash="4 2"),
    Style(name="grain", width_mm=0.25),
    Style(name="notch", width_mm=0.7),
    Style(name="cut", width_mm=0.6),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class StyledPath:
    """All lines of one style."""

    style: Style
    d: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TestSquare:
    """A square to measure before anything is cut."""

    d: str
    words: Words


def styled_paths(lines: dict[str, list[Line]]) -> tuple[StyledPath, ...]:
    """Lines by style as paths; a style without lines has none."""
    return tuple(
        StyledPath(style=style, d=path_data(lines[style.name])) for style in STYLES if lines.get(style.name)
    )


def path_data(lines: Iterable[Line]) -> str:
    """Lines as path data to a thousandth of a mm; a line that ends where it starts is closed."""
    return "".join(_subpath(line) for line in lines)


def _subpath(line: Line) -> str:
    points = [f"{x + 0.0:.3f} {y + 0.0:.3f}" for x, y in line]
    is_closed = len(points) > 2 and points[0] == points[-1]
    return "M" + "L".join(points[:-1] if is_closed else points) + ("Z" if is_closed else "")


def box_line(box: Box) -> Line:
    """A box as a closed line."""
    left, top, right, bottom = box
    return ((left, top), (right, top), (right, bottom), (left, bottom), (left, top))


def squares_size_mm() -> tuple[float, float]:
    """Width and height of both test squares side by side."""
    sides = [side_mm for _, side_mm in SQUARES_MM]
    return sum(sides) + SQUARES_GAP_MM, max(sides)


def test_square(name: str, side_mm: float, corner: tuple[float, float], type_mm: float) -> TestSquare:
    """A square with its upper left corner there and its name in its middle."""
    x, y = corner
    words = Words(text=name, x_mm=x + side_mm / 2, y_mm=y + side_mm / 2 + 0.35 * type_mm, is_centred=True)
    return TestSquare(d=path_data([box_line((x, y, x + side_mm, y + side_mm))]), words=words)


def squares_from(corners: Sequence[tuple[float, float]], type_mm: float) -> tuple[TestSquare, ...]:
    """Both squares, each at its corner."""
    return tuple(
        test_square(name, side_mm, corner, type_mm)
        for (name, side_mm), corner in zip(SQUARES_MM, corners, strict=True)
    )
