"""The yearly report: one value with everything that stands in it, and its own sums checked."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from gowngroup.catalog.models import Purpose
from gowngroup.printing import year_queries
from gowngroup.printing.planner.year import months as by_month
from gowngroup.printing.planner.year import sizes as by_size
from gowngroup.printing.planner.year.drawn import YearCharts, year_charts
from gowngroup.printing.planner.year.losses import Losses, losses
from gowngroup.printing.planner.year.materials import (
    ClothLine,
    GivenLine,
    ShelfLine,
    cloth_lines,
    given_by_donor,
    given_by_kind,
    shelf_lines,
)
from gowngroup.printing.planner.year.spread import Spread, spread
from gowngroup.printing.planner.year.sums import SumCheck, sum_checks
from gowngroup.printing.year_queries import Rows, Span

NAMED_REASONS_AT_LEAST = 1
PUBLIC_REASONS_AT_LEAST = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Apart:
    """Gowns for babies who die: what was asked for and given, by size; never drawn, never compared."""

    lines: tuple[by_size.SizeLine, ...]
    asked: int
    given: int


@dataclass(frozen=True, slots=True, kw_only=True)
class YearReport:
    """A year looked back on; with names for the group itself, without for donors, trustees and wards."""

    span: Span
    has_names: bool
    sizes: tuple[by_size.SizeLine, ...]
    asked_total: by_size.Total
    wards: tuple[by_size.WardLine, ...]
    served_count: int
    drop_off_count: int
    months: tuple[by_month.MonthLine, ...]
    delivered: int
    passed: int
    outcomes: by_month.Outcomes
    reasons: tuple[by_month.ReasonLine, ...]
    other_reasons: int
    waiting: Spread | None
    weeks: tuple[int, ...]
    cloth: tuple[ClothLine, ...]
    cloth_planned_um: int
    cloth_cut_um: int
    hours: by_month.Hours
    given: tuple[GivenLine, ...]
    donors: tuple[GivenLine, ...]
    donor_count: int
    shelf: tuple[ShelfLine, ...]
    losses: Losses
    apart: Apart
    charts: YearCharts
    checks: tuple[SumCheck, ...]

    @property
    def is_empty(self) -> bool:
        """Is there nothing at all to tell of the year?"""
        told = (self.sizes, self.apart.asked, self.apart.given, self.outcomes.received, self.delivered)
        return not any((*told, self.hours.times, self.given, self.shelf, self.cloth))


def year_report(span: Span, *, has_names: bool) -> YearReport:
    """Everything that is told of a year, from a fixed number of queries."""
    asked, made, brought = (
        list(rows)
        for rows in (year_queries.asked(span), year_queries.gowns_made(span), year_queries.brought_back(span))
    )
    boxed, lots, moved = (
        list(rows)
        for rows in (year_queries.delivered(span), year_queries.lots_given(span), year_queries.moved(span))
    )
    delivered = [row for row in boxed if span.holds(row["drop_off__left_at"])]
    size_lines, cloth = by_size.size_lines(asked), cloth_lines(year_queries.cloth_cut(span))
    at_least = NAMED_REASONS_AT_LEAST if has_names else PUBLIC_REASONS_AT_LEAST
    reasons, other_reasons = by_month.reasons(year_queries.check_reasons(span), at_least=at_least)
    days = by_month.waiting_days(span, delivered)
    month_lines, weeks = by_month.month_lines(span, made, delivered, brought), by_month.by_week(days)
    return YearReport(
        span=span,
        has_names=has_names,
        sizes=size_lines,
        asked_total=by_size.total_of(size_lines),
        wards=by_size.ward_lines(asked) if has_names else (),
        served_count=len({row["drop_off__ward_id"] for row in delivered}),
        drop_off_count=len({row["drop_off_id"] for row in delivered}),
        months=month_lines,
        delivered=sum(line.delivered for line in month_lines),
        passed=sum(line.passed for line in month_lines),
        outcomes=by_month.outcomes(made),
        reasons=reasons,
        other_reasons=other_reasons,
        waiting=spread(days),
        weeks=weeks,
        cloth=cloth,
        cloth_planned_um=sum(line.planned_um for line in cloth),
        cloth_cut_um=sum(line.cut_um for line in cloth),
        hours=by_month.hours(brought, people=year_queries.people_back(span)),
        given=given_by_kind(lots),
        donors=given_by_donor(lots) if has_names else (),
        donor_count=len({row["donor_id"] for row in lots}),
        shelf=shelf_lines(moved),
        losses=losses(year_queries.kits_ended(span), year_queries.differences(span)),
        apart=_apart(asked, delivered),
        charts=year_charts(sizes=size_lines, months=month_lines, weeks=weeks, cloth=cloth),
        checks=sum_checks(
            span, asked=asked, boxed=boxed, made=made, brought=brought, cloth=cloth, moved=moved, lots=lots
        )
        if has_names
        else (),
    )


def _apart(asked: Sequence[Mapping[str, Any]], delivered: Rows) -> Apart:
    lines = by_size.size_lines(asked, Purpose.MEMORIAL)
    given = sum(row["gowns"] for row in delivered if row["gown__purpose"] == Purpose.MEMORIAL)
    return Apart(lines=lines, asked=by_size.total_of(lines).asked, given=given)
