"""What every front view of a gown shares: its frame, and stitches laid where they are worked."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from gowngroup.catalog.drawing.svg import Point, open_path, view_box
from gowngroup.catalog.planner import GownNeed
from gowngroup.planning.drafting import Piece
from gowngroup.planning.geometry import flattened
from gowngroup.planning.smocking import chart_paths

MARGIN_MM = 12.0
DRAWN_MM = 0.3  # how far a drawn line may leave its curve


@dataclass(frozen=True, slots=True, kw_only=True)
class GownDrawing:
    """Outlines of cloth, each over those before it, seams, pleats and rows of stitches; viewBox in millimetres."""

    view_box: str
    cloth: tuple[str, ...]
    seams: tuple[str, ...]
    stitches: tuple[str, ...]
    pleats: tuple[str, ...] = ()


def frame(points: Iterable[Point]) -> str:
    """The viewBox round a drawing that is as wide to the left of its middle as to the right."""
    across, down = zip(*points, strict=True)
    reach_mm = max(abs(x) for x in across) + MARGIN_MM
    return view_box(-reach_mm, min(down) - MARGIN_MM, reach_mm, max(down) + MARGIN_MM)


def seam_line(piece: Piece, top_edge: str) -> tuple[Point, ...]:
    """The seam line of a piece, the middle of its top edge at 0 across and that edge's ends at 0 down."""
    walked = piece.edge(top_edge).walked
    middle_mm, top_mm = (walked.start[0] + walked.end[0]) / 2, walked.start[1]
    points = (point for edge in piece.edges for point in flattened(edge.walked, tolerance_mm=DRAWN_MM)[:-1])
    return tuple((x - middle_mm, y - top_mm) for x, y in points)


def placed_stitches(need: GownNeed, place: Callable[[float, float], Point], *, share: float) -> list[str]:
    """Stitches over the middle `share` of the pleats, their place across given from -1 to 1."""
    if need.smocking is None:
        return []
    centre = (need.smocking.pleat_count - 1) / 2
    lines = []
    for path in chart_paths(need.smocking):
        points = [((x - centre) / centre / share, y) for x, y in path.points]
        seen = [place(across, row) for across, row in points if abs(across) <= 1]
        if len(seen) > 1:
            lines.append(open_path(seen))
    return lines
