"""What is somebody's own: her drives, her kits, what became of her gowns."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from django.db.models import Count, Exists, Max, OuterRef, Prefetch, Q, QuerySet

from gowngroup.batches.models import Call, Claim, HandOver, RowDone
from gowngroup.batches.queries.claims import kits_at_home
from gowngroup.deliveries.models import DropOff
from gowngroup.gowns.models import Gown
from gowngroup.people.models import Person

OPEN_DROP_OFFS = (DropOff.State.ON_THE_WAY, DropOff.State.PACKING)
HAND_OVERS_SHOWN = 3
LATELY = timedelta(days=60)


@dataclass(frozen=True, slots=True, kw_only=True)
class Thanks:
    """Gowns of a person: all that came back, those with a ward by now, and when the last of them left."""

    gowns_made: int
    gowns_left: int
    last_left_at: datetime | None


def drop_offs_of(person: Person) -> QuerySet[Any]:
    """The drives somebody has before her: those on the way first, then the next day, with gowns and boxes of each."""
    kept = Q(gown_rows__is_removed=False)
    mine = DropOff.objects.filter(driver=person, state__in=OPEN_DROP_OFFS).select_related("ward__hospital")
    return mine.annotate(
        gown_count=Count("gown_rows", filter=kept),
        box_count=Count("gown_rows__box_number", filter=kept, distinct=True),
    ).order_by("state", "-is_urgent", "planned_on", "pk")


def kits_of(person: Person) -> QuerySet[Any]:
    """The kits a person has at home, each with whether she has finished it, has begun its chart, and what she has asked."""
    finished = Claim.objects.filter(kit=OuterRef("pk"), ended_at__isnull=True, finish__isnull=False)
    asked = Call.objects.filter(person=person, answered_at__isnull=True)
    begun = RowDone.objects.filter(claim__kit=OuterRef("pk"), claim__ended_at__isnull=True)
    kits = kits_at_home(person).annotate(is_finished=Exists(finished), has_rows_done=Exists(begun))
    whole = kits.select_related("design_revision__design", "size", "lay", "outer_lot__material")
    return whole.prefetch_related(Prefetch("calls", queryset=asked, to_attr="open_calls"))


def hand_overs_from(person: Person, *, now: datetime) -> QuerySet[HandOver]:
    """What she has done a stage of and somebody took on lately, the last first."""
    taken = HandOver.objects.filter(from_person=person, taken_at__gte=now - LATELY)
    return taken.select_related("kit__design_revision__design").order_by("-taken_at", "-pk")[
        :HAND_OVERS_SHOWN
    ]


def thanks_to(person: Person) -> Thanks:
    """What became of the gowns she brought back; how many, and never against anybody else's."""
    hers = Gown.objects.filter(kit_return__person=person)
    left = Q(state=Gown.State.LEFT)
    found = hers.aggregate(
        made=Count("pk", distinct=True),
        left=Count("pk", filter=left, distinct=True),
        last=Max("drop_off_rows__drop_off__left_at", filter=left & Q(drop_off_rows__is_removed=False)),
    )
    return Thanks(gowns_made=found["made"], gowns_left=found["left"], last_left_at=found["last"])
