"""What each figure is used for: the parts of a plan it goes into, and the planner's other answers."""

from collections.abc import Mapping
from typing import Literal

from gowngroup.planning.figures.checking import CHECKING
from gowngroup.planning.figures.drafting import DRAFTING
from gowngroup.planning.figures.mix import MIX

Use = Literal[
    "pieces", "pleats", "cloth", "trims", "floss", "thread", "bias", "hours", "shopping", "proposal", "checks"
]

_SHRINKAGE = ("shrink_cotton_share", "shrink_linen_share", "shrink_viscose_share", "shrink_polyester_share")

USES: Mapping[Use, tuple[str, ...]] = {
    "pieces": (
        *(figure.key for figure in DRAFTING),
        "cloth_ratio_fine",
        "cloth_ratio_medium",
        "cloth_ratio_heavy",
    ),
    "pleats": (
        "pleat_take_up_mm",
        "pleat_row_space_mm",
        "pleat_spare_each_side_count",
        "pleat_holding_row_count",
        "pleat_thread_end_mm",
        "stitch_rising_thread_is_below",
        "stitch_outline_thread_is_above",
    ),
    "cloth": (
        "lay_step_mm",
        "lay_step_imperial_mm",
        "piece_gap_mm",
        "lay_tolerance_mm",
        "selvedge_mm",
        "lot_fill_share",
        "least_left_cloth_mm",
        *_SHRINKAGE,
    ),
    "trims": (
        "lace_gather_sparse_ratio",
        "lace_gather_full_ratio",
        "trim_end_mm",
        "beading_ribbon_ratio",
        *_SHRINKAGE,
    ),
    "floss": (
        "floss_calibration",
        "floss_sensitivity_share",
        "floss_bite_share",
        "floss_waste_mm",
        "floss_cut_mm",
        "floss_skein_mm",
        "floss_strand_count",
        "floss_spare_needleful_count",
        "floss_spare_cut_count",
        "floss_ends_on_whole_stitch",
        "floss_least_report_count",
        "floss_least_left_over_count",
        "pleat_take_up_mm",
    ),
    "thread": (
        "thread_waste_share",
        "thread_stitch_length_mm",
        "thread_seam_thickness_mm",
        "thread_overedge_width_mm",
        "thread_zigzag_width_mm",
    ),
    "bias": ("bias_yield_share",),
    "hours": (
        "hours_cut_min",
        "hours_cut_in_batch_min",
        "hours_pleat_min",
        "hours_stitches_learner",
        "hours_stitches_usual",
        "hours_stitches_expert",
        "hours_thread_start_min",
        "hours_make_up_short_min",
        "hours_make_up_usual_min",
        "hours_make_up_long_min",
        "hours_lace_min_per_m",
        "hours_finish_min",
        "hours_bonnet_min",
        "hours_blanket_min",
        "hours_keepsakes_min",
        "hours_swatch_min",
    ),
    "shopping": (
        "shop_cloth_step_metric_mm",
        "shop_cloth_step_imperial_mm",
        "shop_width_narrow_mm",
        "shop_cloth_width_mm",
        "shop_width_wide_mm",
        "shop_width_widest_mm",
        "shop_card_mm",
        "floss_skein_mm",
        "thread_spool_mm",
        "selvedge_mm",
        *_SHRINKAGE,
    ),
    "proposal": ("expected_lay_share", *(figure.key for figure in MIX)),
    "checks": tuple(figure.key for figure in CHECKING),
}


def uses_of(key: str) -> tuple[Use, ...]:
    """What a figure is used for."""
    return tuple(use for use, keys in USES.items() if key in keys)
