"""Which numbers of the year are drawn, and in what words each drawing is told."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

from gowngroup.printing.planner.year.charts import Chart, Series, column_chart, row_chart
from gowngroup.printing.planner.year.materials import ClothLine
from gowngroup.printing.planner.year.months import MOST_WEEKS, MonthLine
from gowngroup.printing.planner.year.sizes import SizeLine
from gowngroup.records.reader import current_reader
from gowngroup.records.units import UM_PER_UNIT, in_unit, long_unit
from gowngroup.records.written import written_date

MOST_CLOTHS = 10


@dataclass(frozen=True, slots=True, kw_only=True)
class YearCharts:
    """The drawings of a year; None where there is nothing to draw."""

    sizes: Chart | None
    months: Chart | None
    hours: Chart | None
    weeks: Chart | None
    cloth: Chart | None


def year_charts(
    *,
    sizes: Sequence[SizeLine],
    months: Sequence[MonthLine],
    weeks: Sequence[int],
    cloth: Sequence[ClothLine],
) -> YearCharts:
    """The drawings of a year's numbers; gowns for babies who die are in none of them."""
    return YearCharts(
        sizes=_sizes(sizes) if sizes else None,
        months=_months(months)
        if any(line.received or line.passed or line.delivered for line in months)
        else None,
        hours=_hours(months) if any(line.minutes for line in months) else None,
        weeks=_weeks(weeks) if weeks else None,
        cloth=_cloth(cloth[:MOST_CLOTHS]) if cloth else None,
    )


def _sizes(lines: Sequence[SizeLine]) -> Chart:
    return row_chart(
        title=_("Gowns asked for and met, by size"),
        description=_("Two bars for each size: the upper one is what the wards asked for, the lower one what they got."),
        labels=[line.length for line in lines],
        series=(
            Series(name=_("asked for"), values=tuple(line.asked for line in lines)),
            Series(name=_("met"), values=tuple(line.met for line in lines)),
        ),
    )  # fmt: skip


def _months(lines: Sequence[MonthLine]) -> Chart:
    return column_chart(
        title=_("Gowns month by month"),
        description=_("Three columns for each month: gowns that came in, gowns that passed, gowns that left for the wards."),
        labels=_month_names(lines),
        series=(
            Series(name=_("came in"), values=tuple(line.received for line in lines)),
            Series(name=_("passed"), values=tuple(line.passed for line in lines)),
            Series(name=_("left for the wards"), values=tuple(line.delivered for line in lines)),
        ),
    )  # fmt: skip


def _hours(lines: Sequence[MonthLine]) -> Chart:
    return column_chart(
        title=_("Hours month by month"),
        description=_("One column for each month: the hours people told us when they brought their kits in."),
        labels=_month_names(lines),
        series=(Series(name=_("hours"), values=tuple(round(line.minutes / 60, 2) for line in lines)),),
    )


def _month_names(lines: Sequence[MonthLine]) -> list[str]:
    return [written_date(line.month, "M") for line in lines]


def _weeks(weeks: Sequence[int]) -> Chart:
    labels = [str(week + 1) if week < MOST_WEEKS else _("later") for week in range(len(weeks))]
    return column_chart(
        title=_("Weeks from a request to the drop-off"),
        description=_("One column for each week after the request: the gowns that left in that week."),
        labels=labels,
        series=(Series(name=_("gowns"), values=tuple(weeks)),),
    )


def _cloth(lines: Sequence[ClothLine]) -> Chart:
    unit = long_unit(current_reader().length_unit)

    def lengths(name: str, amounts: Sequence[int]) -> Series:
        return Series(
            name=name,
            values=tuple(amount / UM_PER_UNIT[unit] for amount in amounts),
            words=tuple(in_unit(amount, unit) for amount in amounts),
        )

    return row_chart(
        title=_("Cloth planned and cut, in %(unit)s")
        % {"unit": _("metres") if unit == "m" else _("yards")},
        description=_("Two bars for each cloth: the upper one is the length planned, the lower one the length really cut."),
        labels=[line.name for line in lines],
        series=(
            lengths(_("planned"), [line.planned_um for line in lines]),
            lengths(_("cut"), [line.cut_um for line in lines]),
        ),
    )  # fmt: skip
