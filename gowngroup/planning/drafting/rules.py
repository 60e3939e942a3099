"""The figures a draft is made by."""

from collections.abc import Mapping
from dataclasses import dataclass, fields

from gowngroup.planning.drafting.kinds import Purpose
from gowngroup.planning.sizes import SizeBand

_PREFIX = "draft_"


@dataclass(frozen=True, slots=True, kw_only=True)
class DraftRules:
    """Ratios, ease and allowances of the block; each field is the figure of the same key after `draft_`."""

    neck_ratio: float
    upper_arm_ratio: float
    arm_length_ratio: float
    armhole_depth_ratio: float
    shoulder_girth_ratio: float
    shoulder_depth_ratio: float
    neck_ease_mm: float
    chest_ease_ratio: float
    chest_ease_least_mm: float
    armhole_ease_mm: float
    shoulder_ease_mm: float
    sleeve_ease_mm: float
    worn_length_ratio: float
    memorial_length_ratio: float
    overlap_mm: float
    row_count: float
    small_row_count: float
    small_chest_mm: float
    first_row_mm: float
    cloth_ratio_aim: float
    cloth_ratio_least: float
    cloth_ratio_most: float
    least_pitch_mm: float
    pleat_step: float
    pleat_remainder: float
    spare_pleats: float
    front_share: float
    sleeve_share: float
    worn_from_mass_g: float
    neck_drop_mm: float
    raglan_width_ratio: float
    raglan_fullness: float
    least_raglan_curve_mm: float
    side_flare: float
    sleeve_taper: float
    hem_curve_share: float
    sleeve_length_ratio: float
    least_side_seam_mm: float
    binding_width_mm: float
    seam_allowance_mm: float
    neck_allowance_mm: float
    hem_allowance_mm: float
    sleeve_hem_allowance_mm: float
    back_hem_mm: float
    seam_tolerance_mm: float
    longest_tie_mm: float
    tie_chest_ratio: float
    longest_drawstring_mm: float
    panel_narrower_ratio: float
    panel_ratio_aim: float
    panel_ratio_least: float
    panel_ratio_most: float
    yoke_depth_ratio: float
    shoulder_drop_ratio: float
    front_neck_drop_ratio: float
    back_neck_drop_ratio: float
    back_neck_corner_share: float
    back_gather_ratio: float
    underarm_fullness: float
    sleeve_cap_ratio: float
    sleeve_flare: float
    least_shoulder_mm: float
    wrap_up_to_mass_g: float
    wrap_chest_ratio: float
    wrap_overlap_ratio: float
    wrap_neck_share: float
    wrap_neck_drop_ratio: float
    wrap_shoulder_slope: float
    wrap_upper_corner_ratio: float
    wrap_lower_corner_ratio: float
    head_above_chest_mm: float
    bonnet_ease_mm: float
    bonnet_face_ratio: float
    bonnet_depth_ratio: float
    bonnet_back_ratio: float
    blanket_length_ratio: float
    blanket_corner_ratio: float
    keepsake_mm: float
    swatch_mm: float

    @classmethod
    def from_figures(cls, values: Mapping[str, float]) -> "DraftRules":
        """The rules from figures by key; raises KeyError naming a figure that is missing."""
        return cls(**{field.name: float(values[_PREFIX + field.name]) for field in fields(cls)})

    def length_ratio(self, purpose: Purpose) -> float:
        """Length from the neck as a share of the body's."""
        return self.worn_length_ratio if purpose == "worn" else self.memorial_length_ratio

    def chest_or_estimate_mm(self, size: SizeBand) -> float:
        """The chest of a size; where nobody knows it, its usual share of the body length."""
        return self.wrap_chest_ratio * size.body_length_mm if size.chest_mm is None else size.chest_mm

    def needed_neck_mm(self, chest_mm: float) -> float:
        """Finished neck a baby with this chest needs."""
        return self.neck_ratio * chest_mm + self.neck_ease_mm

    def needed_chest_mm(self, chest_mm: float) -> float:
        """Finished chest a baby with this chest needs."""
        return chest_mm + max(self.chest_ease_least_mm, self.chest_ease_ratio * chest_mm)

    def needed_sleeve_mm(self, chest_mm: float) -> float:
        """Finished sleeve girth a baby with this chest needs."""
        return self.upper_arm_ratio * chest_mm + self.sleeve_ease_mm
