"""What the first page shows, read across the rooms in a fixed number of queries."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.db.models import Count, F, Q, QuerySet, Sum

from gowngroup.batches.models import Batch, BatchLine, Kit
from gowngroup.batches.planner.supplies import GownKind, GownsThere, counts_by_kind
from gowngroup.batches.queries.claims import kits_out
from gowngroup.batches.queries.kits import lays_to_cut
from gowngroup.catalog.models import Size
from gowngroup.deliveries.models import DropOff, DropOffGown
from gowngroup.gowns.models import Gown
from gowngroup.gowns.queries import UNKNOWN_WASH_C
from gowngroup.people.models import Person
from gowngroup.people.queries import join_requests
from gowngroup.planning.mix import Judged
from gowngroup.wards.models import RequestLine, Ward, WardRequest

IN_CHECK = (Gown.State.BACK, Gown.State.MENDING, Gown.State.TO_WASH, Gown.State.WASHED)
NOT_YET_OUT = (Kit.State.PLANNED, Kit.State.CUT, Kit.State.PACKED, Kit.State.WAITING)
PASSED = (Gown.State.PASSED, Gown.State.LEFT)
ENDED = (*PASSED, Gown.State.SET_ASIDE, Gown.State.PRACTICE)
OPEN_DROP_OFFS = (DropOff.State.PACKING, DropOff.State.ON_THE_WAY)


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """How much waits at each table."""

    urgent_requests: int
    open_requests: int
    lays_to_cut: int
    kits_to_pack: int
    kits_to_offer: int
    kits_late: int
    gowns_to_check_first: int
    gowns_mending: int
    gowns_to_wash: int
    gowns_to_check_second: int
    drop_offs_to_pack: int
    people_asking: int


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


def work(*, today: date) -> Work:
    """What waits to be done, counted in six queries."""
    kits = Kit.objects.aggregate(
        to_pack=Count("pk", filter=Q(state=Kit.State.CUT)),
        to_offer=Count("pk", filter=Q(state=Kit.State.PACKED)),
    )
    requests = WardRequest.objects.filter(state=WardRequest.State.OPEN).aggregate(
        urgent=Count("pk", filter=Q(is_urgent=True)), usual=Count("pk", filter=Q(is_urgent=False))
    )
    gowns = dict(Gown.objects.order_by().values_list("state").annotate(Count("pk")))
    return Work(
        urgent_requests=requests["urgent"],
        open_requests=requests["usual"],
        lays_to_cut=lays_to_cut().count(),
        kits_to_pack=kits["to_pack"],
        kits_to_offer=kits["to_offer"],
        kits_late=kits_out(today=today).count(),
        gowns_to_check_first=gowns.get(Gown.State.BACK, 0),
        gowns_mending=gowns.get(Gown.State.MENDING, 0),
        gowns_to_wash=gowns.get(Gown.State.TO_WASH, 0),
        gowns_to_check_second=gowns.get(Gown.State.WASHED, 0),
        drop_offs_to_pack=DropOff.objects.filter(state=DropOff.State.PACKING).count(),
        people_asking=join_requests().count(),
    )


def month_rows(*, month: date) -> list[MonthRow]:
    """The sizes anything is asked, made or kept in, the smallest first; five queries."""
    counts = [_asked(month), _planned(month), _kits(), _gowns()]
    return [
        _month_row(size, {name: n for table in counts for name, n in table.get(size.pk, {}).items()})
        for size in Size.objects.all()
        if any(any(table.get(size.pk, {}).values()) for table in counts)
    ]


def _month_row(size: Size, counts: Mapping[str, int]) -> MonthRow:
    there = sum(counts.get(name, 0) for name in ("ahead", "not_yet_out", "out", "back", "passed"))
    return MonthRow(
        size=size,
        short=max(counts.get("open", 0) - there, 0),
        **{name: counts.get(name, 0) for name in ("asked", "planned", "out", "back", "passed", "delivered")},
    )


def _by_size(
    rows: QuerySet[RequestLine] | QuerySet[BatchLine] | QuerySet[Kit] | QuerySet[Gown], **sums: Sum | Count
) -> dict[int, dict[str, int]]:
    found: Iterable[Mapping[str, Any]] = rows.order_by().values("size_id").annotate(**sums)
    return {row["size_id"]: {name: row[name] or 0 for name in sums} for row in found}


def _asked(month: date) -> dict[int, dict[str, int]]:
    in_month = Q(request__month=month)
    return _by_size(
        RequestLine.objects.exclude(request__state=WardRequest.State.WITHDRAWN),
        asked=Sum("gown_count", filter=in_month),
        delivered=Sum("met_count", filter=in_month),
        open=Sum(
            F("gown_count") - F("met_count"),
            filter=Q(request__state=WardRequest.State.OPEN, met_count__lt=F("gown_count")),
        ),
    )


def _planned(month: date) -> dict[int, dict[str, int]]:
    """Gowns of the month's batches, and of every batch that is not yet made into kits."""
    without_kits = Q(batch__state__in=[Batch.State.PROPOSED, Batch.State.PLANNED])
    return _by_size(
        BatchLine.objects.all(),
        planned=Sum("gown_count", filter=Q(batch__month=month)),
        ahead=Sum("gown_count", filter=without_kits),
    )


def _kits() -> dict[int, dict[str, int]]:
    still = F("gown_count") - F("returned_count")
    return _by_size(
        Kit.objects.all(),
        out=Sum(still, filter=Q(state=Kit.State.CLAIMED)),
        not_yet_out=Sum(still, filter=Q(state__in=NOT_YET_OUT)),
    )


def _gowns() -> dict[int, dict[str, int]]:
    return _by_size(
        Gown.objects.all(),
        back=Count("pk", filter=Q(state__in=IN_CHECK)),
        passed=Count("pk", filter=Q(state=Gown.State.PASSED)),
    )


def gowns_there(*, month: date) -> GownsThere:
    """What serves a proposal for a month beside new gowns: those passed, those in check, and how many usually pass.

    A gown packed for a request still counts, since its request stays open until it is delivered; one packed
    without a request does not. Gowns of matched sets are never given singly.
    """
    singly = Gown.objects.filter(matched_set__isnull=True)
    spoken_for = DropOffGown.objects.filter(is_removed=False, request_line__isnull=True)
    passed = singly.filter(state=Gown.State.PASSED).exclude(pk__in=spoken_for.values("gown_id"))
    return GownsThere(
        passed=_by_kind(passed),
        in_check=_by_kind(singly.filter(state__in=IN_CHECK)),
        judged=_judged(month),
    )


def _by_kind(gowns: QuerySet[Gown]) -> dict[GownKind, int]:
    kind = ("size_id", "purpose", "design_revision__closure", "outer_lot__material_id")
    rows = gowns.order_by().values_list(*kind).annotate(total=Count("pk"))
    return counts_by_kind(rows, unknown_wash_c=UNKNOWN_WASH_C)


def _judged(month: date) -> dict[int, Judged]:
    """Gowns of the last year whose checks have come to an end, by size id."""
    ended = Gown.objects.filter(received_at__date__gte=month.replace(year=month.year - 1), state__in=ENDED)
    rows = (
        ended.order_by()
        .values_list("size_id")
        .annotate(passed=Count("pk", filter=Q(state__in=PASSED)), judged=Count("pk"))
    )
    return {size_id: Judged(passed_count=passed, judged_count=judged) for size_id, passed, judged in rows}


def batches_of(month: date) -> QuerySet[Batch]:
    """The batches of a month, the first at the top."""
    return Batch.objects.filter(month=month).order_by("number")


def paused_wards(*, today: date) -> QuerySet[Ward]:
    """Wards that want no deliveries for now, the one that opens again first at the top."""
    paused = Ward.objects.filter(is_active=True, paused_until__gte=today)
    return paused.select_related("hospital").order_by("paused_until")


def drop_offs_of(person: Person) -> QuerySet[DropOff]:
    """The drop-offs a driver has before her, the next day first, with how many gowns each takes."""
    gown_count = Count("gown_rows", filter=Q(gown_rows__is_removed=False))
    mine = DropOff.objects.filter(driver=person, state__in=OPEN_DROP_OFFS)
    return (
        mine.select_related("ward__hospital")
        .annotate(gown_count=gown_count)
        .order_by("-is_urgent", "planned_on", "pk")
    )
