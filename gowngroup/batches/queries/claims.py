"""Kits as somebody who sews sees them, and claims as the coordinator sees them."""

from datetime import date, datetime, timedelta

from django.db.models import Prefetch, Q, QuerySet
from django.http import Http404

from gowngroup.batches.models import Claim, Kit
from gowngroup.catalog.models import ChartRow, Purpose, Size
from gowngroup.people.models import Group, Person, Role
from gowngroup.people.queries import has_role, zone_of
from gowngroup.records.codes import clean_code

STAFF = (Role.PACKER.value, Role.INSPECTOR.value)


def day_of(at: datetime, group: Group) -> date:
    """The day a moment falls on where the group lives."""
    return at.astimezone(zone_of(group)).date()


def due_if_taken(group: Group, at: datetime) -> date:
    """The day a kit taken at this moment is due back."""
    return day_of(at, group) + timedelta(days=group.sewing_time_days)


def _shown_to(person: Person) -> QuerySet[Kit]:
    """Kits that have been offered and that this person may see among those waiting."""
    kits = Kit.objects.filter(offered_at__isnull=False)
    return kits if person.has_agreed_to_memorial else kits.exclude(purpose=Purpose.MEMORIAL)


def waiting_kits(person: Person, *, size: Size | None = None, difficulty: int | None = None) -> QuerySet[Kit]:
    """The kits this person may take home, those waiting longest first."""
    kits = _shown_to(person).filter(state=Kit.State.WAITING)
    if size:
        kits = kits.filter(size=size)
    if difficulty:
        kits = kits.filter(design_revision__difficulty=difficulty)
    return kits.order_by("offered_at", "pk")


def with_card(kits: QuerySet[Kit]) -> QuerySet[Kit]:
    """The same kits with everything a card shows, in a fixed number of queries."""
    rows = Prefetch("design_revision__chart__rows", queryset=ChartRow.objects.order_by("position"))
    return kits.select_related(
        "design_revision__design", "design_revision__chart", "size", "outer_lot__material", "lay"
    ).prefetch_related(rows)


def kit_to_claim(person: Person, code: str) -> Kit:
    """A kit this person was shown as waiting, whatever has become of it since; all others never existed."""
    return _one(_shown_to(person), code)


def kit_to_see(person: Person, code: str) -> Kit:
    """A kit whose page this person may open: any for staff, else her own, her finished and those waiting."""
    kits = Kit.objects.all()
    if not has_role(person, *STAFF):
        hers = Q(holder=person) | Q(claims__person=person, claims__end=Claim.End.RETURNED)
        kits = kits.filter(hers | Q(pk__in=waiting_kits(person).values("pk"))).distinct()
    return _one(kits, code)


def kit_to_give_back(person: Person, code: str) -> Kit:
    """A kit this person has or had at home; any that was ever claimed for those who run the cupboard."""
    claims = Claim.objects.all() if has_role(person, Role.PACKER) else person.claims.all()
    return _one(Kit.objects.filter(pk__in=claims.values("kit_id")), code)


def kit_by_code(code: str) -> Kit:
    """Any kit, for staff."""
    return _one(Kit.objects.all(), code)


def _one(kits: QuerySet[Kit], code: str) -> Kit:
    kit = with_card(kits).select_related("holder", "batch", "lay").filter(code=clean_code(code)).first()
    if kit is None:
        raise Http404
    return kit


def kits_at_home(person: Person) -> QuerySet[Kit]:
    """The kits a person has at home, the one due first at the top."""
    return Kit.objects.filter(holder=person, state=Kit.State.CLAIMED).order_by("due_on", "pk")


def finished_claims(person: Person) -> QuerySet[Claim]:
    """The kits a person has sewn, the last first."""
    claims = Claim.objects.filter(person=person, end=Claim.End.RETURNED)
    return claims.select_related("kit__design_revision__design", "kit__size").order_by("-ended_at")


def kits_out(*, today: date | None = None) -> QuerySet[Kit]:
    """Kits being sewn, the one due first at the top; with `today` only those due before it.

    Nobody is ever chased for a memorial kit, so those are never among the late ones.
    """
    kits = Kit.objects.filter(state=Kit.State.CLAIMED)
    if today is not None:
        kits = kits.filter(due_on__lt=today).exclude(purpose=Purpose.MEMORIAL)
    return kits.select_related("holder", "design_revision__design", "size").order_by("due_on", "pk")
