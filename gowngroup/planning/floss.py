"""Floss for smocking: length of thread in the stitches, needlefuls, cuts and skeins."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from itertools import groupby
from math import ceil, floor, hypot
from typing import Self

from gowngroup.planning.smocking import CompiledChart, CompiledRow, Move, PleaterProfile

_ROUNDING = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class FlossRules:
    """How the group cuts and uses floss."""

    calibration: float
    sensitivity_share: float
    bite_share: float
    waste_mm: float
    cut_mm: float
    skein_mm: float
    strand_count: int
    spare_needlefuls: int
    least_left_over_cuts: int

    @classmethod
    def from_figures(cls, values: Mapping[str, float]) -> Self:
        """The group's habit, from the figures keyed `floss_…`."""
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
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class RowFloss:
    """Floss in one row of a gown: path in mm without waste, and needlefuls of its strands."""

    row_name: str
    floss_role: str
    strand_count: int
    length_mm: float
    needlefuls: int


@dataclass(frozen=True, slots=True, kw_only=True)
class RoleFloss:
    """Floss of one role (A, B …) of a gown; `cuts` includes the spare needlefuls, `needlefuls` does not."""

    floss_role: str
    length_mm: float
    needlefuls: int
    cuts: int


@dataclass(frozen=True, slots=True, kw_only=True)
class GownFloss:
    """Floss of one gown, row by row and role by role."""

    rows: tuple[RowFloss, ...]
    roles: tuple[RoleFloss, ...]

    @property
    def length_mm(self) -> float:
        """Path of the floss in mm, without waste."""
        return sum(row.length_mm for row in self.rows)

    @property
    def thread_starts(self) -> int:
        """Needlefuls started when nothing breaks."""
        return sum(row.needlefuls for row in self.rows)

    @property
    def cuts(self) -> int:
        """Cuts to wind for the gown, all roles together."""
        return sum(role.cuts for role in self.roles)


@dataclass(frozen=True, slots=True, kw_only=True)
class FlossSensitivity:
    """The same gown as reckoned, and by a worker whose tension or cloth takes more floss."""

    usual: GownFloss
    heavy: GownFloss


@dataclass(frozen=True, slots=True, kw_only=True)
class ShadeNeed:
    """Cuts of one shade in each gown of a group of equal gowns."""

    shade: str
    cuts_per_gown: int
    gown_count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ShadeTotal:
    """A batch's cuts of one shade, and the whole skeins they come from."""

    shade: str
    cuts: int
    skeins: int


def move_length_mm(travel_mm: float, *, pitch_mm: float, take_up_mm: float, rules: FlossRules) -> float:
    """Floss in mm of one stitch: length(v) = √((2p)² + v²) + p + 2d, times the calibration (derived)."""
    over_mm = hypot(2 * pitch_mm, travel_mm)
    return rules.calibration * (over_mm + pitch_mm + 2 * rules.bite_share * take_up_mm)


def run_length_mm(run: tuple[Move, ...], *, pitch_mm: float, take_up_mm: float, rules: FlossRules) -> float:
    """Floss in mm of the stitches worked from one thread start (derived)."""
    return sum(
        move_length_mm(move.travel_mm, pitch_mm=pitch_mm, take_up_mm=take_up_mm, rules=rules) for move in run
    )


def usable_cut_mm(rules: FlossRules) -> float:
    """What a cut leaves for stitching once knot, tail and eye are taken off (common practice)."""
    if rules.cut_mm <= rules.waste_mm:
        raise ValueError("a cut of floss must be longer than its waste")
    return rules.cut_mm - rules.waste_mm


def needlefuls_for(length_mm: float, rules: FlossRules) -> int:
    """Needlefuls for one run, ceil(length / (cut - waste)); runs are never pooled (derived)."""
    return ceil(length_mm / usable_cut_mm(rules) - _ROUNDING)


def needlefuls_per_cut(strand_count: int, rules: FlossRules) -> int:
    """Needlefuls one cut yields, floor(6 / strands); raises ValueError for strands the floss lacks (derived)."""
    if not 1 <= strand_count <= rules.strand_count:
        raise ValueError(f"strands must be between 1 and {rules.strand_count}")
    return rules.strand_count // strand_count


def cuts_per_skein(length_mm: float, rules: FlossRules) -> int:
    """Whole cuts in a skein of this length: 17 of 457 mm in 8 m (derived)."""
    return floor(length_mm / rules.cut_mm + _ROUNDING)


def row_floss(row: CompiledRow, *, pitch_mm: float, take_up_mm: float, rules: FlossRules) -> RowFloss:
    """Floss of one row at its own pleat pitch; each half starts a needleful of its own (derived)."""
    lengths_mm = [
        run_length_mm(run, pitch_mm=pitch_mm, take_up_mm=take_up_mm, rules=rules) for run in row.runs
    ]
    return RowFloss(
        row_name=row.row.name,
        floss_role=row.row.floss_role,
        strand_count=row.row.strand_count,
        length_mm=sum(lengths_mm),
        needlefuls=sum(needlefuls_for(length_mm, rules) for length_mm in lengths_mm),
    )


def gown_floss(
    compiled: CompiledChart, *, pitches_mm: tuple[float, ...], profile: PleaterProfile, rules: FlossRules
) -> GownFloss:
    """Floss of a gown whose rows have the pitches given, one each; they differ on a round neck (derived)."""
    if len(pitches_mm) != len(compiled.rows):
        raise ValueError("give one pleat pitch for each row of the chart")
    rows = tuple(
        row_floss(row, pitch_mm=pitch_mm, take_up_mm=profile.take_up_mm, rules=rules)
        for row, pitch_mm in zip(compiled.rows, pitches_mm, strict=True)
    )
    roles = dict.fromkeys(row.floss_role for row in rows)
    return GownFloss(
        rows=rows,
        roles=tuple(
            _role_floss(role, [row for row in rows if row.floss_role == role], rules) for role in roles
        ),
    )


def floss_sensitivity(
    compiled: CompiledChart, *, pitches_mm: tuple[float, ...], profile: PleaterProfile, rules: FlossRules
) -> FlossSensitivity:
    """The gown's floss as calibrated, and with the share more that tension and cloth may take (derived)."""
    heavy = replace(rules, calibration=rules.calibration * (1 + rules.sensitivity_share))
    return FlossSensitivity(
        usual=gown_floss(compiled, pitches_mm=pitches_mm, profile=profile, rules=rules),
        heavy=gown_floss(compiled, pitches_mm=pitches_mm, profile=profile, rules=heavy),
    )


def batch_skeins(needs: tuple[ShadeNeed, ...], rules: FlossRules) -> tuple[ShadeTotal, ...]:
    """Cuts and whole new skeins per shade for a batch, shades in order of name (derived)."""
    per_skein = whole_skein_cuts(rules)
    ordered = sorted(needs, key=lambda need: need.shade)
    totals = [
        (shade, sum(need.cuts_per_gown * need.gown_count for need in group))
        for shade, group in groupby(ordered, key=lambda need: need.shade)
    ]
    return tuple(ShadeTotal(shade=shade, cuts=cuts, skeins=-(-cuts // per_skein)) for shade, cuts in totals)


def whole_skein_cuts(rules: FlossRules) -> int:
    """Cuts in a new skein; raises ValueError when a cut is longer than the skein."""
    if (count := cuts_per_skein(rules.skein_mm, rules)) < 1:
        raise ValueError("a cut of floss must be no longer than the skein")
    return count


def _role_floss(role: str, rows: list[RowFloss], rules: FlossRules) -> RoleFloss:
    """The role's cuts; needlefuls of unlike strands never share one, the spare goes with the first row's."""
    counts = dict.fromkeys((row.strand_count for row in rows), 0)
    counts[rows[0].strand_count] += rules.spare_needlefuls
    for row in rows:
        counts[row.strand_count] += row.needlefuls
    return RoleFloss(
        floss_role=role,
        length_mm=sum(row.length_mm for row in rows),
        needlefuls=sum(row.needlefuls for row in rows),
        cuts=sum(ceil(count / needlefuls_per_cut(strands, rules)) for strands, count in counts.items()),
    )
