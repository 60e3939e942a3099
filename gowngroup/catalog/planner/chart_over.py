"""A chart over a number of pleats for its page: what fits, what is left over, how much floss each row takes."""

from dataclasses import dataclass, replace

from gowngroup.catalog.planner.chart_words import (
    chart_sentences,
    low_row_sentence,
    nearest_sentence,
    spare_sentence,
)
from gowngroup.catalog.planner.smocked import SmockedWidth, row_pitches_mm
from gowngroup.catalog.planner.values import PlannerSettings
from gowngroup.planning import floss, smocking


@dataclass(frozen=True, slots=True, kw_only=True)
class RowOver:
    """A row over the pleats; needlefuls as reckoned and for a hand that takes more, none where it cannot be worked."""

    fit: smocking.RowFit
    needlefuls: int | None = None
    heavy_needlefuls: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class FlossOver:
    """One floss of the chart over the pleats."""

    role: str
    length_mm: float
    needlefuls: int
    cuts: int
    heavy_cuts: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ChartOver:
    """What a chart's page says of a number of pleats, `finished_mm` wide at the last row."""

    fit: smocking.ChartFit
    finished_mm: float
    cloth_ratio: float
    heavy_percent: int
    rows: tuple[RowOver, ...]
    floss: tuple[FlossOver, ...]
    sentences: tuple[str, ...]
    notes: tuple[str, ...]
    compiled: smocking.CompiledChart | None

    @property
    def has_workable_rows(self) -> bool:
        """Can any row be worked, were the others left out?"""
        return any(row.fit.compiled for row in self.rows)

    @property
    def doubled_rows(self) -> tuple[str, ...]:
        """Rows whose needlefuls double for a hand that takes more floss."""
        return tuple(
            row.fit.row.name
            for row in self.rows
            if row.needlefuls and row.heavy_needlefuls and row.heavy_needlefuls >= 2 * row.needlefuls
        )


def usual_width(chart: smocking.Chart, pleat_count: int, settings: PlannerSettings) -> SmockedWidth:
    """A panel of so many pleats at the group's usual ratio of cloth to finished width."""
    ratio = settings.figures["cloth_ratio_medium"]
    finished_mm = pleat_count * settings.pleater.take_up_mm / ratio
    return SmockedWidth(
        pleat_count=pleat_count,
        flat_mm=smocking.flat_width_mm(pleat_count, settings.pleater),
        finished_mm=(finished_mm,) * chart.row_count,
    )


def chart_over(chart: smocking.Chart, width: SmockedWidth, settings: PlannerSettings) -> ChartOver:
    """A chart that has rows over a width, workable or not."""
    threads = smocking.ThreadPositions.from_figures(settings.figures)
    fit = smocking.chart_fit(chart, width.pleat_count, settings.pleater, threads=threads)
    found = ChartOver(
        fit=fit,
        finished_mm=width.finished_mm[-1],
        cloth_ratio=smocking.cloth_ratio(
            finished_width_mm=width.finished_mm[-1], pleat_count=width.pleat_count, profile=settings.pleater
        ),
        heavy_percent=round(100 * settings.figures["floss_sensitivity_share"]),
        rows=tuple(RowOver(fit=row) for row in fit.rows),
        floss=(),
        sentences=(*chart_sentences(chart, width.pleat_count), *_low_rows(chart, width)),
        notes=_notes(fit),
        compiled=None,
    )
    return found if found.sentences else _with_floss(found, chart, width, settings)


def _low_rows(chart: smocking.Chart, width: SmockedWidth) -> tuple[str, ...]:
    count = len(width.finished_mm)
    return tuple(low_row_sentence(row, count) for row in chart.rows if row.bottom_row > count)


def _notes(fit: smocking.ChartFit) -> tuple[str, ...]:
    spare = [row.compiled for row in fit.rows if row.compiled and not row.is_whole]
    if not spare or fit.faults:
        return ()
    return (*(spare_sentence(compiled) for compiled in spare), nearest_sentence(fit.nearest))


def _with_floss(
    found: ChartOver, chart: smocking.Chart, width: SmockedWidth, settings: PlannerSettings
) -> ChartOver:
    threads = smocking.ThreadPositions.from_figures(settings.figures)
    compiled = smocking.compile_chart(chart, width.pleat_count, settings.pleater, threads=threads)
    both = floss.floss_sensitivity(
        compiled,
        pitches_mm=row_pitches_mm(chart, width),
        profile=settings.pleater,
        rules=floss.FlossRules.from_figures(settings.figures),
    )
    rows = zip(found.rows, both.usual.rows, both.heavy.rows, strict=True)
    roles = zip(both.usual.roles, both.heavy.roles, strict=True)
    return replace(
        found,
        compiled=compiled,
        rows=tuple(
            replace(row, needlefuls=usual.needlefuls, heavy_needlefuls=heavy.needlefuls)
            for row, usual, heavy in rows
        ),
        floss=tuple(
            FlossOver(
                role=usual.floss_role,
                length_mm=usual.length_mm,
                needlefuls=usual.needlefuls,
                cuts=usual.cuts,
                heavy_cuts=heavy.cuts,
            )
            for usual, heavy in roles
        ),
    )
