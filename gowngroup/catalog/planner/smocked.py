"""The smocking of a gown: whether its chart fits, the pleating guide, floss and stitches."""

from dataclasses import dataclass

from gowngroup.catalog.planner.chart_words import (
    chart_sentences,
    low_row_sentence,
    nearest_sentence,
    spare_sentence,
)
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


def width_of(guide: PleatingGuide) -> SmockedWidth:
    """The width a pleating guide was made for."""
    return SmockedWidth(
        pleat_count=guide.pleat_count,
        flat_mm=guide.flat_mm,
        finished_mm=tuple(row.finished_mm for row in guide.rows),
    )


def row_pitches_mm(chart: smocking.Chart, width: SmockedWidth) -> tuple[float, ...]:
    """The pleat pitch of each row of a chart, at half its height."""
    return tuple(width.pitch_mm(float(row.top_row + row.bottom_row) / 2) for row in chart.rows)


def smocking_faults(chart: smocking.Chart, width: SmockedWidth) -> tuple[str, ...]:
    """Why a chart cannot be worked over a width, a sentence each."""
    count = len(width.finished_mm)
    low = [low_row_sentence(row, count) for row in chart.rows if row.bottom_row > count]
    return (*chart_sentences(chart, width.pleat_count), *low)


def smocked(chart: smocking.Chart, width: SmockedWidth, settings: PlannerSettings) -> Smocked:
    """Stitches, pleating guide and floss of a chart that fits."""
    threads = smocking.ThreadPositions.from_figures(settings.figures)
    compiled = smocking.compile_chart(chart, width.pleat_count, settings.pleater, threads=threads)
    rules = FlossRules.from_figures(settings.figures)
    floss = floss_sensitivity(
        compiled,
        pitches_mm=row_pitches_mm(chart, width),
        profile=settings.pleater,
        rules=rules,
    )
    return Smocked(
        compiled=compiled,
        guide=_guide(chart, width, settings.pleater),
        floss=_floss_needs(floss.usual, floss.heavy, rules.spare_cuts),
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


def _floss_needs(usual: GownFloss, heavy: GownFloss, spare_cuts: int) -> tuple[FlossNeed, ...]:
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
            spare_cuts=spare_cuts,
        )
        for role in usual.roles
    )


def _spare_notes(compiled: smocking.CompiledChart) -> tuple[str, ...]:
    spare = [spare_sentence(row) for row in compiled.rows if row.spare_each_side]
    if not spare:
        return ()
    nearest = smocking.nearest_pleat_counts(compiled.chart, compiled.pleat_count)
    return (*spare, nearest_sentence(nearest))
