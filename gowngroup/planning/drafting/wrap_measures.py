"""Every measure of a wrap: from the size and the rules, or as the group sets it."""

from collections.abc import Mapping
from dataclasses import dataclass

from gowngroup.planning.drafting.kinds import (
    GownMeasure,
    MeasureChoice,
    Purpose,
    in_mm,
    refuse_bad_measures,
)
from gowngroup.planning.drafting.refusals import CannotDraft
from gowngroup.planning.drafting.rules import DraftRules
from gowngroup.planning.sizes import SizeBand


@dataclass(frozen=True, slots=True, kw_only=True)
class WrapMeasures:
    """The finished measures of a wrap, laid out flat, that a group may set by hand, in mm."""

    neck_mm: float
    neck_drop_mm: float
    overlap_mm: float
    width_mm: float
    length_mm: float
    shoulder_drop_mm: float
    upper_corner_mm: float
    lower_corner_mm: float
    lining_width_mm: float
    lining_length_mm: float


WRAP_MEASURES: tuple[GownMeasure, ...] = (
    in_mm("neck_mm", "Neck edge, behind", 20, 250),
    in_mm("neck_drop_mm", "Neck cut down by", 0, 40),
    in_mm("overlap_mm", "Sides lie over one another by", 0, 500),
    in_mm("width_mm", "Width laid out flat", 60, 1200),
    in_mm("length_mm", "Length from the neck", 60, 900),
    in_mm("shoulder_drop_mm", "Upper edges slope down by", 0, 200),
    in_mm("upper_corner_mm", "Upper corners rounded over", 2, 120),
    in_mm("lower_corner_mm", "Lower corners rounded over", 2, 300),
    in_mm("lining_width_mm", "Width of the lining", 60, 1200),
    in_mm("lining_length_mm", "Length of the lining", 60, 900),
)


def wrap_measures(
    *, size: SizeBand, rules: DraftRules, purpose: Purpose, overrides: Mapping[str, float]
) -> WrapMeasures:
    """The measures of a size; each override replaces one and whatever follows from it. Raises CannotDraft."""
    refuse_bad_measures(WRAP_MEASURES, overrides)
    if size.lower_mass_g >= rules.wrap_up_to_mass_g:
        raise CannotDraft("too_big_for_wrap", size=size.name, up_to_mass_g=rules.wrap_up_to_mass_g)
    chest_mm = rules.chest_or_estimate_mm(size)
    around_mm = rules.needed_chest_mm(chest_mm)
    choose = MeasureChoice(overrides)
    neck_mm = choose("neck_mm", rules.wrap_neck_share * rules.needed_neck_mm(chest_mm))
    choose("neck_drop_mm", rules.wrap_neck_drop_ratio * neck_mm)
    overlap_mm = choose("overlap_mm", max(rules.overlap_mm, rules.wrap_overlap_ratio * around_mm))
    width_mm = choose("width_mm", around_mm + overlap_mm)
    length_mm = choose("length_mm", rules.length_ratio(purpose) * size.body_length_mm)
    choose("shoulder_drop_mm", rules.wrap_shoulder_slope * (width_mm - neck_mm) / 2)
    choose("upper_corner_mm", rules.wrap_upper_corner_ratio * width_mm)
    choose("lower_corner_mm", rules.wrap_lower_corner_ratio * width_mm)
    choose("lining_width_mm", width_mm)
    choose("lining_length_mm", length_mm)
    return WrapMeasures(**choose.values)
