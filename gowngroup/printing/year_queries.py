"""Reads for thanks and for looking back: everything is added up in the database, a fixed number of queries a year."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, tzinfo
from typing import Any

from django.db.models import Case, Count, F, IntegerField, OuterRef, Q, QuerySet, Subquery, Sum, Value, When

from gowngroup.batches.models import Kit, KitReturn, Lay, Stage
from gowngroup.catalog.models import Purpose
from gowngroup.deliveries.models import DropOff, DropOffGown
from gowngroup.gowns.models import Gown, GownCheck
from gowngroup.people.models import Group, Person
from gowngroup.records.models import TrailLine
from gowngroup.stock.models import Donor, LedgerLine, Lot
from gowngroup.wards.models import RequestLine, WardRequest

Rows = Iterable[Mapping[str, Any]]
Kind = LedgerLine.Kind
FIRST_YEAR = 2000
FINISHING_STAGES = (Stage.WHOLE, Stage.MAKE_UP)
LEFT_STATES = (DropOff.State.ON_THE_WAY, DropOff.State.RECEIVED)
SIZE_FIELDS = ("body_length_um", "lower_mass_g", "upper_mass_g")
# A package opened later is no second gift.
GIVEN_AS_IT_IS = Q(opened_from__isnull=True) | ~Q(opened_from__donor=F("donor"))
FOR_GOWNS = Q(ledger__reference__startswith="lay ") | Q(ledger__reference__startswith="kit ")


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """Days from the first to before the last, and the moments at which they begin where the group lives."""

    first: date
    after: date
    zone: tzinfo

    @classmethod
    def of_year(cls, year: int, zone: tzinfo) -> "Span":
        """A calendar year."""
        return cls(first=date(year, 1, 1), after=date(year + 1, 1, 1), zone=zone)

    @property
    def year(self) -> int:
        return self.first.year

    @property
    def months(self) -> tuple[date, ...]:
        """The months of the year the span begins in."""
        return tuple(date(self.first.year, month, 1) for month in range(1, 13))

    def has(self, field: str) -> Q:
        """Does a moment lie within the span?"""
        return Q(**{f"{field}__gte": self._moment(self.first), f"{field}__lt": self._moment(self.after)})

    def has_day(self, field: str) -> Q:
        """Does a day lie within the span?"""
        return Q(**{f"{field}__gte": self.first, f"{field}__lt": self.after})

    def month_of(self, field: str) -> Case:
        """The number of the month of the year a moment lies in, 0 outside; compared as it is stored, so it is quick."""
        ends = [self._moment(month) for month in (*self.months[1:], self.after)]
        months = [
            When(**{f"{field}__lt": end}, then=Value(number)) for number, end in enumerate(ends, start=1)
        ]
        before = When(**{f"{field}__lt": self._moment(self.first)}, then=Value(0))
        return Case(before, *months, default=Value(0), output_field=IntegerField())

    def holds(self, moment: datetime) -> bool:
        """Does a moment lie within the span?"""
        return self.first <= moment.astimezone(self.zone).date() < self.after

    def _moment(self, day: date) -> datetime:
        return datetime(day.year, day.month, day.day, tzinfo=self.zone)


def first_year() -> int | None:
    """The first year anything was asked for, given or made in."""
    asked_at = WardRequest.objects.order_by("month").values("month")[:1]
    given_on = Lot.objects.order_by("received_on").values("received_on")[:1]
    made_at = Gown.objects.order_by("received_at").values("received_at")[:1]
    firsts = Group.objects.values_list(Subquery(asked_at), Subquery(given_on), Subquery(made_at)).first()
    return min((day.year for day in firsts or () if day), default=None)


def year_counts(span: Span) -> dict[str, int]:
    """The year in a few numbers: gowns to wear asked for, met and sent, minutes told, gifts, and all that moved."""
    lines = RequestLine.objects.filter(span.has_day("request__month")).exclude(
        request__state=WardRequest.State.WITHDRAWN
    )
    worn = Q(purpose=Purpose.WORN)
    sent = DropOffGown.objects.filter(
        span.has("drop_off__left_at"), is_removed=False, drop_off__state__in=LEFT_STATES
    )
    found: dict[str, Any] = {
        **lines.aggregate(
            asked=Sum("gown_count", filter=worn), met=Sum("met_count", filter=worn), lines=Count("pk")
        ),
        **sent.aggregate(sent=Count("pk", filter=Q(gown__purpose=Purpose.WORN)), boxed=Count("pk")),
        **KitReturn.objects.filter(span.has("returned_at")).aggregate(
            minutes=Sum("duration_min"), returns=Count("pk")
        ),
        "gowns": Gown.objects.filter(span.has("received_at")).count(),
        "movements": int(LedgerLine.objects.filter(span.has("at")).exists()),
        "donors": donors_of(span).count(),
    }
    return {name: number or 0 for name, number in found.items()}


def thanked(span: Span) -> QuerySet[Person]:
    """Everybody there is a letter for, by name."""
    return Person.objects.filter(
        Q(pk__in=_returns(span).values("person_id"))
        | Q(pk__in=_drives(span).values("driver_id"))
        | Q(pk__in=_checks(span).values("by_id"))
    ).order_by("name", "pk")


def asked(span: Span) -> Rows:
    """Gowns asked for and met, by ward, size and purpose, of the requests of these months."""
    lines = RequestLine.objects.filter(span.has_day("request__month")).exclude(
        request__state=WardRequest.State.WITHDRAWN
    )
    ward = ("request__ward_id", "request__ward__name", "request__ward__hospital__name")
    found: Rows = (
        lines.order_by()
        .values(*ward, "purpose", *(f"size__{name}" for name in SIZE_FIELDS))
        .annotate(asked=Sum("gown_count"), met=Sum("met_count"))
    )
    return found


def gowns_made(span: Span) -> Rows:
    """Gowns that came in or passed, by both months, state, purpose and whether a kit was behind them."""
    return (
        Gown.objects.filter(span.has("received_at") | span.has("passed_at"))
        .order_by()
        .values(
            "state",
            "purpose",
            received_month=span.month_of("received_at"),
            passed_month=span.month_of("passed_at"),
            has_kit=Q(kit_return__isnull=False),
        )
        .annotate(gowns=Count("pk"))
    )


def delivered(span: Span) -> Rows:
    """Gowns that left for the wards, by drop-off, request and purpose.

    Beside what left in the span, also what left before or after it for a request of the span.
    """
    # By numbers, so that the database looks these up and does not walk through the gowns of every year.
    driven = DropOff.objects.filter(span.has("left_at")).values("pk")
    asked_for = RequestLine.objects.filter(span.has_day("request__month")).values("pk")
    rows = DropOffGown.objects.filter(
        Q(drop_off__in=driven) | Q(request_line__in=asked_for),
        is_removed=False,
        drop_off__state__in=LEFT_STATES,
    )
    return (
        rows.order_by()
        .values(
            "drop_off_id",
            "drop_off__ward_id",
            "drop_off__left_at",
            "request_line__request__received_at",
            "request_line__request__month",
            "request_line__request__state",
            "gown__purpose",
        )
        .annotate(gowns=Count("pk"))
    )


def check_reasons(span: Span) -> Rows:
    """Why gowns to wear that came in did not pass a check at once, by outcome and reason."""
    checks = GownCheck.objects.filter(span.has("gown__received_at"), gown__purpose=Purpose.WORN)
    return (
        checks.exclude(outcome=GownCheck.Outcome.PASS)
        .order_by()
        .values("outcome", "reason")
        .annotate(checks=Count("pk"))
    )


def cloth_cut(span: Span) -> Rows:
    """The length planned and the length really cut, by cloth, of lays cut in the span."""
    lays = Lay.objects.filter(span.has("cut_at"))
    return (
        lays.order_by()
        .values("lot__material__name", "lot__material__shade")
        .annotate(lays=Count("pk"), planned_um=Sum("length_um"), cut_um=Sum("cut_length_um"))
    )


def brought_back(span: Span) -> Rows:
    """What came back from kits, by month: times, gowns made, and the time told."""
    return (
        KitReturn.objects.filter(span.has("returned_at"))
        .order_by()
        .values(month=span.month_of("returned_at"))
        .annotate(
            times=Count("pk"),
            times_told=Count("duration_min"),
            gowns_back=Sum("gown_count", filter=Q(kit__stage__in=FINISHING_STAGES)),
            minutes=Sum("duration_min"),
        )
    )


def people_back(span: Span) -> int:
    """How many people brought something back."""
    returns = KitReturn.objects.filter(span.has("returned_at"), person__isnull=False)
    return returns.order_by().values("person_id").distinct().count()


def _moved(condition: Q) -> Sum:
    return Sum("ledger__on_hand_change", filter=condition)


def lots_given(span: Span) -> QuerySet[Lot, Any]:
    """Lots somebody gave in the span, each with what came of it so far and the gowns made of its cloth."""
    issue = Q(ledger__kind=Kind.ISSUE)
    made = Gown.objects.filter(outer_lot=OuterRef("pk")).order_by().values("outer_lot")
    lots = Lot.objects.filter(span.has_day("received_on"), donor__isnull=False)
    return (
        lots.order_by()
        .values(
            "pk", "donor_id", "donor__name", "material__kind", "material__is_counted", "opened_from__donor_id",
            "on_hand_amount",
        )
        .annotate(
            given=_moved(Q(ledger__kind__in=[Kind.RECEIVE, Kind.OPEN])),
            used=_moved((issue & FOR_GOWNS) | Q(ledger__kind=Kind.RETURN)),
            other=_moved(issue & ~FOR_GOWNS),
            counted=_moved(Q(ledger__kind=Kind.STOCKTAKE)),
        )
        .annotate(
            gowns_made=Subquery(made.annotate(n=Count("pk")).values("n")),
            gowns_left=Subquery(made.filter(state=Gown.State.LEFT).annotate(n=Count("pk")).values("n")),
        )
    )  # fmt: skip


def moved(span: Span) -> Rows:
    """What came onto the shelf and went off it in the span, by kind of material."""
    lay, kit = Q(reference__startswith="lay "), Q(reference__startswith="kit ")
    issue = Q(kind=Kind.ISSUE)
    return (
        LedgerLine.objects.filter(span.has("at"))
        .exclude(kind__in=[Kind.RESERVE, Kind.RELEASE])
        .order_by()
        .values("lot__material__kind", "lot__material__is_counted")
        .annotate(
            received=Sum("on_hand_change", filter=Q(kind=Kind.RECEIVE)),
            cut=Sum("on_hand_change", filter=issue & lay),
            packed=Sum("on_hand_change", filter=issue & kit),
            taken=Sum("on_hand_change", filter=issue & ~lay & ~kit),
            put_back=Sum("on_hand_change", filter=Q(kind=Kind.RETURN)),
            counted=Sum("on_hand_change", filter=Q(kind=Kind.STOCKTAKE)),
        )
    )


def kits_ended(span: Span) -> Rows:
    """Kits of gowns to wear that were lost or written off, and the gowns that did not come of them."""
    ending = TrailLine.objects.filter(
        subject_type=Kit._meta.label_lower, subject_id=OuterRef("pk"), did__in=["lose_kit", "write_off_kit"]
    )
    kits = Kit.objects.filter(
        state__in=[Kit.State.LOST, Kit.State.WRITTEN_OFF], purpose=Purpose.WORN
    ).annotate(ended_at=Subquery(ending.order_by("-at").values("at")[:1]))
    return (
        kits.filter(span.has("ended_at"))
        .order_by()
        .values("state")
        .annotate(kits=Count("pk"), gowns_lost=Sum(F("gown_count") - F("returned_count")))
    )


def differences(span: Span) -> Iterable[list[dict[str, Any]]]:
    """What wards found otherwise than written, a list for each drop-off that had any."""
    rows = DropOff.objects.filter(span.has("left_at"), state=DropOff.State.RECEIVED)
    return rows.exclude(differences=[]).values_list("differences", flat=True)


def _returns(span: Span) -> QuerySet[KitReturn]:
    rows = KitReturn.objects.filter(span.has("returned_at"), person__isnull=False, person__erased_at=None)
    return rows.order_by()


def _drives(span: Span) -> QuerySet[DropOff]:
    rows = DropOff.objects.filter(span.has("left_at"), driver__isnull=False, driver__erased_at=None)
    return rows.filter(state__in=LEFT_STATES).order_by()


def _checks(span: Span) -> QuerySet[GownCheck]:
    return GownCheck.objects.filter(span.has("at"), by__erased_at=None).order_by()


def returns_of(span: Span, people: Iterable[int]) -> Rows:
    """Each coming back of a kit from these people, oldest first."""
    rows = _returns(span).filter(person__in=people)
    return rows.order_by("returned_at", "pk").values(
        "person_id", "kit_id", "kit__stage", "gown_count", "duration_min", "returned_at"
    )


def drives_of(span: Span, people: Iterable[int]) -> dict[int, int]:
    """How many drop-offs each of these people drove."""
    rows = _drives(span).filter(driver__in=people)
    return dict(rows.values_list("driver_id").annotate(Count("pk")))


def checks_of(span: Span, people: Iterable[int]) -> dict[int, int]:
    """How many gowns each of these people checked."""
    rows = _checks(span).filter(by__in=people)
    return dict(rows.values_list("by_id").annotate(Count("gown", distinct=True)))


def gifts_of(span: Span, donors: Iterable[int]) -> QuerySet[Lot]:
    """Lots as these donors gave them, not those opened from another of the same donor, with the amount that came in."""
    came_in = LedgerLine.objects.filter(
        Q(kind=Kind.RECEIVE) | Q(kind=Kind.OPEN, on_hand_change__gt=0), lot=OuterRef("pk")
    )
    total = came_in.order_by().values("lot").annotate(total=Sum("on_hand_change")).values("total")
    return (
        Lot.objects.filter(GIVEN_AS_IT_IS, span.has_day("received_on"), donor__in=donors)
        .select_related("material", "donor")
        .annotate(came_in=Subquery(total))
        .order_by("donor_id", "received_on", "material__kind", "material__name", "pk")
    )


def donors_of(span: Span) -> QuerySet[Donor]:
    """Who gave something in the span, by name."""
    gave = Lot.objects.filter(span.has_day("received_on"), donor__isnull=False)
    return Donor.objects.filter(erased_at=None, pk__in=gave.order_by().values("donor_id")).order_by(
        "name", "pk"
    )


def days_given(donor: Donor) -> list[date]:
    """The days on which a donor gave something, newest first."""
    lots = donor.lots.filter(GIVEN_AS_IT_IS)
    return list(lots.order_by("-received_on").values_list("received_on", flat=True).distinct())
