"""The front yoke and the two back yokes of a yoke gown."""

from gowngroup.planning.drafting.necklines import half_neckline
from gowngroup.planning.drafting.panel import both_halves
from gowngroup.planning.drafting.piece import Edge, PieceOutline
from gowngroup.planning.drafting.rules import DraftRules
from gowngroup.planning.drafting.yoke_measures import YokeMeasures
from gowngroup.planning.geometry import Path, Point, joined, line, mirrored, path


def front_yoke_outline(measures: YokeMeasures, rules: DraftRules, *, count: int) -> PieceOutline:
    """The front yoke: neck, shoulders, the straight upper armholes, and the seam that takes the smocked panel."""
    neck = half_neckline(measures.neck_width_mm / 2, measures.front_neck_drop_mm, 1.0)
    shoulder, armhole = _shoulder_and_armhole(measures, measures.front_yoke_mm / 2)
    seam = path(line(armhole.end, (0.0, measures.yoke_depth_mm)))
    out_mm = rules.seam_allowance_mm
    return PieceOutline(
        name="front yoke",
        count=count,
        edges=(
            Edge(
                name="neck", walked=both_halves(neck, is_outwards=True), allowance_mm=rules.neck_allowance_mm
            ),
            Edge(name="shoulder_right", walked=shoulder, allowance_mm=out_mm),
            Edge(name="armhole_right", walked=armhole, allowance_mm=out_mm),
            Edge(name="yoke_seam", walked=both_halves(seam, is_outwards=False), allowance_mm=out_mm),
            Edge(name="armhole_left", walked=mirrored(armhole), allowance_mm=out_mm),
            Edge(name="shoulder_left", walked=mirrored(shoulder), allowance_mm=out_mm),
        ),
        notches=(("neck", 0.5), ("armhole_right", 0.5), ("yoke_seam", 0.5), ("armhole_left", 0.5)),
        is_symmetric=True,
    )


def back_yoke_outline(measures: YokeMeasures, rules: DraftRules, *, count: int) -> PieceOutline:
    """One back yoke: its centre edge lies half the overlap beyond the centre back, level with the neck there."""
    edge_x_mm, drop_mm = -measures.overlap_mm / 2, measures.back_neck_drop_mm
    half = half_neckline(measures.neck_width_mm / 2, drop_mm, rules.back_neck_corner_share)
    top: Point = (edge_x_mm, drop_mm)
    shoulder, armhole = _shoulder_and_armhole(measures, measures.back_yoke_mm / 2)
    bottom: Point = (edge_x_mm, measures.yoke_depth_mm)
    flat_end: Point = (edge_x_mm + measures.overlap_mm, measures.yoke_depth_mm)
    out_mm = rules.seam_allowance_mm
    return PieceOutline(
        name="back yoke",
        count=count,
        edges=(
            Edge(
                name="neck",
                walked=joined(path(line(top, half.start)), half),
                allowance_mm=rules.neck_allowance_mm,
            ),
            Edge(name="shoulder", walked=shoulder, allowance_mm=out_mm),
            Edge(name="armhole", walked=armhole, allowance_mm=out_mm),
            Edge(name="yoke_seam", walked=path(line(armhole.end, flat_end)), allowance_mm=out_mm),
            Edge(name="yoke_seam_flat", walked=path(line(flat_end, bottom)), allowance_mm=out_mm),
            Edge(name="centre_back", walked=path(line(bottom, top)), allowance_mm=rules.back_hem_mm),
        ),
        notches=(("armhole", 0.5), ("yoke_seam", 0.5)),
        is_pair=True,
    )


def _shoulder_and_armhole(measures: YokeMeasures, half_width_mm: float) -> tuple[Path, Path]:
    tip: Point = (half_width_mm, measures.shoulder_drop_mm)
    return (
        path(line((measures.neck_width_mm / 2, 0.0), tip)),
        path(line(tip, (half_width_mm, measures.yoke_depth_mm))),
    )
