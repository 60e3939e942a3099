"""Opening and ending the private address of a calendar."""

import secrets
from datetime import datetime

from gowngroup.exchange.models import CalendarLink
from gowngroup.exchange.queries import hash_of_secret
from gowngroup.people.models import Person
from gowngroup.records.actions import action, record

SECRET_BYTES = 32


@action
def make_calendar_link(*, by: Person, at: datetime) -> str:
    """Open a calendar address, ending the one before; its secret is told once and kept only as a hash."""
    end_calendar_link(by=by, at=at)
    secret = secrets.token_urlsafe(SECRET_BYTES)
    link = CalendarLink.objects.create(person=by, token_hash=hash_of_secret(secret), made_at=at)
    record(by=by, at=at, did="make_calendar_link", subject=link)
    return secret


@action
def end_calendar_link(*, by: Person, at: datetime, request_key: str = "") -> None:
    """Make a person's calendar address worthless."""
    # Her row is held, so that two forms sent at once leave one open link.
    Person.objects.select_for_update().get(pk=by.pk)
    for link in CalendarLink.objects.filter(person=by, ended_at__isnull=True):
        link.ended_at = at
        link.save(update_fields=["ended_at"])
        record(by=by, at=at, did="end_calendar_link", subject=link)
