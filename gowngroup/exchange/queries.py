"""Whose calendar an address is, and what stands in it."""

from hashlib import sha256

from django.db.models import QuerySet
from django.http import Http404

from gowngroup.batches.models import Claim
from gowngroup.exchange.models import CalendarLink
from gowngroup.people.models import Person


def hash_of_secret(secret: str) -> str:
    """What is kept of a calendar link's secret."""
    return sha256(secret.encode()).hexdigest()


def open_link(person: Person) -> CalendarLink | None:
    """The link a person's calendar reads at, if she has asked for one."""
    return CalendarLink.objects.filter(person=person, ended_at__isnull=True).first()


def person_of_link(secret: str) -> Person:
    """Whose calendar this secret opens; 404 for any other, as if it never existed."""
    links = CalendarLink.objects.filter(
        token_hash=hash_of_secret(secret), ended_at__isnull=True, person__is_active=True
    )
    link = links.select_related("person").first()
    if link is None:
        raise Http404
    return link.person


def claims_at_home(person: Person) -> QuerySet[Claim]:
    """The kits a person has at home, with the day each is due."""
    claims = Claim.objects.filter(person=person, ended_at__isnull=True)
    return claims.select_related("kit__design_revision__design").order_by("due_on", "pk")
