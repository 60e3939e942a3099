"""Every measure of a round-necked gown: from the size and the rules, or as the group sets it."""

from collections.abc import Mapping
from dataclasses import dataclass, fields

from gowngroup.planning.drafting.kinds import (
    GownMeasure,
    MeasureChoice,
    Purpose,
    counted,
    in_mm,
    refuse_bad_measures,
    refuse_bad_pleater,
)
from gowngroup.planning.drafting.refusals import CannotDraft
from gowngroup.planning.drafting.rules import DraftRules
from gowngroup.planning.drafting.strip import Yoke, fitting_pleat_count
from gowngroup.planning.sizes import SizeBand


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundNeckMeasures:
    """The finished measures of a round-necked gown that a group may set by hand, in mm or as counts."""

    neck_mm: float
    shoulder_girth_mm: float
    shoulder_depth_mm: float
    row_count: float
    first_row_mm: float
    pleat_count: float
    overlap_mm: float
    neck_drop_mm: float
    binding_mm: float
    length_mm: float
    front_length_mm: float
    back_length_mm: float
    armhole_depth_mm: float
    front_armhole_depth_mm: float
    back_armhole_depth_mm: float
    sleeve_armhole_depth_mm: float
    raglan_width_mm: float
    front_raglan_width_mm: float
    back_raglan_width_mm: float
    sleeve_raglan_width_mm: float
    sleeve_seam_mm: float


MEASURE_NAMES: tuple[str, ...] = tuple(field.name for field in fields(RoundNeckMeasures))

# Limits far wider than any gown needs: they keep a slip of the keyboard out.
ROUND_NECK_MEASURES: tuple[GownMeasure, ...] = (
    in_mm("neck_mm", "Finished neck, round", 40, 400),
    in_mm("shoulder_girth_mm", "Girth round the shoulders", 80, 900),
    in_mm("shoulder_depth_mm", "Depth of the shoulder girth below the neck", 10, 200),
    counted("row_count", "Smocked rows", unit="rows", low=1, high=12),
    in_mm("first_row_mm", "First smocked row below the neck seam", 2, 40),
    counted("pleat_count", "Pleats all round", unit="pleats", low=8, high=400),
    in_mm("overlap_mm", "Overlap of the backs", 0, 120),
    in_mm("neck_drop_mm", "Front neck lower than the back neck by", 0, 40),
    in_mm("binding_mm", "Length of the neck binding", 40, 600),
    in_mm("length_mm", "Length from the neck", 60, 1000),
    in_mm("front_length_mm", "Length of the front", 60, 1000),
    in_mm("back_length_mm", "Length of the backs", 60, 1000),
    in_mm("armhole_depth_mm", "Depth of the armholes", 20, 250),
    in_mm("front_armhole_depth_mm", "Depth of the front's armholes", 20, 250),
    in_mm("back_armhole_depth_mm", "Depth of the backs' armholes", 20, 250),
    in_mm("sleeve_armhole_depth_mm", "Depth of the sleeves' armholes", 20, 250),
    in_mm("raglan_width_mm", "Raglan seam runs outwards by", 5, 120),
    in_mm("front_raglan_width_mm", "Raglan seam of the front runs outwards by", 5, 120),
    in_mm("back_raglan_width_mm", "Raglan seam of the backs runs outwards by", 5, 120),
    in_mm("sleeve_raglan_width_mm", "Raglan seam of the sleeves runs outwards by", 5, 120),
    in_mm("sleeve_seam_mm", "Sleeve seam under the arm", 10, 400),
)


def round_neck_measures(
    *,
    size: SizeBand,
    rules: DraftRules,
    purpose: Purpose,
    take_up_mm: float,
    row_space_mm: float,
    overrides: Mapping[str, float],
) -> RoundNeckMeasures:
    """The measures of a size; each override replaces one and whatever follows from it. Raises CannotDraft."""
    refuse_bad_measures(ROUND_NECK_MEASURES, overrides)
    refuse_bad_pleater(take_up_mm=take_up_mm, row_space_mm=row_space_mm)
    chest_mm = chest_to_draft_for(size, rules, purpose)
    choose = MeasureChoice(overrides)
    is_small = chest_mm < rules.small_chest_mm
    neck_mm = choose("neck_mm", rules.needed_neck_mm(chest_mm))
    yoke = Yoke(
        neck_mm=neck_mm,
        shoulder_girth_mm=choose(
            "shoulder_girth_mm", rules.shoulder_girth_ratio * chest_mm + rules.shoulder_ease_mm
        ),
        shoulder_depth_mm=choose("shoulder_depth_mm", rules.shoulder_depth_ratio * chest_mm),
    )
    rows = choose("row_count", rules.small_row_count if is_small else rules.row_count)
    last_row_mm = choose("first_row_mm", rules.first_row_mm) + (round(rows) - 1) * row_space_mm
    choose(
        "pleat_count",
        fitting_pleat_count(
            neck_mm=neck_mm, last_row_mm=yoke.girth_mm(last_row_mm), take_up_mm=take_up_mm, rules=rules
        ),
    )
    choose("binding_mm", neck_mm + choose("overlap_mm", rules.overlap_mm))
    choose("neck_drop_mm", rules.neck_drop_mm)
    length_mm = choose("length_mm", rules.length_ratio(purpose) * size.body_length_mm)
    depth_mm = choose("armhole_depth_mm", rules.armhole_depth_ratio * chest_mm + rules.armhole_ease_mm)
    width_mm = choose("raglan_width_mm", rules.raglan_width_ratio * chest_mm)
    for part in ("front", "back"):
        choose(f"{part}_length_mm", length_mm)
    for part in ("front", "back", "sleeve"):
        choose(f"{part}_armhole_depth_mm", depth_mm)
        choose(f"{part}_raglan_width_mm", width_mm)
    choose("sleeve_seam_mm", rules.sleeve_length_ratio * rules.arm_length_ratio * size.body_length_mm)
    return RoundNeckMeasures(**choose.values)


def chest_to_draft_for(size: SizeBand, rules: DraftRules, purpose: Purpose) -> float:
    """The chest in mm of a size that suits a round neck; raises CannotDraft where it does not."""
    chest_mm = chest_with_armholes(size)
    if purpose == "worn" and size.lower_mass_g < rules.worn_from_mass_g:
        raise CannotDraft("too_small_to_wear", size=size.name, from_mass_g=rules.worn_from_mass_g)
    return chest_mm


def chest_with_armholes(size: SizeBand) -> float:
    """The chest in mm of a size made with sleeves; raises CannotDraft for the smallest and where it is unknown."""
    if not size.has_armholes:
        raise CannotDraft("no_armholes", size=size.name)
    if size.chest_mm is None:
        raise CannotDraft("no_chest", size=size.name)
    return size.chest_mm
