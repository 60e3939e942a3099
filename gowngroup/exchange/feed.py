"""The days kits are due as an iCalendar file (RFC 5545), for the calendar in a telephone or computer."""

from collections.abc import Iterable
from datetime import timedelta
from urllib.parse import urlsplit

from django.conf import settings
from django.urls import reverse
from django.utils.translation import gettext as _
from icalendar import Calendar, Event

from gowngroup.batches.models import Claim
from gowngroup.records.codes import spaced

READ_AGAIN = timedelta(hours=12)


def calendar_of(claims: Iterable[Claim], *, name: str) -> bytes:
    """A calendar with one whole day for each kit at home; nothing in it tells what the gowns are for."""
    calendar = Calendar()
    calendar.add("prodid", "-//Gowngroup//Kits at home//EN")
    calendar.add("version", "2.0")
    calendar.add("method", "PUBLISH")
    calendar.add("x-wr-calname", name)
    calendar.add("refresh-interval", READ_AGAIN, parameters={"VALUE": "DURATION"})
    for claim in claims:
        calendar.add_component(_event(claim))
    return bytes(calendar.to_ical())


def _event(claim: Claim) -> Event:
    kit, event = claim.kit, Event()
    event.add("uid", f"{kit.code}-{claim.pk}@{urlsplit(settings.SITE_ADDRESS).hostname}")
    event.add("dtstamp", claim.claimed_at)
    event.add("dtstart", claim.due_on)
    event.add("dtend", claim.due_on + timedelta(days=1))
    event.add("summary", _summary(claim))
    event.add("transp", "TRANSPARENT")
    event.add("class", "PRIVATE")
    event.add("url", settings.SITE_ADDRESS.rstrip("/") + reverse("batches:kit_page", args=[kit.code]))
    return event


def _summary(claim: Claim) -> str:
    if claim.kit.is_memorial():
        return _("A kit")
    told = {"kit": spaced(claim.kit.code), "design": claim.kit.design_revision.design}
    return _("Kit %(kit)s is due: %(design)s") % told
