"""How floss is cut: the group's habits, and what a cut and a skein yield."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import ceil, floor
from typing import Self

_ROUNDING = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class FlossRules:
    """How the group cuts and uses floss; lengths in mm, shares from 0 to 1."""

    calibration: float
    sensitivity_share: float
    bite_share: float
    waste_mm: float
    cut_mm: float
    skein_mm: float
    strand_count: int
    spare_needlefuls: int
    least_left_over_cuts: int
    ends_on_whole_stitch: bool = False
    spare_cuts: int = 0

    @classmethod
    def from_figures(cls, values: Mapping[str, float]) -> Self:
        """The group's habit, from the figures keyed `floss_…`; those that came later may be missing in old plans."""
        return cls(
            calibration=values["floss_calibration"],
            sensitivity_share=values["floss_sensitivity_share"],
            bite_share=values["floss_bite_share"],
            waste_mm=values["floss_waste_mm"],
            cut_mm=values["floss_cut_mm"],
            skein_mm=values["floss_skein_mm"],
            strand_count=int(values["floss_strand_count"]),
            spare_needlefuls=int(values["floss_spare_needleful_count"]),
            least_left_over_cuts=int(values["floss_least_left_over_count"]),
            ends_on_whole_stitch=values.get("floss_ends_on_whole_stitch", 0) >= 0.5,
            spare_cuts=int(values.get("floss_spare_cut_count", 0)),
        )


def usable_cut_mm(rules: FlossRules) -> float:
    """What a cut leaves for stitching once knot, tail and eye are taken off (common practice)."""
    if rules.cut_mm <= rules.waste_mm:
        raise ValueError("a cut of floss must be longer than its waste")
    return rules.cut_mm - rules.waste_mm


def needlefuls_for(length_mm: float, rules: FlossRules) -> int:
    """Needlefuls for one run, ceil(length / (cut - waste)); runs are never pooled (derived)."""
    return ceil(length_mm / usable_cut_mm(rules) - _ROUNDING)


def run_needlefuls(lengths_mm: Sequence[float], rules: FlossRules) -> int:
    """Needlefuls for the stitches of one run, in mm each, in the order worked (derived).

    Usually their sum is divided, the tail making up for a stitch begun with too little; a group that
    wants to end on a whole stitch needs one more now and then. Raises ValueError for a stitch that no
    needleful holds.
    """
    if not rules.ends_on_whole_stitch:
        return needlefuls_for(sum(lengths_mm), rules)
    usable_mm, left_mm, count = usable_cut_mm(rules), 0.0, 0
    for length_mm in lengths_mm:
        if length_mm > usable_mm + _ROUNDING:
            raise ValueError("a stitch is longer than a needleful")
        if length_mm > left_mm + _ROUNDING:
            count, left_mm = count + 1, usable_mm
        left_mm -= length_mm
    return count


def needlefuls_per_cut(strand_count: int, rules: FlossRules) -> int:
    """Needlefuls one cut yields, floor(6 / strands); raises ValueError for strands the floss lacks (derived)."""
    if not 1 <= strand_count <= rules.strand_count:
        raise ValueError(f"strands must be between 1 and {rules.strand_count}")
    return rules.strand_count // strand_count


def cuts_per_skein(length_mm: float, rules: FlossRules) -> int:
    """Whole cuts in a skein of this length: 17 of 457 mm in 8 m (derived)."""
    return floor(length_mm / rules.cut_mm + _ROUNDING)


def whole_skein_cuts(rules: FlossRules) -> int:
    """Cuts in a new skein; raises ValueError when a cut is longer than the skein."""
    if (count := cuts_per_skein(rules.skein_mm, rules)) < 1:
        raise ValueError("a cut of floss must be no longer than the skein")
    return count
