"""The smocking of a gown: whether its chart fits, the pleating guide, floss and stitches."""

from dataclasses import dataclass

from django.utils.translation import gettext as _

from gowngroup.catalog.planner.values import FlossNeed, PlannerSettings, PleatedRow, PleatingGuide
from gowngroup.planning import smocking
from gowngroup.planning.floss import FlossRules, GownFloss, floss_sensitivity


@dataclass(frozen=True, slots=True, kw_only=True)
class SmockedWidth:
    """Pleats, and their finished width at each pleated row; equal in a panel, growing round a neck."""

    pleat_count: int
    flat_mm: float
    finished_mm: tuple[float, ...]

    def pitch_mm(self, row: float) -> float:
        """Pleat pitch at a row number, between two rows in proportion."""
        last = len(self.finished_mm)
        lower = min(max(int(row), 1), last)
        upper = min(lower + 1, last)
        share = min(max(row - lower, 0.0), 1.0)
        finished_mm = (1 - share) * self.finished_mm[lower - 1] + share * self.finished_mm[upper - 1]
        return finished_mm / self.pleat_count


@dataclass(frozen=True, slots=True, kw_only=True)
class Smocked:
    """What comes of working a chart over a width."""

    compiled: smocking.CompiledChart
    guide: PleatingGuide
    floss: tuple[FlossNeed, ...]
    thread_starts: int
    notes: tuple[str, ...]


def smocking_faults(chart: smocking.Chart, width: SmockedWidth) -> tuple[str, ...]:
    """Why a chart cannot be worked over a width, a sentence each."""
    faults = [fault_sentence(fault) for fault in smocking.chart_faults(chart, width.pleat_count)]
    if chart.rows and chart.row_count > len(width.finished_mm):
        faults.append(
            _("The chart reaches %(needed)d pleated rows; only %(found)d fit this size.")
            % {"needed": chart.row_count, "found": len(width.finished_mm)}
        )
    return tuple(faults)


def smocked(chart: smocking.Chart, width: SmockedWidth, settings: PlannerSettings) -> Smocked:
    """Stitches, pleating guide and floss of a chart that fits."""
    threads = smocking.ThreadRules.from_figures(settings.figures)
    compiled = smocking.compile_chart(chart, width.pleat_count, settings.pleater, threads=threads)
    pitches_mm = tuple(width.pitch_mm(float(row.top_row + row.bottom_row) / 2) for row in chart.rows)
    floss = floss_sensitivity(
        compiled,
        pitches_mm=pitches_mm,
        profile=settings.pleater,
        rules=FlossRules.from_figures(settings.figures),
    )
    return Smocked(
        compiled=compiled,
        guide=_guide(chart, width, settings.pleater),
        floss=_floss_needs(floss.usual, floss.heavy),
        thread_starts=floss.usual.thread_starts,
        notes=_spare_notes(compiled),
    )


def _guide(chart: smocking.Chart, width: SmockedWidth, pleater: smocking.PleaterProfile) -> PleatingGuide:
    design_rows = len(width.finished_mm)
    finished_mm = width.finished_mm[-1]
    return PleatingGuide(
        pleat_count=width.pleat_count,
        design_row_count=design_rows,
        row_count=smocking.pleated_row_count(design_rows, pleater),
        flat_mm=width.flat_mm,
        finished_mm=finished_mm,
        cloth_ratio=smocking.cloth_ratio(
            finished_width_mm=finished_mm, pleat_count=width.pleat_count, profile=pleater
        ),
        take_up_mm=pleater.take_up_mm,
        row_space_mm=pleater.row_space_mm,
        thread_mm=smocking.pleating_thread_mm(
            pleat_count=width.pleat_count, design_row_count=design_rows, profile=pleater
        ),
        rows=tuple(
            PleatedRow(number=number, finished_mm=row_mm, pitch_mm=row_mm / width.pleat_count)
            for number, row_mm in enumerate(width.finished_mm, start=1)
        ),
    )


def _floss_needs(usual: GownFloss, heavy: GownFloss) -> tuple[FlossNeed, ...]:
    heavy_cuts = {role.floss_role: role.cuts for role in heavy.roles}
    strands = {row.floss_role: row.strand_count for row in reversed(usual.rows)}
    return tuple(
        FlossNeed(
            role=role.floss_role,
            strand_count=strands[role.floss_role],
            length_mm=role.length_mm,
            needlefuls=role.needlefuls,
            cuts=role.cuts,
            heavy_cuts=heavy_cuts[role.floss_role],
        )
        for role in usual.roles
    )


def _spare_notes(compiled: smocking.CompiledChart) -> tuple[str, ...]:
    return tuple(
        _("Row %(row)s leaves %(count)d pleats at each side without stitches.")
        % {"row": row.row.name, "count": row.spare_each_side}
        for row in compiled.rows
        if row.spare_each_side
    )


def fault_sentence(fault: smocking.SmockingFault) -> str:
    """A fault of a chart in words."""
    sentences = {
        "no_rows": _("The smocking chart has no rows yet."),
        "odd_pleats": _("Row %(row)s needs an even number of pleats: %(needed)g rather than %(found)g."),
        "steps_do_not_suit_stitch": _(
            "Row %(row)s: waves and trellises have steps between their turns, level stitches have none."
        ),
        "rise_does_not_suit_stitch": _(
            "Row %(row)s: waves and trellises rise by a half or a whole space, level stitches do not rise."
        ),
        "strands_below_one": _("Row %(row)s needs at least one strand of floss."),
        "turns_do_not_meet": _("Row %(row)s does not meet the row above it."),
        "row_off_pleated_height": _("Row %(row)s lies outside the pleated rows."),
        "fewer_pleats_than_one_repeat": _(
            "Row %(row)s needs at least %(needed)g pleats; there are %(found)g."
        ),
    }
    return sentences[fault.reason] % {"row": fault.row_name, "found": fault.found, "needed": fault.needed}
