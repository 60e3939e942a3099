"""Pieces of a group's own: corners and curved edges entered by hand, as pattern pieces like any other."""

from collections.abc import Sequence
from dataclasses import dataclass

from gowngroup.planning.drafting.piece import Edge, Piece, PieceOutline, cut_piece
from gowngroup.planning.geometry import (
    Path,
    Point,
    backwards,
    bounding_box_mm,
    curve,
    flattened,
    is_simple_polygon,
    line,
    mirrored,
    path,
    signed_area_mm2,
    turned,
)
from gowngroup.planning.outline_faults import (
    SAME_MM,
    BadOutline,
    OutlinePoint,
    refuse_bad_points,
    refuse_bad_values,
    refuse_crossing,
    refused,
)

__all__ = ["BadOutline", "OutlinePoint", "OwnOutline", "own_outline_piece"]


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnOutline:
    """A piece as a group draws it: its points in order, either way round, in mm.

    `allowance_mm` is added all round (0 where the drawing has it already). The grain runs along y, or turned from
    there towards x by `grain_angle_deg` (90 across, 45 on the bias); it is turned to lie along the cloth.
    `is_pair` cuts every second one turned over. `is_on_fold` says that half a piece is drawn, whose straight left
    side lies on the fold: the other half is added.
    """

    name: str
    points: tuple[OutlinePoint, ...]
    count: int = 1
    allowance_mm: float = 0.0
    grain_angle_deg: float = 0.0
    is_pair: bool = False
    is_on_fold: bool = False
    may_turn: bool = True


def own_outline_piece(outline: OwnOutline, *, cloth_width_mm: float | None = None) -> Piece:
    """The outline as a pattern piece in mm, its grain along the cloth; edges are named after their first point.

    Raises BadOutline naming the piece and, where one is to blame, the point: numbers that are none, an outline
    that crosses itself or has no area, a fold that is not straight, a piece wider than the cloth.
    """
    refuse_bad_values(
        outline.name,
        count=outline.count,
        is_pair=outline.is_pair,
        allowance_mm=outline.allowance_mm,
        grain_angle_deg=outline.grain_angle_deg,
    )
    refuse_bad_points(outline.name, outline.points)
    walked = _edges(outline.points)
    refuse_crossing(outline.name, walked)
    named = [
        (f"edge {number}", turned(edge, angle_deg=outline.grain_angle_deg))
        for number, edge in _counter_clockwise(walked)
    ]
    edges = tuple(
        Edge(name=name, walked=edge, allowance_mm=outline.allowance_mm)
        for name, edge in (_unfolded(outline.name, named) if outline.is_on_fold else named)
    )
    piece = cut_piece(
        PieceOutline(
            name=outline.name,
            count=outline.count,
            edges=edges,
            is_pair=outline.is_pair,
            is_bias=outline.grain_angle_deg % 90 != 0,
            may_turn=outline.may_turn,
        )
    )
    _refuse_bad_cut(piece, cloth_width_mm)
    return piece


def _edges(points: Sequence[OutlinePoint]) -> list[Path]:
    """The edge from each point to the next, bowed outwards where the points say so."""
    corners = [(point.x_mm, point.y_mm) for point in points]
    outwards = 1.0 if signed_area_mm2(corners) > 0 else -1.0
    return [
        _edge(here, there, outwards * point.bow_mm)
        for point, here, there in zip(points, corners, (*corners[1:], corners[0]), strict=True)
    ]


def _edge(start: Point, end: Point, bow_mm: float) -> Path:
    """A straight edge, or the parabola whose middle stands `bow_mm` to the right of the way walked."""
    if not bow_mm:
        return path(line(start, end))
    d_x, d_y = end[0] - start[0], end[1] - start[1]
    length_mm = (d_x * d_x + d_y * d_y) ** 0.5
    out: Point = (d_y / length_mm * bow_mm * 4 / 3, -d_x / length_mm * bow_mm * 4 / 3)
    first, second = (
        (start[0] + d_x * share + out[0], start[1] + d_y * share + out[1]) for share in (1 / 3, 2 / 3)
    )
    return path(curve(start, first, second, end))


def _counter_clockwise(walked: Sequence[Path]) -> list[tuple[int, Path]]:
    """The edges with the number of their first point as entered, in an order that keeps the piece on their left."""
    numbered = list(enumerate(walked, start=1))
    points = [point for edge in walked for point in flattened(edge, tolerance_mm=SAME_MM)[:-1]]
    if signed_area_mm2(points) > 0:
        return numbered
    return [(number, backwards(edge)) for number, edge in reversed(numbered)]


def _unfolded(name: str, half: Sequence[tuple[str, Path]]) -> list[tuple[str, Path]]:
    """The edges of the half, and their mirror images beyond the fold on its left."""
    left_mm = min(edge.start[0] for _, edge in half)
    is_fold = [_lies_along(edge, left_mm) for _, edge in half]
    ends = [index for index, fold in enumerate(is_fold) if fold and not is_fold[(index + 1) % len(half)]]
    if len(ends) != 1:
        raise refused(
            name, "fold", "needs one straight side on its left, along the grain, to lie on the fold"
        )
    order = [*half[ends[0] + 1 :], *half[: ends[0] + 1]]
    kept = order[: len(half) - sum(is_fold)]
    other = [
        (f"{edge_name} mirrored", mirrored(edge, axis_x_mm=left_mm)) for edge_name, edge in reversed(kept)
    ]
    return [*kept, *other]


def _lies_along(edge: Path, x_mm: float) -> bool:
    points = [point for segment in edge.segments for point in segment.points]
    return all(abs(x - x_mm) < SAME_MM for x, _ in points)


def _refuse_bad_cut(piece: Piece, cloth_width_mm: float | None) -> None:
    if not is_simple_polygon(piece.cut_polygon):
        raise refused(
            piece.name,
            "allowance",
            "has a hollow too narrow for its seam allowance, or runs over its own fold",
        )
    left, _, right, _ = bounding_box_mm(piece.cut_polygon)
    if cloth_width_mm is not None and right - left > cloth_width_mm:
        raise refused(
            piece.name,
            "wider_than_cloth",
            f"is {right - left:.0f} mm wide with its allowances; the cloth is {cloth_width_mm:.0f} mm",
        )
