"""Calls for help, parts and the post, as those who answer see them."""

from django.db.models import F, QuerySet
from django.http import Http404

from gowngroup.batches.models import Call, Kit
from gowngroup.people.models import Person, Role
from gowngroup.people.queries import has_role
from gowngroup.stock.models import Lot

LOTS_SHOWN = 5
PACKERS_KINDS = (Call.Kind.MISSING, Call.Kind.SPOILT, Call.Kind.POST)


def is_helper(person: Person) -> bool:
    """May the others ask this person when they are stuck?"""
    return helpers().filter(pk=person.pk).exists()


def helpers() -> QuerySet[Person]:
    """Those whom the others may ask when they are stuck."""
    return Person.objects.filter(sewing_helper__isnull=False, is_active=True).order_by("name", "pk")


def calls_for(person: Person) -> QuerySet[Call]:
    """The calls this person may answer: parts and the post for packers, help for those who help, all for the coordinator."""
    whole = Call.objects.select_related(
        "kit__design_revision__design", "kit__size", "person", "answered_by", "lot"
    )
    if has_role(person, Role.COORDINATOR):
        return whole
    kinds = [*(PACKERS_KINDS if has_role(person, Role.PACKER) else ())]
    if is_helper(person):
        kinds.append(Call.Kind.HELP)
    return whole.filter(kind__in=kinds)


def open_calls(person: Person) -> QuerySet[Call]:
    """The calls that wait for this person's answer, the oldest first."""
    return calls_for(person).filter(answered_at__isnull=True).order_by("asked_at", "pk")


def answered_calls(person: Person) -> QuerySet[Call]:
    """The calls that have been answered, the last first."""
    return calls_for(person).filter(answered_at__isnull=False).order_by("-answered_at", "-pk")


def call_by_id(pk: int, person: Person) -> Call:
    """One call this person may answer; 404 for any other."""
    call = calls_for(person).filter(pk=pk).first()
    if call is None:
        raise Http404
    return call


def lots_for(call: Call) -> list[Lot]:
    """The lots that hold most of the thing that is missing or spoilt; none for other calls."""
    if not call.is_for_a_part() or call.line is None or call.line.lot is None:
        return []
    found = Lot.objects.filter(material=call.line.lot.material_id, on_hand_amount__gt=F("reserved_amount"))
    most_first = (F("on_hand_amount") - F("reserved_amount")).desc()
    return list(found.select_related("material").order_by(most_first, "code")[:LOTS_SHOWN])


def calls_about(kits: list[Kit], person: Person) -> list[Call]:
    """What a person has asked about the kits she has at home, since she took them."""
    calls = Call.objects.filter(
        kit__in=kits,
        person=person,
        kit__claims__ended_at__isnull=True,
        asked_at__gte=F("kit__claims__claimed_at"),
    )
    return list(calls.select_related("kit", "answered_by").order_by("-asked_at", "-pk"))


def calls_of(kit: Kit) -> QuerySet[Call]:
    """Everything that was asked about a kit, the last first."""
    return kit.calls.select_related("person", "answered_by", "lot")
