"""A drafted wrap folded round a baby, from its own outline: the back, then the left side, then the right over it."""

from collections.abc import Sequence

from gowngroup.catalog.drawing.front import GownDrawing, frame, seam_line
from gowngroup.catalog.drawing.svg import Point, closed_path
from gowngroup.catalog.planner import GownNeed, GownPiece


def wrap_drawing(need: GownNeed, wrap: GownPiece) -> GownDrawing:
    """The front view of a wrap whose sides lie over one another."""
    outline = seam_line(wrap.pattern, "neck")
    half_mm = max(x for x, _y in outline)
    fold_mm = (need.measure_mm("chest_mm") or half_mm) / 4
    back = clipped(clipped(outline, fold_mm, is_right=False), -fold_mm, is_right=True)
    right = [(2 * fold_mm - x, y) for x, y in clipped(outline, fold_mm, is_right=True)]
    left = [(-x, y) for x, y in right]
    layers = (back, left, right)
    return GownDrawing(
        view_box=frame([point for layer in layers for point in layer]),
        cloth=tuple(closed_path(layer) for layer in layers),
        seams=(),
        stitches=(),
    )


def clipped(outline: Sequence[Point], at_mm: float, *, is_right: bool) -> list[Point]:
    """The part of an outline to the right, or else the left, of a line down the cloth (Sutherland and Hodgman 1974)."""
    found: list[Point] = []
    for here, there in zip(outline, (*outline[1:], outline[0]), strict=True):
        if (here[0] >= at_mm) == is_right:
            found.append(here)
        if (here[0] - at_mm) * (there[0] - at_mm) < 0:
            share = (at_mm - here[0]) / (there[0] - here[0])
            found.append((at_mm, here[1] + share * (there[1] - here[1])))
    return found
