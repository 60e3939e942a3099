"""A round-necked raglan gown, smocked all round: front, two backs, two sleeves and the neck binding."""

from collections.abc import Mapping
from typing import Literal

from gowngroup.planning.drafting.binding import binding_outline
from gowngroup.planning.drafting.closures import ONE_FLAT_FASTENING, Closure, refuse_bad_closure
from gowngroup.planning.drafting.draft import Draft, EdgeRef, Seam
from gowngroup.planning.drafting.kinds import Purpose
from gowngroup.planning.drafting.measures import RoundNeckMeasures, round_neck_measures
from gowngroup.planning.drafting.panel import Panel, Raglan, both_halves, fullness_for_length, half_panel
from gowngroup.planning.drafting.piece import Edge, PieceOutline, cut_or_refuse
from gowngroup.planning.drafting.refusals import CannotDraft
from gowngroup.planning.drafting.rules import DraftRules
from gowngroup.planning.drafting.strip import SmockedStrip, Yoke, smocked_strip
from gowngroup.planning.geometry import line, mirrored, path
from gowngroup.planning.sizes import SizeBand

Part = Literal["front", "back", "sleeve"]


def draft_round_neck(
    *,
    size: SizeBand,
    rules: DraftRules,
    purpose: Purpose,
    pleater_take_up_mm: float,
    pleater_row_space_mm: float,
    closure: Closure = ONE_FLAT_FASTENING,
    overrides: Mapping[str, float] | None = None,
    is_binding_bias: bool = True,
) -> Draft:
    """The draft of a round-necked gown, all lengths in mm; ask `closing_faults` whether it can be sewn.

    The upper edges of front, sleeves and backs together are the flat strip that is pleated to the neck, so every
    neck corner is square and each raglan seam runs along the grain through the smocked rows before it curves out.
    `overrides` sets measures by name (`MEASURE_NAMES`) and whatever follows from them. Source: the group's own
    block; each figure carries its own source. Raises CannotDraft.
    """
    measures = round_neck_measures(
        size=size,
        rules=rules,
        purpose=purpose,
        take_up_mm=pleater_take_up_mm,
        row_space_mm=pleater_row_space_mm,
        overrides=overrides or {},
    )
    refuse_bad_closure(closure, size=size, rules=rules, gown_length_mm=measures.length_mm)
    strip = _strip(measures, rules, pleater_take_up_mm, pleater_row_space_mm)
    _refuse_bad_lengths(measures, strip, rules)
    pieces = _pieces(measures, strip, rules, is_binding_bias)
    return Draft(
        kind="round-neck",
        size=size,
        purpose=purpose,
        rules=rules,
        measures=measures,
        strip=strip,
        closure=closure,
        pieces=tuple(cut_or_refuse(outline) for outline in pieces),
        seams=_seams(strip),
        opening=(EdgeRef(piece="back", edge="centre_back"),),
    )


def _strip(
    measures: RoundNeckMeasures, rules: DraftRules, take_up_mm: float, row_space_mm: float
) -> SmockedStrip:
    yoke = Yoke(
        neck_mm=measures.neck_mm,
        shoulder_girth_mm=measures.shoulder_girth_mm,
        shoulder_depth_mm=measures.shoulder_depth_mm,
    )
    depths_mm = tuple(measures.first_row_mm + row * row_space_mm for row in range(round(measures.row_count)))
    return smocked_strip(
        yoke=yoke,
        row_depths_mm=depths_mm,
        pleat_count=round(measures.pleat_count),
        take_up_mm=take_up_mm,
        row_space_mm=row_space_mm,
        rules=rules,
    )


def _refuse_bad_lengths(measures: RoundNeckMeasures, strip: SmockedStrip, rules: DraftRules) -> None:
    if measures.neck_drop_mm >= measures.first_row_mm:
        raise CannotDraft(
            "neck_drop_meets_first_row",
            neck_drop_mm=measures.neck_drop_mm,
            first_row_mm=measures.first_row_mm,
        )
    for part, length_mm in _lengths_mm(measures):
        depth_mm = _depth_mm(measures, part)
        curve_mm = depth_mm - strip.rows[-1].depth_mm
        if curve_mm < rules.least_raglan_curve_mm:
            raise CannotDraft(
                "smocking_reaches_underarm",
                piece=part,
                left_mm=curve_mm,
                needed_mm=rules.least_raglan_curve_mm,
            )
        if length_mm - depth_mm < rules.least_side_seam_mm:
            raise CannotDraft(
                "too_short",
                piece=part,
                left_mm=length_mm - depth_mm,
                needed_mm=rules.least_side_seam_mm,
            )


def _lengths_mm(measures: RoundNeckMeasures) -> tuple[tuple[Part, float], ...]:
    return (
        ("front", measures.front_length_mm),
        ("back", measures.back_length_mm),
        ("sleeve", measures.sleeve_armhole_depth_mm + measures.sleeve_seam_mm),
    )


def _depth_mm(measures: RoundNeckMeasures, part: Part) -> float:
    return float(getattr(measures, f"{part}_armhole_depth_mm"))


def _pieces(
    measures: RoundNeckMeasures, strip: SmockedStrip, rules: DraftRules, is_binding_bias: bool
) -> tuple[PieceOutline, ...]:
    front_neck_mm = strip.front_pleat_count * strip.take_up_mm / 2
    back_neck_mm = strip.back_pleat_count * strip.take_up_mm + measures.overlap_mm / 2
    sleeve_neck_mm = strip.sleeve_pleat_count * strip.take_up_mm / 2
    body_hem_curve_mm = rules.hem_curve_share * min(front_neck_mm, back_neck_mm)
    straight_mm = strip.rows[-1].depth_mm
    front = half_panel(
        neck_mm=front_neck_mm,
        neck_drop_mm=measures.neck_drop_mm,
        raglan=_body_raglan(measures, rules, "front", straight_mm),
        length_mm=measures.front_length_mm,
        hem_curve_mm=body_hem_curve_mm,
    )
    back = half_panel(
        neck_mm=back_neck_mm,
        neck_drop_mm=0.0,
        raglan=_body_raglan(measures, rules, "back", straight_mm),
        length_mm=measures.back_length_mm,
        hem_curve_mm=body_hem_curve_mm,
    )
    sleeve = half_panel(
        neck_mm=sleeve_neck_mm,
        neck_drop_mm=0.0,
        raglan=_sleeve_raglan(measures, rules, straight_mm),
        length_mm=measures.sleeve_armhole_depth_mm + measures.sleeve_seam_mm,
        hem_curve_mm=rules.hem_curve_share * sleeve_neck_mm,
    )
    return (
        _whole_piece("front", front, rules, side="side", hem_mm=rules.hem_allowance_mm),
        _back_piece(back, measures, strip, rules),
        _whole_piece("sleeve", sleeve, rules, side="underarm", hem_mm=rules.sleeve_hem_allowance_mm),
        binding_outline(measures.binding_mm, rules, is_bias=is_binding_bias),
    )


def _body_raglan(measures: RoundNeckMeasures, rules: DraftRules, part: Part, straight_mm: float) -> Raglan:
    return Raglan(
        straight_mm=straight_mm,
        depth_mm=_depth_mm(measures, part),
        width_mm=float(getattr(measures, f"{part}_raglan_width_mm")),
        fullness=rules.raglan_fullness,
        side_slope=rules.side_flare,
    )


def _sleeve_raglan(measures: RoundNeckMeasures, rules: DraftRules, straight_mm: float) -> Raglan:
    """The sleeve's raglan seam, its curve fitted to the length of the body's common raglan seam."""

    def raglan(fullness: float, slope: float, depth_mm: float, width_mm: float) -> Raglan:
        return Raglan(
            straight_mm=straight_mm, depth_mm=depth_mm, width_mm=width_mm, fullness=fullness, side_slope=slope
        )

    depth_mm, width_mm = measures.armhole_depth_mm, measures.raglan_width_mm
    body = raglan(rules.raglan_fullness, rules.side_flare, depth_mm, width_mm).walked(0.0)
    fullness = fullness_for_length(
        lambda tried: raglan(tried, -rules.sleeve_taper, depth_mm, width_mm).walked(0.0), partner=body
    )
    return raglan(
        fullness, -rules.sleeve_taper, measures.sleeve_armhole_depth_mm, measures.sleeve_raglan_width_mm
    )


def _whole_piece(name: Part, half: Panel, rules: DraftRules, *, side: str, hem_mm: float) -> PieceOutline:
    """A front or sleeve: the right half and its mirror image round the centre."""
    seam_mm = rules.seam_allowance_mm
    return PieceOutline(
        name=name,
        count=1 if name == "front" else 2,
        edges=(
            Edge(
                name="neck",
                walked=both_halves(half.neck, is_outwards=True),
                allowance_mm=rules.neck_allowance_mm,
            ),
            Edge(name="raglan_right", walked=half.raglan, allowance_mm=seam_mm),
            Edge(name=f"{side}_right", walked=half.side, allowance_mm=seam_mm),
            Edge(name="hem", walked=both_halves(half.hem, is_outwards=False), allowance_mm=hem_mm),
            Edge(name=f"{side}_left", walked=mirrored(half.side), allowance_mm=seam_mm),
            Edge(name="raglan_left", walked=mirrored(half.raglan), allowance_mm=seam_mm),
        ),
        notches=tuple(
            (edge, 0.5) for edge in ("neck", "raglan_right", f"{side}_right", f"{side}_left", "raglan_left")
        ),
        is_symmetric=True,
    )


def _back_piece(
    half: Panel, measures: RoundNeckMeasures, strip: SmockedStrip, rules: DraftRules
) -> PieceOutline:
    """One back: its centre edge lies half the overlap beyond the centre back, hemmed from neck to hem."""
    opening_hem_mm = max(
        rules.back_hem_mm, strip.spare_pleat_count * strip.take_up_mm - measures.overlap_mm / 2
    )
    seam_mm = rules.seam_allowance_mm
    return PieceOutline(
        name="back",
        count=2,
        edges=(
            Edge(name="neck", walked=half.neck, allowance_mm=rules.neck_allowance_mm),
            Edge(name="raglan", walked=half.raglan, allowance_mm=seam_mm),
            Edge(name="side", walked=half.side, allowance_mm=seam_mm),
            Edge(name="hem", walked=half.hem, allowance_mm=rules.hem_allowance_mm),
            Edge(
                name="centre_back",
                walked=path(line(half.hem.end, half.neck.start)),
                allowance_mm=opening_hem_mm,
            ),
        ),
        notches=(("raglan", 0.5), ("side", 0.5)),
        is_pair=True,
    )


def _seams(strip: SmockedStrip) -> tuple[Seam, ...]:
    """Every seam; the right-hand back is the one drawn, the left-hand one its mirror image."""
    taken_up_mm = strip.pleat_count * (strip.take_up_mm - strip.neck.pitch_mm)
    sleeve_right, sleeve_left = (
        EdgeRef(piece="sleeve", edge="raglan_right"),
        _upwards("sleeve", "raglan_left"),
    )
    back_raglan, back_side = EdgeRef(piece="back", edge="raglan"), EdgeRef(piece="back", edge="side")
    neck = tuple(EdgeRef(piece=name, edge="neck") for name in ("back", "sleeve", "front", "sleeve", "back"))
    return (
        _seam("raglan_front_right", EdgeRef(piece="front", edge="raglan_right"), sleeve_left),
        _seam("raglan_front_left", _upwards("front", "raglan_left"), sleeve_right),
        _seam("raglan_back_right", back_raglan, sleeve_right),
        _seam("raglan_back_left", back_raglan, sleeve_left),
        _seam("side_right", EdgeRef(piece="front", edge="side_right"), back_side),
        _seam("side_left", _upwards("front", "side_left"), back_side),
        _seam(
            "sleeve_underarm",
            EdgeRef(piece="sleeve", edge="underarm_right"),
            _upwards("sleeve", "underarm_left"),
        ),
        Seam(
            name="neck_binding",
            left=neck,
            right=(EdgeRef(piece="neck binding", edge="neck"),),
            taken_up_mm=taken_up_mm,
        ),
    )


def _seam(name: str, left: EdgeRef, right: EdgeRef) -> Seam:
    return Seam(name=name, left=(left,), right=(right,))


def _upwards(piece: str, edge: str) -> EdgeRef:
    """An edge drawn from its lower to its upper end, to be walked from the upper one as the others are."""
    return EdgeRef(piece=piece, edge=edge, is_backwards=True)
