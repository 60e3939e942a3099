"""The month at a glance: what is asked, planned, out, back, passed and delivered, size by size."""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.db.models import Count, F, QuerySet, Sum, Value

from gowngroup.batches.models import Batch, BatchLine, Kit
from gowngroup.catalog.models import Size
from gowngroup.gowns.models import Gown
from gowngroup.wards.models import RequestLine, Ward, WardRequest

IN_CHECK = (Gown.State.BACK, Gown.State.MENDING, Gown.State.TO_WASH, Gown.State.WASHED)
NOT_YET_OUT = (Kit.State.PLANNED, Kit.State.CUT, Kit.State.PACKED, Kit.State.WAITING)


@dataclass(frozen=True, slots=True, kw_only=True)
class MonthRow:
    """Gowns of one size: asked, planned and delivered in the month; out, back and passed as of now."""

    size: Size
    asked: int
    planned: int
    out: int
    back: int
    passed: int
    delivered: int
    short: int


def month_rows(*, month: date) -> list[MonthRow]:
    """The sizes anything is asked, made or kept in, the smallest first; two queries."""
    tables = [_by_size(name, rows, total) for name, (rows, total) in _figures(month).items()]
    counts: dict[int, dict[str, int]] = defaultdict(dict)
    for name, size_id, count in tables[0].union(*tables[1:], all=True):
        counts[size_id][name] = count
    return [_month_row(size, counts[size.pk]) for size in Size.objects.all() if any(counts[size.pk].values())]


def _month_row(size: Size, counts: Mapping[str, int]) -> MonthRow:
    there = sum(counts.get(name, 0) for name in ("ahead", "not_yet_out", "out", "back", "passed"))
    return MonthRow(
        size=size,
        short=max(counts.get("open", 0) - there, 0),
        **{name: counts.get(name, 0) for name in ("asked", "planned", "out", "back", "passed", "delivered")},
    )


def _figures(month: date) -> dict[str, tuple[QuerySet[Any], Sum | Count]]:
    """Which rows make each figure, and what of them is added up.

    Planned are the gowns of the month's batches; ahead are those of every batch that is not yet made into kits.
    """
    asked = RequestLine.objects.exclude(request__state=WardRequest.State.WITHDRAWN)
    in_month = asked.filter(request__month=month)
    still_open = asked.filter(request__state=WardRequest.State.OPEN, met_count__lt=F("gown_count"))
    without_kits = [Batch.State.PROPOSED, Batch.State.PLANNED]
    still_to_come = Sum(F("gown_count") - F("returned_count"))
    gowns, count = Sum("gown_count"), Count("pk")
    return {
        "asked": (in_month, gowns),
        "delivered": (in_month, Sum("met_count")),
        "open": (still_open, Sum(F("gown_count") - F("met_count"))),
        "planned": (BatchLine.objects.filter(batch__month=month), gowns),
        "ahead": (BatchLine.objects.filter(batch__state__in=without_kits), gowns),
        "out": (Kit.objects.filter(state=Kit.State.CLAIMED), still_to_come),
        "not_yet_out": (Kit.objects.filter(state__in=NOT_YET_OUT), still_to_come),
        "back": (Gown.objects.filter(state__in=IN_CHECK), count),
        "passed": (Gown.objects.filter(state=Gown.State.PASSED), count),
    }


def _by_size(name: str, rows: QuerySet[Any], total: Sum | Count) -> QuerySet[Any]:
    """A row for each size: the figure's name, the size's number, and the sum."""
    named = rows.order_by().annotate(_figure=Value(name)).values("_figure", "size_id")
    summed: QuerySet[Any] = named.annotate(_total=total).values_list("_figure", "size_id", "_total")
    return summed


def batches_of(month: date) -> QuerySet[Batch]:
    """The batches of a month, the first at the top."""
    return Batch.objects.filter(month=month).order_by("number")


def paused_wards(*, today: date) -> QuerySet[Ward]:
    """Wards that want no deliveries for now, the one that opens again first at the top."""
    paused = Ward.objects.filter(is_active=True, paused_until__gte=today)
    return paused.select_related("hospital").order_by("paused_until")
