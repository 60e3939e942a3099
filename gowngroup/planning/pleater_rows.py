"""Where the pleater's rows run on the flat pieces of a draft, and where each ends at an armhole."""

from dataclasses import dataclass, replace

import shapely

from gowngroup.planning.drafting import Draft, Piece
from gowngroup.planning.geometry import Point, PolygonPoints, bounding_box_mm, flattened

TEMPLATE_INWARDS_MM = 40.0  # how far an armhole template reaches in from the armhole
TEMPLATE_BELOW_MM = 12.0  # and below its last row or the underarm
_FLAT_MM = 5e-3


@dataclass(frozen=True, slots=True, kw_only=True)
class RunningRow:
    """One pleater row from cut edge to cut edge of a piece in mm; a holding row has no number.

    `in_from_side_mm` is how far short of the piece's right side the row ends where it ends at an armhole, else 0.
    """

    number: int | None
    depth_mm: float
    left: Point
    right: Point
    in_from_side_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ArmholeTemplate:
    """The upper right corner of a smocked piece at true size: outline, seam lines and rows, in the piece's own mm."""

    outline: PolygonPoints
    seam_lines: tuple[tuple[Point, ...], ...]
    rows: tuple[RunningRow, ...]


def smocked_piece_names(draft: Draft) -> tuple[str, ...]:
    """The pieces that are pleated: the front panel, or all that join to the strip round the neck; none of a wrap."""
    if draft.panel is not None:
        return ("front panel",)
    return ("front", "back", "sleeve") if draft.strip is not None else ()


def running_rows(draft: Draft, piece: Piece, *, holding_row_count: int) -> tuple[RunningRow, ...]:
    """The rows to thread across one smocked piece, from the top.

    Holding rows lie a row space above the first and below the last design row; of an odd number the top has one
    more (common practice, no source). Empty where the draft is not smocked or a row would run off the cloth.
    """
    smocking = draft.smocking
    if smocking is None:
        return ()
    above = (holding_row_count + 1) // 2
    first_mm, last_mm, space_mm = smocking.rows[0].depth_mm, smocking.rows[-1].depth_mm, smocking.row_space_mm
    depths: list[tuple[int | None, float]] = [(None, first_mm - space_mm * up) for up in range(above, 0, -1)]
    depths += [(row.number, row.depth_mm) for row in smocking.rows]
    depths += [(None, last_mm + space_mm * down) for down in range(1, holding_row_count - above + 1)]
    found = (_running(piece, number, depth_mm) for number, depth_mm in depths)
    return tuple(row for row in found if row is not None)


def armhole_template(piece: Piece, rows: tuple[RunningRow, ...]) -> ArmholeTemplate | None:
    """The corner round the right armhole with its row ends; None where no row ends at an armhole."""
    armhole = next((edge for edge in piece.edges if edge.name in ("armhole", "armhole_right")), None)
    if armhole is None or not any(row.in_from_side_mm for row in rows):
        return None
    left_mm = armhole.walked.start[0] - TEMPLATE_INWARDS_MM
    bottom_mm = max(armhole.walked.end[1], rows[-1].depth_mm + _top_mm(piece)) + TEMPLATE_BELOW_MM
    window = shapely.box(left_mm, -1.0, bounding_box_mm(piece.cut_polygon)[2] + 1.0, bottom_mm)
    parts = shapely.get_parts(shapely.Polygon(piece.cut_polygon).intersection(window))
    corner = max(parts, key=lambda part: float(part.area))
    seam = shapely.union_all(
        [shapely.LineString(flattened(edge.walked, tolerance_mm=_FLAT_MM)) for edge in piece.edges]
    )
    return ArmholeTemplate(
        outline=tuple(corner.exterior.coords)[:-1],
        seam_lines=tuple(
            tuple(part.coords) for part in shapely.get_parts(shapely.line_merge(seam.intersection(corner)))
        ),
        rows=tuple(replace(row, left=(left_mm, row.left[1])) for row in rows),
    )


def _top_mm(piece: Piece) -> float:
    """How far down the piece the seam lies that rows are measured from."""
    edges = {edge.name: edge for edge in piece.edges}
    upper = edges["neck"] if "neck" in edges else edges["yoke_seam"]
    return min(upper.walked.start[1], upper.walked.end[1])


def _running(piece: Piece, number: int | None, depth_mm: float) -> RunningRow | None:
    y_mm = _top_mm(piece) + depth_mm
    left, _, right, _ = bounding_box_mm(piece.cut_polygon)
    along = shapely.LineString([(left - 1, y_mm), (right + 1, y_mm)])
    across = shapely.Polygon(piece.cut_polygon).intersection(along)
    if across.is_empty:
        return None
    from_mm, _, to_mm, _ = across.bounds
    return RunningRow(
        number=number,
        depth_mm=depth_mm,
        left=(from_mm, y_mm),
        right=(to_mm, y_mm),
        in_from_side_mm=_short_mm(piece, (to_mm, y_mm)),
    )


def _short_mm(piece: Piece, end: Point) -> float:
    """How far in from the underarm a row ends, where the edge it ends at is an armhole."""
    point = shapely.Point(end)
    edges = [
        (shapely.LineString(flattened(edge.walked, tolerance_mm=_FLAT_MM)), edge) for edge in piece.edges
    ]
    # Above the seam an end lies as near to the corner of one edge as to that of the other: the armhole counts.
    _, nearest = min(
        edges, key=lambda each: (round(each[0].distance(point), 3), not each[1].name.startswith("armhole"))
    )
    if not nearest.name.startswith("armhole"):
        return 0.0
    underarm_y_mm = max(nearest.walked.start[1], nearest.walked.end[1])
    level = shapely.LineString([(0.0, underarm_y_mm), (bounding_box_mm(piece.cut_polygon)[2], underarm_y_mm)])
    side_mm = float(shapely.Polygon(piece.cut_polygon).intersection(level).bounds[2])
    return max(side_mm - end[0], 0.0)
