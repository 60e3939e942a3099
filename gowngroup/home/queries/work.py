"""How much waits to be done, kind by kind: one query counts it all, however much there is."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from django.db.models import BooleanField, Case, Count, Exists, Min, OuterRef, Q, QuerySet, Value, When
from django.utils import timezone

from gowngroup.batches.models import Batch, Call, Kit, KitLine, Lay, Plan, SewingHelper
from gowngroup.batches.planner.asks import ENDED
from gowngroup.batches.queries.claims import kits_out, suiting_kits, waiting_kits
from gowngroup.batches.queries.kits import lays_to_cut, volunteers
from gowngroup.batches.queries.letters import people_to_tell
from gowngroup.catalog.models import DesignRevision, MaterialKind
from gowngroup.deliveries.models import DropOff, ReceiptFile
from gowngroup.gowns.models import Gown
from gowngroup.home.queries.month import IN_CHECK
from gowngroup.people.models import Group, Person
from gowngroup.people.queries import has_role, join_requests, people_who_left, unsent_letters
from gowngroup.records.models import Job
from gowngroup.stock.models import Lot, Material
from gowngroup.stock.queries import materials_that_ran_out
from gowngroup.wards.models import Ward, WardRequest
from gowngroup.wards.queries import wards_short_at_hand

Rows = QuerySet[Any]
LATELY = timedelta(days=60)


@dataclass(frozen=True, slots=True, kw_only=True)
class Waiting:
    """How much of one kind waits, and the number of the first of it."""

    count: int
    first: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Counted:
    """Rows to count, and what numbers the first of them."""

    rows: Callable[[Person, date], Rows]
    number: str = "pk"


def waiting(kinds: Iterable[str], *, person: Person, today: date) -> dict[str, Waiting]:
    """How much waits of each of these kinds for this person, in one query."""
    tables = [_counts(kind, COUNTED[kind], person, today) for kind in kinds]
    if not tables:
        return {}
    rows = tables[0].union(*tables[1:], all=True)
    return {kind: Waiting(count=count, first=first) for kind, count, first in rows}


def _counts(kind: str, counted: Counted, person: Person, today: date) -> Rows:
    """One row: the kind, how many there are, and the least number."""
    named = counted.rows(person, today).order_by().annotate(_kind=Value(kind)).values("_kind")
    found: Rows = named.annotate(_count=Count("pk"), _first=Min(counted.number)).values_list(
        "_kind", "_count", "_first"
    )
    return found


def gowns_by_stage() -> dict[str, tuple[int, date]]:
    """How many gowns are at each stage of checking, and the day the oldest of them came in."""
    rows = Gown.objects.filter(state__in=IN_CHECK).order_by().values_list("state")
    found = rows.annotate(Count("pk"), Min("received_at"))
    return {state: (count, timezone.localdate(oldest)) for state, count, oldest in found}


def _open_requests(*, is_urgent: bool) -> Rows:
    return WardRequest.objects.filter(state=WardRequest.State.OPEN, is_urgent=is_urgent)


def _calls(*kinds: str) -> Rows:
    return Call.objects.filter(kind__in=kinds, answered_at__isnull=True)


def _calls_for_help(person: Person) -> Rows:
    """Calls for help, where this person is one of those who answer them."""
    named = SewingHelper.objects.filter(person=person)
    return _calls(Call.Kind.HELP) if has_role(person) else _calls(Call.Kind.HELP).filter(Exists(named))


def _broken_off(kind: str) -> Rows:
    """Batches whose last job of this kind failed, or has not been heard of for too long."""
    job = Job.objects.filter(kind=kind)
    later = job.filter(subject_id=OuterRef("subject_id"), pk__gt=OuterRef("pk"))
    silent = Q(state=Job.State.RUNNING, beat_at__lt=timezone.now() - Job.LONGEST_SILENCE)
    last = job.filter(Q(state=Job.State.FAILED) | silent).exclude(Exists(later))
    return Batch.objects.exclude(state=Batch.State.CLOSED).filter(pk__in=last.values("subject_id"))


def _waiting_plans(*, is_short: bool) -> Rows:
    """The newest plan of each batch that is being planned, where nobody has committed one yet."""
    newer = Plan.objects.filter(batch=OuterRef("batch"), number__gt=OuterRef("number"))
    plans = Plan.objects.filter(batch__state=Batch.State.PLANNED).exclude(Exists(newer))
    short = Q(document__plan__unmade__0__isnull=False) | Q(document__plan__shortages__0__isnull=False)
    # Asked in this order, so that no database opens the documents of all plans there ever were.
    asked = Case(
        When(~Q(batch__state=Batch.State.PLANNED), then=None),
        When(short, then=True),
        default=False,
        output_field=BooleanField(),
    )
    return plans.annotate(is_short=asked).filter(is_short=is_short)


def _batches_done() -> Rows:
    """Batches under way of which no kit is left to be sewn and no lay to be cut."""
    kits = Kit.objects.filter(batch=OuterRef("pk"))
    left = Exists(kits.exclude(state__in=ENDED)) | Exists(lays_to_cut().filter(plan__batch=OuterRef("pk")))
    return Batch.objects.filter(Exists(kits), state=Batch.State.COMMITTED).exclude(left)


def _unsigned(today: date) -> Rows:
    return DropOff.objects.filter(state=DropOff.State.ON_THE_WAY, planned_on__lt=today)


def _not_on_file(today: date, *, has_differences: bool) -> Rows:
    """Receipts the ward signed lately that nobody has put on file."""
    received = DropOff.objects.filter(state=DropOff.State.RECEIVED, planned_on__gte=today - LATELY)
    filed = ReceiptFile.objects.filter(drop_off=OuterRef("pk"))
    return received.exclude(Exists(filed)).filter(
        ~Q(differences=[]) if has_differences else Q(differences=[])
    )


def _kits_lacking() -> Rows:
    """Kits to be packed that want something which was short when they were made."""
    lines = KitLine.objects.filter(lot__isnull=True).exclude(kind__in=("sheet", MaterialKind.CLOTH))
    return Kit.objects.filter(state=Kit.State.CUT, number__isnull=False, pk__in=lines.values("kit_id"))


def _lays(*, can_be_cut: bool) -> Rows:
    measured = Q(lot__state=Lot.State.MEASURED)
    lays = Lay.objects.filter(pk__in=lays_to_cut().order_by().values("pk"))
    return lays.filter(measured if can_be_cut else ~measured)


def _cloth(state: str) -> Rows:
    return Lot.objects.filter(on_hand_amount__gt=0, material__kind=MaterialKind.CLOTH, state=state)


def _finished_at_home() -> Rows:
    return Kit.objects.filter(claims__ended_at__isnull=True, claims__finish__isnull=False)


# Each kind of work, and the rows of it that wait on a day for a person.
COUNTED: dict[str, Counted] = {
    "urgent_requests": Counted(rows=lambda person, today: _open_requests(is_urgent=True)),
    "calls_for_help": Counted(rows=lambda person, today: _calls_for_help(person)),
    "calls_for_parts": Counted(rows=lambda person, today: _calls(Call.Kind.MISSING, Call.Kind.SPOILT)),
    "kits_to_post": Counted(rows=lambda person, today: _calls(Call.Kind.POST)),
    "letters_unsent": Counted(rows=lambda person, today: unsent_letters(at=timezone.now())),
    "plans_broken_off": Counted(rows=lambda person, today: _broken_off("plan_batch")),
    "prints_broken_off": Counted(rows=lambda person, today: _broken_off("print_sheets")),
    "drop_offs_unsigned": Counted(rows=lambda person, today: _unsigned(today)),
    "receipts_that_differ": Counted(rows=lambda person, today: _not_on_file(today, has_differences=True)),
    "people_to_tell": Counted(rows=lambda person, today: people_to_tell(today=today)),
    "people_asking": Counted(rows=lambda person, today: join_requests()),
    "people_left": Counted(rows=lambda person, today: people_who_left()),
    "kits_late": Counted(rows=lambda person, today: kits_out(today=today)),
    "low_shelves": Counted(rows=lambda person, today: wards_short_at_hand(on=today)),
    "plans_short": Counted(rows=lambda person, today: _waiting_plans(is_short=True)),
    "plans_to_commit": Counted(rows=lambda person, today: _waiting_plans(is_short=False)),
    "batches_proposed": Counted(rows=lambda person, today: Batch.objects.filter(state=Batch.State.PROPOSED)),
    "batches_done": Counted(rows=lambda person, today: _batches_done()),
    "open_requests": Counted(rows=lambda person, today: _open_requests(is_urgent=False)),
    "receipts_to_file": Counted(rows=lambda person, today: _not_on_file(today, has_differences=False)),
    "lays_to_cut": Counted(rows=lambda person, today: _lays(can_be_cut=True)),
    "lays_without_cloth": Counted(rows=lambda person, today: _lays(can_be_cut=False)),
    "kits_to_pack": Counted(rows=lambda person, today: Kit.objects.filter(state=Kit.State.CUT)),
    "kits_lacking": Counted(rows=lambda person, today: _kits_lacking(), number="lay__plan_id"),
    "kits_to_offer": Counted(rows=lambda person, today: Kit.objects.filter(state=Kit.State.PACKED)),
    "kits_kept": Counted(
        rows=lambda person, today: Kit.objects.filter(state=Kit.State.WAITING, kept_for__isnull=False)
    ),
    "kits_kept_for_her": Counted(rows=lambda person, today: waiting_kits(person).filter(kept_for=person)),
    "drop_offs_to_pack": Counted(
        rows=lambda person, today: DropOff.objects.filter(state=DropOff.State.PACKING)
    ),
    "cloth_to_wash": Counted(rows=lambda person, today: _cloth(Lot.State.AS_GIVEN)),
    "cloth_to_measure": Counted(rows=lambda person, today: _cloth(Lot.State.WASHED)),
    "materials_out": Counted(rows=lambda person, today: materials_that_ran_out()),
    "kits_finished": Counted(rows=lambda person, today: _finished_at_home()),
    "kits_waiting": Counted(rows=lambda person, today: waiting_kits(person)),
    "kits_that_suit": Counted(rows=lambda person, today: suiting_kits(person)),
    # What a group begins with.
    "group_told": Counted(
        rows=lambda person, today: Group.objects.exclude(telephone="", pick_up_place="", time_zone="UTC")
    ),
    "designs": Counted(rows=lambda person, today: DesignRevision.objects.all()),
    "wards": Counted(rows=lambda person, today: Ward.objects.filter(is_active=True)),
    "materials": Counted(rows=lambda person, today: Material.objects.all()),
    "volunteers": Counted(rows=lambda person, today: volunteers().exclude(pk=person.pk)),
}
