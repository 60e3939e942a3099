"""Median and quartiles of counted days."""

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import accumulate


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """How long it took: a quarter took at most `low`, half at most `middle`, three quarters at most `high` days."""

    low: float
    middle: float
    high: float
    count: int


def spread(counted: Mapping[int, int]) -> Spread | None:
    """Quartiles of days, each counted so many times; None where there is nothing.

    Between two neighbours the value is interpolated evenly: definition 7 of Hyndman and Fan, Sample Quantiles in
    Statistical Packages, The American Statistician 50 (1996) 361–365.
    """
    days = sorted(day for day, times in counted.items() if times)
    ends = list(accumulate(counted[day] for day in days))
    if not days:
        return None
    low, middle, high = (_quantile(days, ends, quarter) for quarter in (1, 2, 3))
    return Spread(low=low, middle=middle, high=high, count=ends[-1])


def _quantile(days: list[int], ends: list[int], quarter: int) -> float:
    whole, rest = divmod((ends[-1] - 1) * quarter, 4)
    before, after = (_day_at(days, ends, place) for place in (whole, min(whole + 1, ends[-1] - 1)))
    return before + (after - before) * rest / 4


def _day_at(days: list[int], ends: list[int], place: int) -> int:
    return next(day for day, end in zip(days, ends, strict=True) if place < end)
