"""A sleeve set into the armhole of a yoke gown: its cap is as long as the armhole, its seam widens to the hem."""

from gowngroup.planning.drafting.panel import Raglan, bisected, both_halves, side_and_hem
from gowngroup.planning.drafting.piece import Edge, PieceOutline
from gowngroup.planning.drafting.refusals import CannotDraft
from gowngroup.planning.drafting.rules import DraftRules
from gowngroup.planning.geometry import Path, curve, mirrored, path, path_length_mm


def skirt_armhole(depth_mm: float, width_mm: float, rules: DraftRules) -> Raglan:
    """The lower part of an armhole, cut out of front or back below the yoke."""
    return Raglan(
        straight_mm=0.0,
        depth_mm=depth_mm,
        width_mm=width_mm,
        fullness=rules.underarm_fullness,
        side_slope=rules.side_flare,
    )


def armhole_mm(*, yoke_mm: float, depth_mm: float, width_mm: float, rules: DraftRules) -> float:
    """Half an armhole from shoulder to underarm: straight along the yoke, then curved below it."""
    return yoke_mm + path_length_mm(skirt_armhole(depth_mm, width_mm, rules).walked(0.0))


def cap_width_mm(along_mm: float, height_mm: float) -> float:
    """Width of half a cap of this height that is `along_mm` long; raises CannotDraft where it is too high."""
    if along_mm <= height_mm:
        raise CannotDraft("cap_cannot_meet", height_mm=height_mm, along_mm=along_mm)
    return bisected(lambda width_mm: path_length_mm(half_cap(width_mm, height_mm)) - along_mm, 0.0, along_mm)


def half_cap(width_mm: float, height_mm: float) -> Path:
    """The right half of a sleeve cap, level at its top and where it meets the seam under the arm."""
    middle_mm = width_mm / 2
    return path(curve((0.0, 0.0), (middle_mm, 0.0), (middle_mm, height_mm), (width_mm, height_mm)))


def sleeve_outline(
    *, width_mm: float, cap_height_mm: float, seam_mm: float, notch_share: float, rules: DraftRules
) -> PieceOutline:
    """The sleeve, both halves alike; each cap carries a notch at `notch_share` of its length from the shoulder."""
    cap = half_cap(width_mm / 2, cap_height_mm)
    underarm, hem = side_and_hem(
        cap.end,
        slope=rules.sleeve_flare,
        length_mm=cap_height_mm + seam_mm,
        hem_curve_mm=rules.hem_curve_share * width_mm / 2,
    )
    seam_out_mm = rules.seam_allowance_mm
    return PieceOutline(
        name="sleeve",
        count=2,
        edges=(
            Edge(name="cap_right", walked=cap, allowance_mm=seam_out_mm),
            Edge(name="underarm_right", walked=underarm, allowance_mm=seam_out_mm),
            Edge(
                name="hem",
                walked=both_halves(hem, is_outwards=False),
                allowance_mm=rules.sleeve_hem_allowance_mm,
            ),
            Edge(name="underarm_left", walked=mirrored(underarm), allowance_mm=seam_out_mm),
            Edge(name="cap_left", walked=mirrored(cap), allowance_mm=seam_out_mm),
        ),
        notches=(
            ("cap_right", notch_share),
            ("underarm_right", 0.5),
            ("underarm_left", 0.5),
            ("cap_left", 1 - notch_share),
        ),
        is_symmetric=True,
    )
