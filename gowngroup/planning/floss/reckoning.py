"""Floss for smocking: length of thread in the stitches, needlefuls, cuts and skeins."""

from dataclasses import dataclass, replace
from itertools import groupby
from math import ceil, hypot

from gowngroup.planning.floss.rules import (
    FlossRules,
    needlefuls_per_cut,
    run_needlefuls,
    whole_skein_cuts,
)
from gowngroup.planning.smocking import CompiledChart, CompiledRow, Move, PleaterProfile


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


def run_lengths_mm(
    run: tuple[Move, ...], *, pitch_mm: float, take_up_mm: float, rules: FlossRules
) -> tuple[float, ...]:
    """Floss in mm of each stitch worked from one thread start, in the order worked (derived)."""
    return tuple(
        move_length_mm(move.travel_mm, pitch_mm=pitch_mm, take_up_mm=take_up_mm, rules=rules) for move in run
    )


def row_floss(row: CompiledRow, *, pitch_mm: float, take_up_mm: float, rules: FlossRules) -> RowFloss:
    """Floss of one row at its own pleat pitch; each run starts a needleful of its own (derived).

    A row started at the centre has two runs, one started at an edge a single one.
    """
    runs = [run_lengths_mm(run, pitch_mm=pitch_mm, take_up_mm=take_up_mm, rules=rules) for run in row.runs]
    return RowFloss(
        row_name=row.row.name,
        floss_role=row.row.floss_role,
        strand_count=row.row.strand_count,
        length_mm=sum(sum(run) for run in runs),
        needlefuls=sum(run_needlefuls(run, rules) for run in runs),
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
