"""Where each number of floss comes from: one step after the other, with formula, value and source."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import hypot
from typing import Literal

from gowngroup.planning.floss.reckoning import RowFloss, move_length_mm, row_floss, run_lengths_mm
from gowngroup.planning.floss.rules import (
    FlossRules,
    needlefuls_per_cut,
    usable_cut_mm,
    whole_skein_cuts,
)
from gowngroup.planning.smocking import CompiledRow, PleaterProfile

StepName = Literal[
    "take_up",
    "pitch",
    "bite",
    "travel",
    "calibration",
    "level_stitch",
    "slanting_stitch",
    "stitches",
    "row_length",
    "usable_cut",
    "row_needlefuls",
    "row_needlefuls_heavy",
    "needlefuls_per_cut",
    "needlefuls",
    "spare_needlefuls",
    "cuts",
    "spare_cuts",
    "batch_cuts",
    "cuts_per_skein",
    "skeins",
]
Unit = Literal["mm", "ratio", "stitches", "needlefuls", "cuts", "skeins"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step of a sum: what it is, the sum in figures, what comes of it, and the figure it rests on.

    `source_key` names a planner figure (`floss_…`, `pleat_…`), or is empty where the step is arithmetic.
    """

    name: StepName
    formula: str
    value: float
    unit: Unit
    source_key: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Row:
    """A row with all that its floss rests on."""

    row: CompiledRow
    pitch_mm: float
    profile: PleaterProfile
    rules: FlossRules

    @property
    def bite_mm(self) -> float:
        return self.rules.bite_share * self.profile.take_up_mm

    @property
    def travel_mm(self) -> float:
        return max(move.travel_mm for move in self.row.moves)

    def stitch_mm(self, travel_mm: float) -> float:
        return move_length_mm(
            travel_mm, pitch_mm=self.pitch_mm, take_up_mm=self.profile.take_up_mm, rules=self.rules
        )

    def floss(self, *, calibration: float) -> RowFloss:
        rules = replace(self.rules, calibration=calibration)
        return row_floss(self.row, pitch_mm=self.pitch_mm, take_up_mm=self.profile.take_up_mm, rules=rules)

    def run_sums_mm(self) -> list[float]:
        return [
            sum(
                run_lengths_mm(
                    run, pitch_mm=self.pitch_mm, take_up_mm=self.profile.take_up_mm, rules=self.rules
                )
            )
            for run in self.row.runs
        ]


def floss_reckoning(
    row: CompiledRow, *, pitch_mm: float, profile: PleaterProfile, rules: FlossRules
) -> tuple[Step, ...]:
    """How the needlefuls of one row come about, step by step (own geometric model, derived).

    Raises ValueError like `row_floss` where a cut is no longer than its waste.
    """
    given = _Row(row=row, pitch_mm=pitch_mm, profile=profile, rules=rules)
    return (*_pleat_steps(given), *_stitch_steps(given), *_length_steps(given), *_needleful_steps(given))


def cuts_reckoning(rows: Sequence[RowFloss], rules: FlossRules) -> tuple[Step, ...]:
    """How the cuts of one floss of a gown come of its rows, which must have equal strands; the spare is added.

    Raises ValueError for rows of unlike strands, whose needlefuls never share a cut.
    """
    if len({row.strand_count for row in rows}) != 1:
        raise ValueError("cuts are explained for rows of equal strands")
    strands, needlefuls = rows[0].strand_count, sum(row.needlefuls for row in rows)
    per_cut, wanted = needlefuls_per_cut(strands, rules), needlefuls + rules.spare_needlefuls
    return (
        Step(
            name="needlefuls",
            formula=" + ".join(str(row.needlefuls) for row in rows),
            value=needlefuls,
            unit="needlefuls",
        ),
        Step(
            name="spare_needlefuls",
            formula="",
            value=rules.spare_needlefuls,
            unit="needlefuls",
            source_key="floss_spare_needleful_count",
        ),
        Step(
            name="needlefuls_per_cut",
            formula=f"{rules.strand_count} ÷ {strands} ↓",
            value=per_cut,
            unit="needlefuls",
            source_key="floss_strand_count",
        ),
        Step(name="cuts", formula=f"{wanted} ÷ {per_cut} ↑", value=-(-wanted // per_cut), unit="cuts"),
    )


def skeins_reckoning(cuts_per_kit: Sequence[int], rules: FlossRules) -> tuple[Step, ...]:
    """How the skeins of one shade come of the cuts of each kit; kits are wound with their spare (derived)."""
    wound = [cuts + rules.spare_cuts for cuts in cuts_per_kit]
    per_skein = whole_skein_cuts(rules)
    return (
        Step(
            name="spare_cuts",
            formula="",
            value=rules.spare_cuts,
            unit="cuts",
            source_key="floss_spare_cut_count",
        ),
        Step(name="batch_cuts", formula=" + ".join(map(str, wound)), value=sum(wound), unit="cuts"),
        Step(
            name="cuts_per_skein",
            formula=f"{_n(rules.skein_mm)} ÷ {_n(rules.cut_mm)} ↓",
            value=per_skein,
            unit="cuts",
            source_key="floss_skein_mm",
        ),
        Step(
            name="skeins",
            formula=f"{sum(wound)} ÷ {per_skein} ↑",
            value=-(-sum(wound) // per_skein),
            unit="skeins",
        ),
    )


def _pleat_steps(given: _Row) -> Iterator[Step]:
    """Cloth per pleat, pitch, depth of the bite, and the group's calibration."""
    take_up_mm, pleats = given.profile.take_up_mm, given.row.pleat_count
    yield Step(name="take_up", formula="u", value=take_up_mm, unit="mm", source_key="pleat_take_up_mm")
    yield Step(
        name="pitch",
        formula=f"p = {_n(given.pitch_mm * pleats)} ÷ {pleats}",
        value=given.pitch_mm,
        unit="mm",
    )
    yield Step(
        name="bite",
        formula=f"d = {_n(given.rules.bite_share)} × {_n(take_up_mm)}",
        value=given.bite_mm,
        unit="mm",
        source_key="floss_bite_share",
    )
    yield Step(
        name="calibration",
        formula="c",
        value=given.rules.calibration,
        unit="ratio",
        source_key="floss_calibration",
    )


def _stitch_steps(given: _Row) -> Iterator[Step]:
    """Floss in a level stitch, and in a slanting one where the row has any."""
    p, d, c = _n(given.pitch_mm), _n(given.bite_mm), _n(given.rules.calibration)
    yield Step(
        name="level_stitch",
        formula=f"c × (2p + p + 2d) = {c} × (3 × {p} + 2 × {d})",
        value=given.stitch_mm(0.0),
        unit="mm",
    )
    if not given.travel_mm:
        return
    chart_row, over_mm = given.row.row, hypot(2 * given.pitch_mm, given.travel_mm)
    yield Step(
        name="travel",
        formula=f"v = {_n(float(chart_row.rise_spaces))} × {_n(given.profile.row_space_mm)} ÷ {chart_row.steps}",
        value=given.travel_mm,
        unit="mm",
        source_key="pleat_row_space_mm",
    )
    yield Step(
        name="slanting_stitch",
        formula=f"c × (√((2p)² + v²) + p + 2d) = {c} × ({_n(over_mm)} + {p} + 2 × {d})",
        value=given.stitch_mm(given.travel_mm),
        unit="mm",
    )


def _length_steps(given: _Row) -> Iterator[Step]:
    """Stitches counted, level and slanting; the length of each run; what a cut leaves for stitching."""
    moves, rules = given.row.moves, given.rules
    level, lengths_mm = sum(move.is_level for move in moves), given.run_sums_mm()
    yield Step(name="stitches", formula=f"{level} + {len(moves) - level}", value=len(moves), unit="stitches")
    yield Step(name="row_length", formula=" + ".join(map(_n, lengths_mm)), value=sum(lengths_mm), unit="mm")
    yield Step(
        name="usable_cut",
        formula=f"{_n(rules.cut_mm)} − {_n(rules.waste_mm)}",
        value=usable_cut_mm(rules),
        unit="mm",
        source_key="floss_waste_mm",
    )


def _needleful_steps(given: _Row) -> Iterator[Step]:
    """Each run divided by what a cut leaves and rounded up for itself (↑); then for a looser hand."""
    rules, usable = given.rules, _n(usable_cut_mm(given.rules))
    heavy = 1 + rules.sensitivity_share
    yield Step(
        name="row_needlefuls",
        formula=" + ".join(f"{_n(length_mm)} ÷ {usable} ↑" for length_mm in given.run_sums_mm()),
        value=given.floss(calibration=rules.calibration).needlefuls,
        unit="needlefuls",
        source_key="floss_ends_on_whole_stitch" if rules.ends_on_whole_stitch else "",
    )
    yield Step(
        name="row_needlefuls_heavy",
        formula=" + ".join(
            f"{_n(heavy)} × {_n(length_mm)} ÷ {usable} ↑" for length_mm in given.run_sums_mm()
        ),
        value=given.floss(calibration=rules.calibration * heavy).needlefuls,
        unit="needlefuls",
        source_key="floss_sensitivity_share",
    )


def _n(value: float) -> str:
    """A number with as many figures as count in a sum written out."""
    decimals = 3 if abs(value) < 10 else 2
    return f"{round(value, decimals):g}" if abs(value) < 1000 else f"{value:.0f}"
