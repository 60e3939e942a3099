"""Every measure of a yoke gown: from the size and the rules, or as the group sets it."""

from collections.abc import Mapping
from dataclasses import dataclass

from gowngroup.planning.drafting.kinds import (
    GownMeasure,
    MeasureChoice,
    Purpose,
    counted,
    in_mm,
    refuse_bad_measures,
    refuse_bad_pleater,
)
from gowngroup.planning.drafting.measures import chest_with_armholes
from gowngroup.planning.drafting.necklines import NeckHollow, half_neck_width_mm
from gowngroup.planning.drafting.pleated_panel import panel_pleat_count
from gowngroup.planning.drafting.refusals import CannotDraft, RefusalCode
from gowngroup.planning.drafting.rules import DraftRules
from gowngroup.planning.drafting.set_in_sleeve import armhole_mm, cap_width_mm
from gowngroup.planning.sizes import SizeBand
from gowngroup.planning.smocking import Chart


@dataclass(frozen=True, slots=True, kw_only=True)
class YokeMeasures:
    """The finished measures of a yoke gown that a group may set by hand, in mm or as counts.

    Depths are below the shoulder's end at the neck; a skirt is what hangs below the yoke, and its armholes what
    of them lies below the yoke.
    """

    neck_mm: float
    neck_width_mm: float
    front_neck_drop_mm: float
    back_neck_drop_mm: float
    overlap_mm: float
    binding_mm: float
    panel_mm: float
    pleat_count: float
    row_count: float
    first_row_mm: float
    yoke_depth_mm: float
    shoulder_drop_mm: float
    front_yoke_mm: float
    back_yoke_mm: float
    length_mm: float
    front_skirt_mm: float
    back_skirt_mm: float
    armhole_depth_mm: float
    armhole_width_mm: float
    front_armhole_mm: float
    back_armhole_mm: float
    back_width_mm: float
    sleeve_cap_height_mm: float
    sleeve_width_mm: float
    sleeve_seam_mm: float


YOKE_MEASURES: tuple[GownMeasure, ...] = (
    in_mm("neck_mm", "Finished neck, round", 40, 400),
    in_mm("neck_width_mm", "Neck, from shoulder to shoulder", 15, 200),
    in_mm("front_neck_drop_mm", "Front neck lower than the shoulder by", 1, 120),
    in_mm("back_neck_drop_mm", "Back neck lower than the shoulder by", 1, 60),
    in_mm("overlap_mm", "Overlap of the backs", 5, 120),
    in_mm("binding_mm", "Length of the neck binding", 40, 600),
    in_mm("panel_mm", "Smocked panel, finished width", 40, 400),
    counted("pleat_count", "Pleats in the panel", unit="pleats", low=8, high=300),
    counted("row_count", "Smocked rows", unit="rows", low=1, high=20),
    in_mm("first_row_mm", "First smocked row below the yoke seam", 2, 40),
    in_mm("yoke_depth_mm", "Depth of the yoke", 15, 200),
    in_mm("shoulder_drop_mm", "Shoulder slopes down by", 0, 60),
    in_mm("front_yoke_mm", "Width of the front yoke", 40, 400),
    in_mm("back_yoke_mm", "Width of the back yokes, closed", 40, 400),
    in_mm("length_mm", "Length from the neck", 60, 1000),
    in_mm("front_skirt_mm", "Length of the front below the yoke", 40, 900),
    in_mm("back_skirt_mm", "Length of the backs below the yoke", 40, 900),
    in_mm("armhole_depth_mm", "Depth of the armholes", 20, 250),
    in_mm("armhole_width_mm", "Armholes run outwards below the yoke by", 2, 80),
    in_mm("front_armhole_mm", "Armhole of the front below the yoke, depth", 5, 150),
    in_mm("back_armhole_mm", "Armhole of the backs below the yoke, depth", 5, 150),
    in_mm("back_width_mm", "Width of one back before it is gathered", 40, 800),
    in_mm("sleeve_cap_height_mm", "Height of the sleeve cap", 2, 120),
    in_mm("sleeve_width_mm", "Sleeve, round at the underarm", 40, 400),
    in_mm("sleeve_seam_mm", "Sleeve seam under the arm", 10, 400),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class YokeOrder:
    """The size, rules, purpose, pleater and chart a yoke gown is measured for."""

    size: SizeBand
    rules: DraftRules
    purpose: Purpose
    take_up_mm: float
    row_space_mm: float
    chart: Chart | None


def yoke_measures(order: YokeOrder, overrides: Mapping[str, float]) -> YokeMeasures:
    """The measures of a size; each override replaces one and whatever follows from it. Raises CannotDraft."""
    refuse_bad_measures(YOKE_MEASURES, overrides)
    refuse_bad_pleater(take_up_mm=order.take_up_mm, row_space_mm=order.row_space_mm)
    chest_mm = chest_with_armholes(order.size)
    choose = MeasureChoice(overrides)
    _choose_panel(choose, order, chest_mm)
    _choose_neck(choose, order.rules, chest_mm)
    _choose_body(choose, order, chest_mm)
    _refuse_bad_shape(choose.values, order.rules)
    _refuse_bad_gathers(choose.values, order.rules)
    _choose_sleeve(choose, order)
    return YokeMeasures(**choose.values)


def _refuse_bad_shape(values: Mapping[str, float], rules: DraftRules) -> None:
    """The yoke must reach below neck and shoulder, the shoulders need a seam, and armholes end below the yoke."""
    least_mm = rules.least_shoulder_mm
    lowest_mm = max(values["front_neck_drop_mm"], values["back_neck_drop_mm"], values["shoulder_drop_mm"])
    narrower_mm = min(values["front_yoke_mm"], values["back_yoke_mm"])
    checks: tuple[tuple[RefusalCode, float, float], ...] = (
        ("yoke_too_shallow", values["yoke_depth_mm"] - lowest_mm, least_mm),
        ("shoulder_too_narrow", (narrower_mm - values["neck_width_mm"]) / 2, least_mm),
        ("armhole_above_yoke", values["armhole_depth_mm"] - values["yoke_depth_mm"], least_mm / 2),
        ("overlap_too_wide", _gathered_mm(values), least_mm),
    )
    for code, left_mm, needed_mm in checks:
        if left_mm < needed_mm:
            raise CannotDraft(code, left_mm=left_mm, needed_mm=needed_mm)


def _refuse_bad_gathers(values: Mapping[str, float], rules: DraftRules) -> None:
    """A back is at least as wide as its yoke, and no fuller than cloth can be gathered."""
    ratio = (values["back_width_mm"] - values["overlap_mm"]) / _gathered_mm(values)
    if not 1 <= ratio <= rules.panel_ratio_most:
        raise CannotDraft("gathers_ratio", cloth_ratio=ratio, least=1.0, most=rules.panel_ratio_most)


def _gathered_mm(values: Mapping[str, float]) -> float:
    """Finished width of each back yoke that takes gathers, the flat part at the opening left out."""
    return (values["back_yoke_mm"] - values["overlap_mm"]) / 2


def _choose_panel(choose: MeasureChoice, order: YokeOrder, chest_mm: float) -> None:
    rules = order.rules
    panel_mm = choose("panel_mm", rules.needed_chest_mm(chest_mm) / 2 - rules.panel_narrower_ratio * chest_mm)
    choose.worked_out(
        "pleat_count",
        lambda: panel_pleat_count(
            finished_mm=panel_mm, take_up_mm=order.take_up_mm, rules=rules, chart=order.chart
        ),
    )
    usual_rows = rules.small_row_count if chest_mm < rules.small_chest_mm else rules.row_count
    choose("row_count", order.chart.row_count if order.chart else usual_rows)
    choose("first_row_mm", rules.first_row_mm)
    choose("front_yoke_mm", panel_mm)
    choose("back_yoke_mm", panel_mm)


def _choose_neck(choose: MeasureChoice, rules: DraftRules, chest_mm: float) -> None:
    neck_mm = choose("neck_mm", rules.needed_neck_mm(chest_mm))
    front = NeckHollow(
        own_drop_mm=choose.overrides.get("front_neck_drop_mm"),
        drop_ratio=rules.front_neck_drop_ratio,
        corner_share=1.0,
    )
    back = NeckHollow(
        own_drop_mm=choose.overrides.get("back_neck_drop_mm"),
        drop_ratio=rules.back_neck_drop_ratio,
        corner_share=rules.back_neck_corner_share,
    )
    half_mm = half_neck_width_mm(neck_mm, (front, back))
    choose("neck_width_mm", 2 * half_mm)
    choose("front_neck_drop_mm", front.drop_mm(half_mm))
    choose("back_neck_drop_mm", back.drop_mm(half_mm))
    choose("binding_mm", neck_mm + choose("overlap_mm", rules.overlap_mm))


def _choose_body(choose: MeasureChoice, order: YokeOrder, chest_mm: float) -> None:
    rules = order.rules
    yoke_mm = choose("yoke_depth_mm", rules.yoke_depth_ratio * chest_mm)
    choose("shoulder_drop_mm", rules.shoulder_drop_ratio * chest_mm)
    depth_mm = choose("armhole_depth_mm", rules.armhole_depth_ratio * chest_mm + rules.armhole_ease_mm)
    spare_mm = round(rules.spare_pleats) * order.take_up_mm - rules.seam_allowance_mm
    choose("armhole_width_mm", max(rules.panel_narrower_ratio * chest_mm / 2, spare_mm))
    length_mm = choose("length_mm", rules.length_ratio(order.purpose) * order.size.body_length_mm)
    skirt_mm = length_mm - (yoke_mm - choose.values["back_neck_drop_mm"])
    for part in ("front", "back"):
        choose(f"{part}_skirt_mm", skirt_mm)
        choose(f"{part}_armhole_mm", depth_mm - yoke_mm)
    gathered_mm = rules.back_gather_ratio * _gathered_mm(choose.values)
    choose("back_width_mm", choose.values["overlap_mm"] + gathered_mm)


def _choose_sleeve(choose: MeasureChoice, order: YokeOrder) -> None:
    rules, values = order.rules, choose.values
    height_mm = choose("sleeve_cap_height_mm", rules.sleeve_cap_ratio * values["armhole_depth_mm"])
    along_mm = armhole_mm(
        yoke_mm=values["yoke_depth_mm"] - values["shoulder_drop_mm"],
        depth_mm=values["armhole_depth_mm"] - values["yoke_depth_mm"],
        width_mm=values["armhole_width_mm"],
        rules=rules,
    )
    choose.worked_out("sleeve_width_mm", lambda: 2 * cap_width_mm(along_mm, height_mm))
    choose("sleeve_seam_mm", rules.sleeve_length_ratio * rules.arm_length_ratio * order.size.body_length_mm)
