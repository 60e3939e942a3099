"""Floss of a gown taken apart again: what each of its rows rests on, and the runs it is sewn in."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from django.utils.translation import gettext as _

from gowngroup.catalog.planner.smocked import row_pitches_mm, width_of
from gowngroup.catalog.planner.values import GownNeed
from gowngroup.planning import floss
from gowngroup.planning.smocking import ChartRow, CompiledRow, PleaterProfile


@dataclass(frozen=True, slots=True, kw_only=True)
class RowSteps:
    """How the needlefuls of one row of the chart come about."""

    row: ChartRow
    steps: tuple[floss.Step, ...]


def floss_steps_of(
    need: GownNeed, figures: Mapping[str, float], pleater: PleaterProfile
) -> tuple[RowSteps, ...]:
    """How the floss of each row of a gown was reckoned, from a need as it was worked out or stored."""
    rules = floss.FlossRules.from_figures(figures)
    return tuple(
        RowSteps(
            row=row.row,
            steps=floss.floss_reckoning(row, pitch_mm=pitch_mm, profile=pleater, rules=rules),
        )
        for row, pitch_mm in _rows(need)
    )


def floss_runs(
    need: GownNeed, rules: floss.FlossRules, pleater: PleaterProfile
) -> tuple[floss.FlossRun, ...]:
    """The runs one gown is sewn in, their floss at calibration 1."""
    plain = replace(rules, calibration=1.0)
    return tuple(
        floss.FlossRun(
            floss_role=row.row.floss_role,
            strand_count=row.row.strand_count,
            length_mm=sum(
                floss.run_lengths_mm(run, pitch_mm=pitch_mm, take_up_mm=pleater.take_up_mm, rules=plain)
            ),
        )
        for row, pitch_mm in _rows(need)
        for run in row.runs
    )


def _rows(need: GownNeed) -> tuple[tuple[CompiledRow, float], ...]:
    """The rows of a smocked gown with their pitches; none where it is not smocked."""
    if need.smocking is None or need.pleating is None:
        return ()
    pitches_mm = row_pitches_mm(need.smocking.chart, width_of(need.pleating))
    return tuple(zip(need.smocking.rows, pitches_mm, strict=True))


def floss_step_label(step: floss.Step) -> str:
    """What a step of the sum is, for the reader."""
    labels = {
        "take_up": _("Flat cloth per pleat, u"),
        "pitch": _("Width of one pleat once blocked, p"),
        "bite": _("Depth of the needle in a pleat, d"),
        "travel": _("Height of one slanting stitch, v"),
        "calibration": _("Your own floss use against the sum, c"),
        "level_stitch": _("Floss in a level stitch"),
        "slanting_stitch": _("Floss in a slanting stitch"),
        "stitches": _("Stitches: level and slanting"),
        "row_length": _("Floss in the row, each thread start for itself"),
        "usable_cut": _("What a cut leaves for stitching, less knot and tail"),
        "row_needlefuls": _("Needlefuls, each thread start rounded up"),
        "row_needlefuls_heavy": _("Needlefuls for a hand that takes more"),
        "needlefuls": _("Needlefuls of all rows in this floss"),
        "spare_needlefuls": _("Spare needlefuls of each gown"),
        "needlefuls_per_cut": _("Needlefuls one cut yields, by its strands"),
        "cuts": _("Cuts, rounded up"),
        "spare_cuts": _("Spare cuts of each kit"),
        "batch_cuts": _("Cuts of all kits"),
        "cuts_per_skein": _("Whole cuts in a skein"),
        "skeins": _("Skeins, rounded up"),
    }
    return labels[step.name]
