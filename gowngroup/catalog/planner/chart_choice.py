"""A stored chart over the pleats that somebody chose to look at."""

from gowngroup.catalog.models import Chart, DesignSize
from gowngroup.catalog.planner.chart_over import ChartOver, chart_over, usual_width
from gowngroup.catalog.planner.chart_words import fault_sentences
from gowngroup.catalog.planner.needs import need_of_size
from gowngroup.catalog.planner.rows import planner_settings, planning_chart
from gowngroup.catalog.planner.smocked import width_of
from gowngroup.planning import smocking

USUAL_PLEATS = 50


def chart_as_chosen(
    chart: Chart, *, design_size: DesignSize | None, pleat_count: int | None
) -> tuple[ChartOver | None, tuple[str, ...]]:
    """The chart as in a size of a design, or over a panel of so many pleats; else sentences why it cannot be shown.

    Without either it is shown over the nearest number to 50 that suits every row.
    """
    planned, settings = planning_chart(chart), planner_settings()
    if not planned.rows:
        return None, fault_sentences(smocking.chart_faults(planned, USUAL_PLEATS))
    if design_size is None:
        count = pleat_count or smocking.nearest_pleat_counts(planned, USUAL_PLEATS).at_or_above
        return chart_over(planned, usual_width(planned, count, settings), settings), ()
    need = need_of_size(design_size, design_size.revision.purposes()[0], settings)
    if need.pleating is None:
        return None, need.faults
    return chart_over(planned, width_of(need.pleating), settings), ()
