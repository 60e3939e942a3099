"""Every measure of a round-necked gown: from the size and the rules, or as the group sets it."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, fields
from typing import Literal

from gowngroup.planning.drafting.refusals import CannotDraft
from gowngroup.planning.drafting.rules import DraftRules
from gowngroup.planning.drafting.strip import Yoke, fitting_pleat_count
from gowngroup.planning.sizes import SizeBand

Purpose = Literal["worn", "memorial"]


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
_LONGEST_MM = (
    5000  # no measure or count of a gown comes near it; keeps a slip of the keyboard from drawing for minutes
)
_MAY_BE_ZERO = frozenset({"overlap_mm", "neck_drop_mm"})


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
    _refuse_bad_numbers(overrides, take_up_mm=take_up_mm, row_space_mm=row_space_mm)
    chest_mm = chest_to_draft_for(size, rules, purpose)
    values: dict[str, float] = {}

    def choose(name: str, usual: float) -> float:
        return values.setdefault(name, overrides.get(name, usual))

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
    length_ratio = rules.worn_length_ratio if purpose == "worn" else rules.memorial_length_ratio
    length_mm = choose("length_mm", length_ratio * size.body_length_mm)
    depth_mm = choose("armhole_depth_mm", rules.armhole_depth_ratio * chest_mm + rules.armhole_ease_mm)
    width_mm = choose("raglan_width_mm", rules.raglan_width_ratio * chest_mm)
    for part in ("front", "back"):
        choose(f"{part}_length_mm", length_mm)
    for part in ("front", "back", "sleeve"):
        choose(f"{part}_armhole_depth_mm", depth_mm)
        choose(f"{part}_raglan_width_mm", width_mm)
    choose("sleeve_seam_mm", rules.sleeve_length_ratio * rules.arm_length_ratio * size.body_length_mm)
    return RoundNeckMeasures(**values)


def chest_to_draft_for(size: SizeBand, rules: DraftRules, purpose: Purpose) -> float:
    """The chest in mm of a size that suits a round neck; raises CannotDraft where it does not."""
    if not size.has_armholes:
        raise CannotDraft(
            "no_armholes", f"The size {size.name} is made as a wrap without armholes.", {"size": size.name}
        )
    if size.chest_mm is None:
        raise CannotDraft("no_chest", f"The chest of the size {size.name} is not known.", {"size": size.name})
    if purpose == "worn" and size.lower_mass_g < rules.worn_from_mass_g:
        raise CannotDraft(
            "too_small_to_wear",
            f"Round-necked gowns to wear start at {rules.worn_from_mass_g:g} g; below that choose a yoke or a wrap.",
            {"size": size.name, "from_mass_g": rules.worn_from_mass_g},
        )
    return size.chest_mm


def _refuse_bad_numbers(overrides: Mapping[str, float], **pleater: float) -> None:
    for name, value in {**overrides, **pleater}.items():
        if name in overrides and name not in MEASURE_NAMES:
            raise CannotDraft("unknown_measure", f"There is no measure called {name}.", {"measure": name})
        is_usable = math.isfinite(value) and (value > 0 or (value == 0 and name in _MAY_BE_ZERO))
        if not is_usable or value > _LONGEST_MM or (name.endswith("_count") and value != round(value)):
            raise CannotDraft(
                "unusable_number", f"{name} cannot be {value:g}.", {"measure": name, "value": value}
            )
