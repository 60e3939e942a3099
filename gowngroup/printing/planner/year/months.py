"""Gowns and hours month by month, how checks came out, and how long wards waited."""

from collections import Counter
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from gowngroup.catalog.models import Purpose
from gowngroup.gowns.models import Gown, GownCheck
from gowngroup.printing.year_queries import Rows, Span

MOST_REASONS = 8
DAYS_A_WEEK = 7
MOST_WEEKS = 16


@dataclass(frozen=True, slots=True, kw_only=True)
class MonthLine:
    """Gowns to wear of one month, and the time told for all that was sewn in it."""

    month: date
    received: int
    passed: int
    delivered: int
    minutes: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcomes:
    """How the gowns to wear that came in stand now."""

    received: int
    passed: int
    set_aside: int
    practice: int
    in_check: int

    @property
    def judged(self) -> int:
        return self.passed + self.set_aside + self.practice

    @property
    def percent_passed(self) -> int | None:
        """The share passed of those whose checks are over, in whole percent."""
        return round(100 * self.passed / self.judged) if self.judged else None


@dataclass(frozen=True, slots=True, kw_only=True)
class ReasonLine:
    """How often a check came to an outcome for a reason."""

    outcome: str
    reason: str
    checks: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Hours:
    """The time told by those who sewed."""

    minutes: int
    times: int
    times_told: int
    people: int
    gowns: int


def month_lines(span: Span, made: Rows, delivered: Rows, brought: Rows) -> tuple[MonthLine, ...]:
    """Gowns to wear that came in, passed and left, and the time told, month by month."""
    received, passed, left, minutes = (Counter[int]() for _each in range(4))
    for row in _worn(made, "purpose"):
        received[row["received_month"]] += row["gowns"]
        passed[row["passed_month"]] += row["gowns"]
    for row in _worn(delivered, "gown__purpose"):
        left[row["drop_off__left_at"].astimezone(span.zone).month] += row["gowns"]
    for row in brought:
        minutes[row["month"]] += row["minutes"] or 0
    return tuple(
        MonthLine(
            month=month,
            received=received[month.month],
            passed=passed[month.month],
            delivered=left[month.month],
            minutes=minutes[month.month],
        )
        for month in span.months
    )


def _worn(rows: Rows, field: str) -> Rows:
    return (row for row in rows if row[field] == Purpose.WORN)


def received_in(made: Rows) -> Rows:
    """The rows of gowns that came in within the span, whenever they passed."""
    return [row for row in made if row["received_month"]]


def outcomes(made: Rows) -> Outcomes:
    """How the gowns to wear that came in stand now."""
    states = Counter[str]()
    for row in _worn(received_in(made), "purpose"):
        states[row["state"]] += row["gowns"]
    ended = {
        "passed": states[Gown.State.PASSED] + states[Gown.State.LEFT],
        "set_aside": states[Gown.State.SET_ASIDE],
        "practice": states[Gown.State.PRACTICE],
    }
    return Outcomes(received=states.total(), in_check=states.total() - sum(ended.values()), **ended)


def reasons(rows: Rows, *, at_least: int) -> tuple[tuple[ReasonLine, ...], int]:
    """The reasons given most often, and how many checks had another one; rarer ones than `at_least` are others."""
    counted = Counter[tuple[str, str]]()
    words: dict[tuple[str, str], str] = {}
    for row in rows:
        reason = row["reason"].strip().rstrip(".")
        key = row["outcome"], reason.casefold()
        words.setdefault(key, reason)
        counted[key] += row["checks"]
    ordered = sorted(counted, key=lambda key: (-counted[key], key))
    shown = [key for key in ordered if counted[key] >= at_least][:MOST_REASONS]
    lines = tuple(
        ReasonLine(outcome=str(GownCheck.Outcome(key[0]).label), reason=words[key], checks=counted[key])
        for key in shown
    )
    return lines, counted.total() - sum(line.checks for line in lines)


def waiting_days(span: Span, delivered: Rows) -> Counter[int]:
    """Days from a request to the drop-off, for each gown to wear that left for one."""
    days = Counter[int]()
    for row in _worn(delivered, "gown__purpose"):
        if asked_at := row["request_line__request__received_at"]:
            left, came = (
                moment.astimezone(span.zone).date() for moment in (row["drop_off__left_at"], asked_at)
            )
            days[max((left - came).days, 0)] += row["gowns"]
    return days


def by_week(days: Mapping[int, int]) -> tuple[int, ...]:
    """Gowns by the week in which they came, the first week first; the last number holds all that took longer."""
    weeks = Counter[int]()
    for day, gowns in days.items():
        weeks[min(day // DAYS_A_WEEK, MOST_WEEKS)] += gowns
    return tuple(weeks[week] for week in range(max(weeks, default=-1) + 1))


def hours(brought: Rows, *, people: int) -> Hours:
    """The sums of what was told when so many people brought kits back."""
    rows = list(brought)

    def added(field: str) -> int:
        return _sum(rows, lambda row: row[field])

    return Hours(
        minutes=added("minutes"),
        times=added("times"),
        times_told=added("times_told"),
        people=people,
        gowns=added("gowns_back"),
    )


def _sum(rows: Iterable[Mapping[str, Any]], value: Callable[[Mapping[str, Any]], int | None]) -> int:
    return sum(value(row) or 0 for row in rows)
