"""Front panel and backs of a yoke gown, from the yoke down to the hem."""

from gowngroup.planning.drafting.panel import Panel, both_halves, half_panel
from gowngroup.planning.drafting.piece import Edge, PieceOutline
from gowngroup.planning.drafting.pleated_panel import SmockedPanel
from gowngroup.planning.drafting.rules import DraftRules
from gowngroup.planning.drafting.set_in_sleeve import skirt_armhole
from gowngroup.planning.drafting.yoke_measures import YokeMeasures
from gowngroup.planning.geometry import line, mirrored, path


def panel_outline(measures: YokeMeasures, panel: SmockedPanel, rules: DraftRules) -> PieceOutline:
    """The smocked panel laid flat: as wide at the yoke as its pleats take up, wider below the armholes."""
    half = half_panel(
        neck_mm=panel.pleat_count * panel.take_up_mm / 2,
        neck_drop_mm=0.0,
        raglan=skirt_armhole(measures.front_armhole_mm, measures.armhole_width_mm, rules),
        length_mm=measures.front_skirt_mm,
        hem_curve_mm=_hem_curve_mm(measures, panel, rules),
    )
    out_mm = rules.seam_allowance_mm
    return PieceOutline(
        name="front panel",
        count=1,
        edges=(
            Edge(
                name="yoke_seam",
                walked=both_halves(half.neck, is_outwards=True),
                allowance_mm=rules.neck_allowance_mm,
            ),
            Edge(name="armhole_right", walked=half.raglan, allowance_mm=out_mm),
            Edge(name="side_right", walked=half.side, allowance_mm=out_mm),
            Edge(
                name="hem",
                walked=both_halves(half.hem, is_outwards=False),
                allowance_mm=rules.hem_allowance_mm,
            ),
            Edge(name="side_left", walked=mirrored(half.side), allowance_mm=out_mm),
            Edge(name="armhole_left", walked=mirrored(half.raglan), allowance_mm=out_mm),
        ),
        notches=tuple((edge, 0.5) for edge in ("yoke_seam", "side_right", "side_left")),
        is_symmetric=True,
    )


def back_outline(measures: YokeMeasures, panel: SmockedPanel, rules: DraftRules) -> PieceOutline:
    """One back below its yoke: flat for the width of the overlap, gathered from there to the armhole."""
    half = half_panel(
        neck_mm=measures.back_width_mm,
        neck_drop_mm=0.0,
        raglan=skirt_armhole(measures.back_armhole_mm, measures.armhole_width_mm, rules),
        length_mm=measures.back_skirt_mm,
        hem_curve_mm=_hem_curve_mm(measures, panel, rules),
    )
    return PieceOutline(
        name="back",
        count=2,
        edges=(*_yoke_edges(measures, half, rules), *_lower_edges(half, rules)),
        notches=(("yoke_seam", 0.5), ("side", 0.5)),
        is_pair=True,
    )


def _yoke_edges(measures: YokeMeasures, half: Panel, rules: DraftRules) -> tuple[Edge, ...]:
    """The upper edge of a back in two: where it stays flat and where it is gathered."""
    out_mm, flat_end = rules.neck_allowance_mm, (measures.overlap_mm, 0.0)
    return (
        Edge(name="yoke_seam_flat", walked=path(line(half.neck.start, flat_end)), allowance_mm=out_mm),
        Edge(name="yoke_seam", walked=path(line(flat_end, half.neck.end)), allowance_mm=out_mm),
    )


def _lower_edges(half: Panel, rules: DraftRules) -> tuple[Edge, ...]:
    out_mm = rules.seam_allowance_mm
    return (
        Edge(name="armhole", walked=half.raglan, allowance_mm=out_mm),
        Edge(name="side", walked=half.side, allowance_mm=out_mm),
        Edge(name="hem", walked=half.hem, allowance_mm=rules.hem_allowance_mm),
        Edge(
            name="centre_back",
            walked=path(line(half.hem.end, half.neck.start)),
            allowance_mm=rules.back_hem_mm,
        ),
    )


def _hem_curve_mm(measures: YokeMeasures, panel: SmockedPanel, rules: DraftRules) -> float:
    """Over how much of its half a hem curves up; alike in front and back, so that the side seams end alike."""
    panel_half_mm = panel.pleat_count * panel.take_up_mm / 2
    return rules.hem_curve_share * min(panel_half_mm, measures.back_width_mm)
