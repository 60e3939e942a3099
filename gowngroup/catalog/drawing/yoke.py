"""The front of a drafted yoke gown: flat yoke, pleated panel and sleeves, from their own outlines."""

import math
from collections.abc import Mapping
from dataclasses import dataclass

from gowngroup.catalog.drawing.front import GownDrawing, frame, placed_stitches, seam_line
from gowngroup.catalog.drawing.svg import Point, closed_path, open_path
from gowngroup.catalog.planner import GownNeed, GownPiece
from gowngroup.planning.drafting import Piece
from gowngroup.planning.geometry import path_length_mm

FALL = (0.835, 0.55)  # of a line falling at about 33 degrees, as arms do
# How wide the panel hangs at its hem, as a share of its flat cloth: enough to show the folds, for the picture only.
HEM_SHARE = 0.6
FOLD_COUNT = 14


@dataclass(frozen=True, slots=True, kw_only=True)
class _Panel:
    """The pleated panel from the yoke seam down: points of its flat outline to where they hang."""

    outline: tuple[Point, ...]
    seam_mm: float
    finished_mm: float
    flat_mm: float
    smocked_mm: float
    length_mm: float

    def share(self, depth_mm: float) -> float:
        """Finished width of a stretch of cloth at a depth, as a share of its flat width."""
        drawn_in = self.finished_mm / self.flat_mm
        below = max(depth_mm - self.smocked_mm, 0.0) / (self.length_mm - self.smocked_mm)
        return drawn_in + (HEM_SHARE - drawn_in) * math.pow(min(below, 1.0), 0.8)

    def hung(self, point: Point) -> Point:
        """Where a point of the flat outline hangs, from the middle of the yoke seam."""
        x, y = point
        return x * self.share(y), self.seam_mm + y


def yoke_drawing(need: GownNeed, parts: Mapping[str, GownPiece]) -> GownDrawing:
    """The front view of a yoke gown from the patterns of its front yoke, front panel and sleeve."""
    yoke, flat = seam_line(parts["front yoke"].pattern, "neck"), parts["front panel"].pattern
    seam_mm = max(y for _x, y in yoke)
    panel = _panel(need, flat, seam_mm)
    body = [panel.hung(point) for point in panel.outline]
    sleeve = _sleeve(parts, panel)
    sleeves = [sleeve, [(-x, y) for x, y in sleeve]]
    half_mm = panel.finished_mm / 2
    return GownDrawing(
        view_box=frame([*yoke, *body, *sleeve]),
        cloth=("".join(closed_path(points) for points in sleeves), closed_path(body), closed_path(yoke)),
        seams=(open_path(((-half_mm, seam_mm), (half_mm, seam_mm))),),
        pleats=tuple(_fold(panel, number) for number in range(1, FOLD_COUNT)),
        stitches=tuple(_stitches(need, panel)),
    )


def _panel(need: GownNeed, flat: Piece, seam_mm: float) -> _Panel:
    guide = need.pleating
    flat_mm = path_length_mm(flat.edge("yoke_seam").walked)
    outline = seam_line(flat, "yoke_seam")
    rows = guide.design_row_count if guide else 0
    return _Panel(
        outline=outline,
        seam_mm=seam_mm,
        finished_mm=need.measure_mm("smocked_width_mm") or flat_mm,
        flat_mm=flat_mm,
        smocked_mm=(rows + 0.5) * (guide.row_space_mm if guide else 0.0),
        length_mm=max(y for _x, y in outline),
    )


def _sleeve(parts: Mapping[str, GownPiece], panel: _Panel) -> list[Point]:
    """The right sleeve from the end of the shoulder: its top, its hem, and the armhole it is set into."""
    pattern, yoke = parts["sleeve"].pattern, parts["front yoke"].pattern
    neck = yoke.edge("neck").walked
    middle_mm, top_mm = (neck.start[0] + neck.end[0]) / 2, neck.start[1]
    shoulder = yoke.edge("shoulder_right").walked.end
    start: Point = (shoulder[0] - middle_mm, shoulder[1] - top_mm)
    along_mm = parts["sleeve"].length_mm - pattern.edge("hem").allowance_mm
    cuff_mm = path_length_mm(pattern.edge("hem").walked) / 2
    top = (start[0] + FALL[0] * along_mm, start[1] + FALL[1] * along_mm)
    low = (top[0] - FALL[1] * cuff_mm, top[1] + FALL[0] * cuff_mm)
    underarm = panel.hung(_underarm(panel))
    # Behind body and yoke, which are drawn over it, so that an armhole is one line.
    return [start, top, low, underarm, (underarm[0] / 2, underarm[1])]


def _underarm(panel: _Panel) -> Point:
    """The outermost point of the panel above its side seam."""
    upper = [point for point in panel.outline if point[1] < 0.5 * panel.length_mm]
    return max(upper, key=lambda point: point[0])


def _fold(panel: _Panel, number: int) -> str:
    """One fold of the panel, from the yoke seam through the smocking to the hem."""
    across_mm = (number / FOLD_COUNT - 0.5) * panel.flat_mm
    steps = [panel.length_mm * 0.96 * step / 12 for step in range(13)]
    return open_path([panel.hung((across_mm, y)) for y in steps])


def _stitches(need: GownNeed, panel: _Panel) -> list[str]:
    space_mm = need.pleating.row_space_mm if need.pleating else 0.0

    def place(across: float, row: float) -> Point:
        return across * panel.finished_mm / 2, panel.seam_mm + (row + 0.6) * space_mm

    return placed_stitches(need, place, share=1.0)
