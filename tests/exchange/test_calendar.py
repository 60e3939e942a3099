"""The days kits are due, read by a calendar at a private address: off until wanted, read-only, ended at will."""

import re
from collections.abc import Callable
from datetime import date, datetime

import pytest
from django.test import Client
from django.urls import reverse
from icalendar import Calendar

from gowngroup.batches.actions import claim_kit
from gowngroup.batches.models import Kit
from gowngroup.exchange.models import CalendarLink
from gowngroup.people.models import Person
from tests.factories import KitFactory

pytestmark = pytest.mark.django_db
SignIn = Callable[[Person], Client]
MINE = "/calendar/"


@pytest.fixture
def kit(volunteer: Person, at: datetime) -> Kit:
    return claim_kit(kit=KitFactory(state=Kit.State.WAITING), by=volunteer, at=at).kit


def make(client: Client) -> str:
    """Ask for an address and read its path off the page, where it is also handed to the telephone's calendar."""
    page = client.post(MINE).content.decode()
    found = re.search(r"https?(://[^/]+(/calendar/\S+\.ics))", page)
    assert found
    assert f'href="webcal{found[1]}"' in page
    return found[2]


def test_it_is_off_until_wanted(volunteer: Person, sign_in: SignIn) -> None:
    """Nothing is shared before she asks; the address is shown once and kept as a hash alone."""
    client = sign_in(volunteer)
    assert "You have no such address" in client.get(MINE).content.decode()
    path = make(client)
    secret = path.rsplit("/", 1)[1].removesuffix(".ics")
    assert len(secret) >= 22  # 128 bits in base 64
    assert secret not in CalendarLink.objects.get().token_hash
    assert secret not in client.get(MINE).content.decode()


def test_a_calendar_reads_the_days(kit: Kit, volunteer: Person, sign_in: SignIn) -> None:
    """A whole day for each kit, as an independent reader of RFC 5545 finds it, without being signed in."""
    answer = Client().get(make(sign_in(volunteer)))
    assert answer["Content-Type"] == "text/calendar; charset=utf-8"
    assert "no-store" in answer["Cache-Control"]
    [event] = Calendar.from_ical(answer.content).walk("VEVENT")
    assert event.decoded("dtstart") == date(2026, 4, 7)
    assert event.decoded("dtend") == date(2026, 4, 8)
    assert str(event["summary"]).startswith(f"Kit {kit.code[:3]}-{kit.code[3:]} is due: Design")
    assert str(event["url"]).endswith(reverse("batches:kit_page", args=[kit.code]))


def test_lines_are_as_the_standard_has_them(kit: Kit, volunteer: Person, sign_in: SignIn) -> None:
    """RFC 5545, 3.1: lines end in CR LF and hold at most 75 octets; 3.6: a UID and a DTSTAMP for each event."""
    raw = Client().get(make(sign_in(volunteer))).content
    lines = raw.split(b"\r\n")
    assert lines[0] == b"BEGIN:VCALENDAR"
    assert lines[-1] == b""
    assert b"\n" not in b"".join(lines)
    assert max(len(line) for line in lines) <= 75
    assert {line.split(b":")[0].split(b";")[0] for line in lines} >= {
        b"UID",
        b"DTSTAMP",
        b"DTSTART",
        b"PRODID",
    }


def test_a_memorial_kit_is_a_kit(volunteer: Person, at: datetime, sign_in: SignIn) -> None:
    """Neither the word nor the design stands in a calendar that others may look over."""
    Person.objects.update(has_agreed_to_memorial=True)
    claim_kit(kit=KitFactory(state=Kit.State.WAITING, purpose="memorial"), by=volunteer, at=at)
    raw = Client().get(make(sign_in(volunteer))).content
    assert b"SUMMARY:A kit\r\n" in raw
    assert b"emorial" not in raw
    assert b"Design" not in raw


def test_an_ended_or_replaced_address_is_gone(kit: Kit, volunteer: Person, sign_in: SignIn) -> None:
    """An address that was ended, replaced, invented, or whose owner has left answers 404; it is never written to."""
    client = sign_in(volunteer)
    first = make(client)
    second = make(client)
    assert [Client().get(path).status_code for path in (first, second)] == [404, 200]
    assert Client().post(second).status_code == 405
    Person.objects.filter(pk=volunteer.pk).update(is_active=False)
    assert Client().get(second).status_code == 404
    Person.objects.filter(pk=volunteer.pk).update(is_active=True)
    assert client.post(reverse("exchange:my_calendar_end")).status_code == 302
    assert [Client().get(path).status_code for path in (second, f"{MINE}{'x' * 43}.ics")] == [404, 404]
    assert CalendarLink.objects.filter(ended_at=None).count() == 0


def test_others_days_are_not_in_it(kit: Kit, colleague: Person, sign_in: SignIn) -> None:
    """A calendar holds its owner's kits alone."""
    assert b"VEVENT" not in Client().get(make(sign_in(colleague))).content
