"""Whether the books of all rooms agree with themselves and with each other."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from django.db.models import Count, F, Q

from gowngroup.batches.models import Kit
from gowngroup.batches.queries.kits import kit_violations
from gowngroup.batches.queries.plans import plan_violations
from gowngroup.catalog.models import DesignRevision
from gowngroup.deliveries import queries as deliveries
from gowngroup.gowns import queries as gowns
from gowngroup.gowns.models import Gown
from gowngroup.home import stored_plans
from gowngroup.people.models import Person, PersonRole, Role
from gowngroup.records.audits import brought_along
from gowngroup.records.codes import is_code
from gowngroup.records.models import Counter
from gowngroup.stock import queries as stock
from gowngroup.stock.models import LedgerLine, Lot
from gowngroup.wards.models import WardRequest


@dataclass(frozen=True, slots=True, kw_only=True)
class Violation:
    """One thing that does not add up, and the room whose books hold it."""

    room: str
    sentence: str


def violations() -> list[Violation]:
    """Everything that does not add up, room by room; empty when all is well."""
    return [
        Violation(room=room, sentence=each) for room, check in (*CHECKS, *brought_along()) for each in check()
    ]


def _records() -> Iterator[str]:
    """Codes were given by their counter, and read as they were printed."""
    for prefix, codes in (("K", _codes(Kit)), ("G", _codes(Gown))):
        given = Counter.objects.filter(name=f"code-{prefix}").values_list("value", flat=True).first() or 0
        if len(codes) > given:
            yield f"{len(codes)} codes begin with {prefix}, the counter has given {given}"
        for code in codes:
            if not is_code(code):
                yield f"{code} is no code: its check character does not fit"


def _codes(model: type[Kit | Gown]) -> list[str]:
    return list(model._default_manager.order_by("pk").values_list("code", flat=True))


def _people() -> Iterator[str]:
    """Somebody can run the group, and whoever left holds nothing."""
    active = PersonRole.objects.filter(role=Role.COORDINATOR, person__is_active=True)
    if Person.objects.exists() and not active.exists():
        yield "nobody is coordinator"
    for person in Person.objects.filter(is_active=False, kits_held__isnull=False).distinct():
        yield f"person {person.pk} has left and still holds kits"
    for person in Person.objects.filter(role_rows__isnull=True, erased_at=None):
        yield f"person {person.pk} has no role"


def _catalog() -> Iterator[str]:
    """A design that a kit or gown was made of is frozen, and is made in its size for its purpose."""
    used = Q(pk__in=Kit.objects.values("design_revision")) | Q(pk__in=Gown.objects.values("design_revision"))
    for revision in DesignRevision.objects.filter(used, used_at__isnull=True):
        yield f"design revision {revision.pk} was used and is not frozen"
    for kit in Kit.objects.exclude(design_revision__sizes__size=F("size")):
        yield f"kit {kit.code}: its design is not made in its size"


def _wards() -> Iterator[str]:
    """A request is met when each of its lines is, and not before."""
    unmet = Count("lines", filter=Q(lines__met_count__lt=F("lines__gown_count")))
    requests = WardRequest.objects.exclude(state=WardRequest.State.WITHDRAWN).annotate(unmet=unmet)
    for request in requests.filter(state=WardRequest.State.MET, unmet__gt=0):
        yield f"request {request.pk} is met, though {request.unmet} of its lines are not"
    for request in requests.filter(state=WardRequest.State.OPEN, unmet=0):
        yield f"request {request.pk} is open, though all its lines are met"


def _stock() -> Iterator[str]:
    """Every lot is the sum of its ledger; what plans hold and what was issued is covered."""
    yield from stock.violations()
    for lot in Lot.objects.exclude(pk__in=LedgerLine.objects.values("lot")):
        yield f"lot {lot.code} was never booked in"


def _batches() -> Iterator[str]:
    yield from kit_violations()
    yield from plan_violations()
    yield from stored_plans.violations()


CHECKS: tuple[tuple[str, Callable[[], Iterable[str]]], ...] = (
    ("records", _records),
    ("people", _people),
    ("catalog", _catalog),
    ("stock", _stock),
    ("wards", _wards),
    ("batches", _batches),
    ("gowns", gowns.violations),
    ("deliveries", deliveries.violations),
)
