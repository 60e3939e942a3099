"""A yoke gown with a smocked front panel: yokes, panel, gathered backs, set-in sleeves and the neck binding."""

from collections.abc import Mapping

from gowngroup.planning.drafting.binding import binding_outline
from gowngroup.planning.drafting.closures import ONE_FLAT_FASTENING, Closure, refuse_bad_closure
from gowngroup.planning.drafting.draft import Draft, EdgeRef, Seam
from gowngroup.planning.drafting.kinds import Purpose
from gowngroup.planning.drafting.piece import PieceOutline, cut_or_refuse
from gowngroup.planning.drafting.pleated_panel import SmockedPanel, smocked_panel
from gowngroup.planning.drafting.refusals import CannotDraft
from gowngroup.planning.drafting.rules import DraftRules
from gowngroup.planning.drafting.set_in_sleeve import armhole_mm, sleeve_outline
from gowngroup.planning.drafting.skirts import back_outline, panel_outline
from gowngroup.planning.drafting.yoke_measures import YokeMeasures, YokeOrder, yoke_measures
from gowngroup.planning.drafting.yokes import back_yoke_outline, front_yoke_outline
from gowngroup.planning.sizes import SizeBand
from gowngroup.planning.smocking import Chart


def draft_yoke_gown(
    *,
    size: SizeBand,
    rules: DraftRules,
    purpose: Purpose,
    pleater_take_up_mm: float,
    pleater_row_space_mm: float,
    closure: Closure = ONE_FLAT_FASTENING,
    overrides: Mapping[str, float] | None = None,
    chart: Chart | None = None,
    is_yoke_lined: bool = True,
    is_binding_bias: bool = True,
) -> Draft:
    """The draft of a yoke gown, all lengths in mm; ask `closing_faults` whether it can be sewn.

    The front panel is pleated right across and drawn in to the width of the front yoke; the backs are gathered to
    the back yokes, but lie flat for the width of the overlap, so that no thick seam lies on the spine. The sleeve
    cap is drawn as long as the armhole. `overrides` sets measures by name (`measures_of("yoke")`) and whatever
    follows from them; `chart` gives the rows, and the pleats where none of the usual numbers fits. Source: the
    group's own block; each figure carries its own source. Raises CannotDraft.
    """
    order = YokeOrder(
        size=size,
        rules=rules,
        purpose=purpose,
        take_up_mm=pleater_take_up_mm,
        row_space_mm=pleater_row_space_mm,
        chart=chart,
    )
    measures = yoke_measures(order, overrides or {})
    refuse_bad_closure(closure, size=size, rules=rules, gown_length_mm=measures.length_mm)
    panel = _panel(measures, order)
    _refuse_bad_lengths(measures, panel, rules)
    outlines = (
        *_outlines(measures, panel, rules, yoke_layers=2 if is_yoke_lined else 1),
        binding_outline(measures.binding_mm, rules, is_bias=is_binding_bias),
    )
    return Draft(
        kind="yoke",
        size=size,
        purpose=purpose,
        rules=rules,
        measures=measures,
        panel=panel,
        closure=closure,
        pieces=tuple(cut_or_refuse(outline) for outline in outlines),
        seams=_seams(panel, _gathered_in_mm(measures)),
        opening=(
            EdgeRef(piece="back yoke", edge="centre_back"),
            EdgeRef(piece="back", edge="centre_back"),
        ),
    )


def _panel(measures: YokeMeasures, order: YokeOrder) -> SmockedPanel:
    rows = range(round(measures.row_count))
    return smocked_panel(
        finished_mm=measures.panel_mm,
        pleat_count=round(measures.pleat_count),
        row_depths_mm=tuple(measures.first_row_mm + row * order.row_space_mm for row in rows),
        take_up_mm=order.take_up_mm,
        row_space_mm=order.row_space_mm,
        rules=order.rules,
    )


def _refuse_bad_lengths(measures: YokeMeasures, panel: SmockedPanel, rules: DraftRules) -> None:
    last_row_mm, needed_mm = panel.rows[-1].depth_mm, rules.least_side_seam_mm
    if measures.front_skirt_mm - last_row_mm < needed_mm:
        raise CannotDraft(
            "smocking_runs_off",
            left_mm=measures.front_skirt_mm - last_row_mm,
            needed_mm=needed_mm,
        )
    for part, left_mm in (
        ("front", measures.front_skirt_mm - measures.front_armhole_mm),
        ("back", measures.back_skirt_mm - measures.back_armhole_mm),
        ("sleeve", measures.sleeve_seam_mm),
    ):
        if left_mm < needed_mm:
            raise CannotDraft("too_short", piece=part, left_mm=left_mm, needed_mm=needed_mm)


def _outlines(
    measures: YokeMeasures, panel: SmockedPanel, rules: DraftRules, *, yoke_layers: int
) -> tuple[PieceOutline, ...]:
    yoke_mm = measures.yoke_depth_mm - measures.shoulder_drop_mm
    along_mm = armhole_mm(
        yoke_mm=yoke_mm,
        depth_mm=measures.armhole_depth_mm - measures.yoke_depth_mm,
        width_mm=measures.armhole_width_mm,
        rules=rules,
    )
    return (
        panel_outline(measures, panel, rules),
        back_outline(measures, panel, rules),
        front_yoke_outline(measures, rules, count=yoke_layers),
        back_yoke_outline(measures, rules, count=2 * yoke_layers),
        sleeve_outline(
            width_mm=measures.sleeve_width_mm,
            cap_height_mm=measures.sleeve_cap_height_mm,
            seam_mm=measures.sleeve_seam_mm,
            notch_share=yoke_mm / 2 / along_mm,
            rules=rules,
        ),
    )


def _gathered_in_mm(measures: YokeMeasures) -> float:
    """Cloth taken up where a back is gathered to its yoke, beyond the flat part at the opening."""
    return measures.back_width_mm - measures.overlap_mm - (measures.back_yoke_mm - measures.overlap_mm) / 2


def _seams(panel: SmockedPanel, gathered_in_mm: float) -> tuple[Seam, ...]:
    """Every seam; the right-hand back and its yoke are the ones drawn, the left-hand ones their mirror images."""
    neck = tuple(EdgeRef(piece=name, edge="neck") for name in ("back yoke", "front yoke", "back yoke"))
    side, shoulder = EdgeRef(piece="back", edge="side"), EdgeRef(piece="back yoke", edge="shoulder")
    return (
        Seam(
            name="yoke_front",
            left=(EdgeRef(piece="front panel", edge="yoke_seam"),),
            right=(EdgeRef(piece="front yoke", edge="yoke_seam", is_backwards=True),),
            taken_up_mm=panel.taken_up_mm,
        ),
        _seam("yoke_back_flat", _to("back", "yoke_seam_flat"), _from("back yoke", "yoke_seam_flat")),
        Seam(
            name="yoke_back",
            left=(_to("back", "yoke_seam"),),
            right=(_from("back yoke", "yoke_seam"),),
            taken_up_mm=gathered_in_mm,
        ),
        _seam("shoulder_right", _to("front yoke", "shoulder_right"), shoulder),
        _seam("shoulder_left", _from("front yoke", "shoulder_left"), shoulder),
        *_armhole_seams(),
        _seam("side_right", _to("front panel", "side_right"), side),
        _seam("side_left", _from("front panel", "side_left"), side),
        _seam("sleeve_underarm", _to("sleeve", "underarm_right"), _from("sleeve", "underarm_left")),
        Seam(name="neck_binding", left=neck, right=(_to("neck binding", "neck"),)),
    )


def _armhole_seams() -> tuple[Seam, ...]:
    """Each half of an armhole, walked from the shoulder down, against its half of the sleeve cap."""
    back = (_to("back yoke", "armhole"), _to("back", "armhole"))
    right = (_to("front yoke", "armhole_right"), _to("front panel", "armhole_right"))
    left = (_from("front yoke", "armhole_left"), _from("front panel", "armhole_left"))
    cap_right, cap_left = (_to("sleeve", "cap_right"),), (_from("sleeve", "cap_left"),)
    return (
        Seam(name="armhole_front_right", left=right, right=cap_left),
        Seam(name="armhole_front_left", left=left, right=cap_right),
        Seam(name="armhole_back_right", left=back, right=cap_right),
        Seam(name="armhole_back_left", left=back, right=cap_left),
    )


def _seam(name: str, left: EdgeRef, right: EdgeRef) -> Seam:
    return Seam(name=name, left=(left,), right=(right,))


def _to(piece: str, edge: str) -> EdgeRef:
    return EdgeRef(piece=piece, edge=edge)


def _from(piece: str, edge: str) -> EdgeRef:
    """An edge drawn from the far end, to be walked from the end its partner starts at."""
    return EdgeRef(piece=piece, edge=edge, is_backwards=True)
