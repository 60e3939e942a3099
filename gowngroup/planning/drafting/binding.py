"""The binding of a neck edge."""

from gowngroup.planning.drafting.piece import Edge, PieceOutline
from gowngroup.planning.drafting.rules import DraftRules
from gowngroup.planning.geometry import Point, line, path, turned


def binding_outline(length_mm: float, rules: DraftRules, *, is_bias: bool) -> PieceOutline:
    """A strip four times as wide as the finished binding, on the bias or along the grain."""
    fold_mm = rules.binding_width_mm
    corners: tuple[Point, ...] = (
        (0.0, 0.0),
        (length_mm, 0.0),
        (length_mm, 2 * fold_mm),
        (0.0, 2 * fold_mm),
    )
    names = ("inside", "end_right", "neck", "end_left")
    allowances_mm = (fold_mm, rules.seam_allowance_mm, fold_mm, rules.seam_allowance_mm)
    angle_deg = 45.0 if is_bias else 90.0
    edges = tuple(
        Edge(name=name, walked=turned(path(line(a, b)), angle_deg=angle_deg), allowance_mm=out_mm)
        for name, a, b, out_mm in zip(names, corners, (*corners[1:], corners[0]), allowances_mm, strict=True)
    )
    return PieceOutline(name="neck binding", count=1, edges=edges, notches=(("neck", 0.5),), is_bias=is_bias)
