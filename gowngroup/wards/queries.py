"""Reads about wards: who accepts what, and what is asked for and still open."""

from collections.abc import Iterable
from datetime import date

from django.db.models import Count, F, Min, OuterRef, Prefetch, Q, QuerySet, Subquery, Sum
from django.db.models.functions import Coalesce
from django.http import Http404
from django.utils.translation import gettext as _

from gowngroup.catalog.models import DesignRevision, Purpose, Size
from gowngroup.planning.shades import avoided_word
from gowngroup.records.written import written_date
from gowngroup.wards.models import Hospital, RequestLine, ShelfLevel, Ward, WardRequest


def hospitals() -> QuerySet[Hospital]:
    """Hospitals with their wards."""
    return Hospital.objects.prefetch_related("wards")


def wards(*, search: str = "", are_active: bool = True) -> QuerySet[Ward]:
    """Wards by hospital, those being served or those no longer served."""
    found = Ward.objects.filter(is_active=are_active).select_related("hospital").prefetch_related("sizes")
    if search:
        found = found.filter(Q(name__icontains=search) | Q(hospital__name__icontains=search))
    return found


def ward_by_id(pk: int) -> Ward:
    """A ward with its hospital and sizes; Http404 where there is none."""
    ward = Ward.objects.select_related("hospital").prefetch_related("sizes").filter(pk=pk).first()
    if ward is None:
        raise Http404
    return ward


def hospital_by_id(pk: int) -> Hospital:
    """A hospital; Http404 where there is none."""
    hospital = Hospital.objects.filter(pk=pk).first()
    if hospital is None:
        raise Http404
    return hospital


def request_by_id(pk: int) -> WardRequest:
    """A request with its ward and lines; Http404 where there is none."""
    found = (
        WardRequest.objects.select_related("ward__hospital")
        .prefetch_related(Prefetch("lines", RequestLine.objects.select_related("size")))
        .filter(pk=pk)
        .first()
    )
    if found is None:
        raise Http404
    return found


def requests(*, month: date | None = None, search: str = "", state: str = "") -> QuerySet[WardRequest]:
    """Requests, newest month first, with the gowns asked for and met; urgent ones come first."""
    found = WardRequest.objects.select_related("ward__hospital").annotate(
        asked_count=Coalesce(_of_lines(Sum("gown_count")), 0),
        met_count=Coalesce(_of_lines(Sum("met_count")), 0),
        set_count=Coalesce(_of_lines(Count("set_number", distinct=True)), 0),
    )
    if month is not None:
        found = found.filter(month=month)
    if state:
        found = found.filter(state=state)
    if search:
        found = found.filter(Q(ward__name__icontains=search) | Q(ward__hospital__name__icontains=search))
    return found.order_by("-month", "-is_urgent", "ward__hospital__name", "ward__name", "pk")


def _of_lines(total: Sum | Count) -> Subquery:
    """Something added up of the lines of a request."""
    lines = RequestLine.objects.filter(request=OuterRef("pk")).order_by().values("request")
    return Subquery(lines.annotate(_total=total).values("_total"))


def months_asked_for() -> list[date]:
    """The months there are requests for, the newest first."""
    return list(WardRequest.objects.order_by("-month").values_list("month", flat=True).distinct())


def first_month_open() -> date | None:
    """The earliest month with a request that is still open."""
    found = WardRequest.objects.filter(state=WardRequest.State.OPEN)
    return found.order_by("month").values_list("month", flat=True).first()


def open_request_lines(*, up_to_month: date) -> QuerySet[RequestLine]:
    """Lines not yet met of open requests up to a month, urgent ones first, then the oldest."""
    return (
        RequestLine.objects.filter(
            request__state=WardRequest.State.OPEN,
            request__month__lte=up_to_month,
            met_count__lt=F("gown_count"),
        )
        .select_related("request__ward__hospital", "size")
        .order_by("-request__is_urgent", "request__month", "request__received_at", "pk")
    )


def usual_counts(ward: Ward, *, before: date) -> list[int]:
    """Gowns to wear the ward asked for in its last three months' requests."""
    sums = (
        ward.requests.filter(month__lt=before, is_urgent=False)
        .exclude(state=WardRequest.State.WITHDRAWN)
        .annotate(count=Sum("lines__gown_count", filter=Q(lines__purpose="worn")))
        .order_by("-month")
        .values_list("count", flat=True)[:3]
    )
    return [count for count in sums if count]


def monthly_means(*, before: date, month_count: int = 12) -> dict[int, float]:
    """Gowns to wear of each size, by its id, asked for in a usual month of the last twelve, or of those there were."""
    since = _months_before(before, month_count)
    asked = RequestLine.objects.filter(
        request__month__gte=since, request__month__lt=before, purpose=Purpose.WORN
    ).exclude(request__state=WardRequest.State.WITHDRAWN)
    first = asked.aggregate(first=Min("request__month"))["first"]
    if first is None:
        return {}
    months = (before.year - first.year) * 12 + before.month - first.month
    rows = asked.order_by().values_list("size_id").annotate(total=Sum("gown_count"))
    return {size_id: total / months for size_id, total in rows}


def _months_before(month: date, count: int) -> date:
    number = month.year * 12 + month.month - 1 - count
    return month.replace(year=number // 12, month=number % 12 + 1)


def shelf_levels(ward: Ward) -> QuerySet[ShelfLevel]:
    """The agreed shelf of a ward, smallest size first."""
    return ward.shelf_levels.select_related("size").order_by("size__upper_mass_g")


def low_shelf_levels() -> QuerySet[ShelfLevel]:
    """Shelves of wards being served that lie below what was agreed."""
    return (
        ShelfLevel.objects.filter(present_count__lt=F("minimum_count"), ward__is_active=True)
        .select_related("ward__hospital", "size")
        .order_by("ward", "size__upper_mass_g")
    )


def wards_short_at_hand(*, on: date) -> QuerySet[Ward]:
    """Wards that take deliveries on a day and have fewer gowns on their own shelf than was agreed."""
    low = ShelfLevel.objects.filter(present_count__lt=F("minimum_count")).values("ward_id")
    return Ward.objects.filter(pk__in=low, is_active=True).exclude(paused_until__gte=on)


def is_paused(ward: Ward, *, on: date) -> bool:
    """Does the ward take no deliveries on a day?"""
    return ward.paused_until is not None and ward.paused_until >= on


def ward_blocks(
    ward: Ward, *, size: Size, closure: str, wash_max_c: int, shade: str, on: date
) -> tuple[str, ...]:
    """Why a gown, its cloth called by `shade`, may not go to a ward on a day, a sentence each; empty when it may."""
    blocks = [*open_blocks(ward, on), *size_blocks(ward, [size])]
    if closure not in ward.closures:
        blocks.append(
            _("%(ward)s does not accept this closure: %(closure)s.")
            % {"ward": ward, "closure": dict(DesignRevision.Closure.choices).get(closure, closure)}
        )
    if wash_max_c < ward.wash_c:
        blocks.append(
            _("%(ward)s washes at %(ward_c)d °C; this gown may be washed at %(gown_c)d °C at most.")
            % {"ward": ward, "ward_c": ward.wash_c, "gown_c": wash_max_c}
        )
    if avoided_word(shade, ward.avoided_shades):
        blocks.append(
            _("%(ward)s asks us to avoid such a shade: %(shade)s.") % {"ward": ward, "shade": shade}
        )
    return tuple(blocks)


def size_blocks(ward: Ward, sizes: Iterable[Size]) -> tuple[str, ...]:
    """A sentence for each size that is not on the ward's list."""
    listed = {size.pk for size in ward.sizes.all()}
    return tuple(
        _("%(size)s is not on the list of %(ward)s.") % {"size": size, "ward": ward}
        for size in sizes
        if size.pk not in listed
    )


def open_blocks(ward: Ward, on: date) -> list[str]:
    """Why a ward takes nothing on a day; empty when it does."""
    if not ward.is_active:
        return [_("%(ward)s is no longer served.") % {"ward": ward}]
    if is_paused(ward, on=on):
        return [pause_sentence(ward)]
    return []


def pause_sentence(ward: Ward) -> str:
    """That a ward has asked for no deliveries until a day."""
    return _("%(ward)s has asked for no deliveries until %(day)s.") % {
        "ward": ward,
        "day": written_date(ward.paused_until, "j F Y") if ward.paused_until else "",
    }
