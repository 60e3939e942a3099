"""The operator's link that signs one person in once."""

from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from functools import partial
from io import StringIO
from pathlib import Path

import pytest
import time_machine
from django.core.management import CommandError, call_command
from django.test import Client
from django.urls import reverse

from gowngroup.people.actions import make_sign_in_link, use_sign_in_link
from gowngroup.people.models import Person, SignInLink
from gowngroup.records.errors import Refusal
from tests.factories import PersonFactory
from tests.race import at_once, database_in_a_file

pytestmark = pytest.mark.django_db
ADDRESS = "volunteer@example.org"


@pytest.fixture(autouse=True)
def clock() -> Iterator[time_machine.Traveller]:
    with time_machine.travel(datetime(2026, 3, 10, 9, 30, tzinfo=UTC), tick=False) as traveller:
        yield traveller


@pytest.fixture
def me(volunteer: Person) -> Person:
    Person.objects.filter(pk=volunteer.pk).update(email=ADDRESS)
    return volunteer


def link(*arguments: str) -> str:
    """The address the command prints, without the site's."""
    out = StringIO()
    call_command("login_link", *(arguments or (ADDRESS,)), stdout=out)
    return "/sign-in/" + out.getvalue().strip().partition("/sign-in/")[2]


def test_link_signs_in_once_by_a_button(me: Person) -> None:
    """Opening the link changes nothing; its button signs in, and after that the link is gone."""
    client, address = Client(), link()
    for _ in range(2):
        assert "Sign in as Volunteer" in client.get(address).content.decode()
    assert "_auth_user_id" not in client.session
    client.post(address)
    assert client.session["_auth_user_id"] == str(me.pk)
    assert (Client().get(address).status_code, Client().post(address).status_code) == (404, 404)


def test_link_has_128_bits_and_is_kept_hashed(me: Person) -> None:
    """The link's secret has at least 128 bits and does not lie in the database."""
    token = link().split("/")[3]
    assert len(token) * 6 >= 128
    assert token not in str(SignInLink.objects.values().get())


def test_link_works_for_an_hour(me: Person, clock: time_machine.Traveller) -> None:
    """After an hour the link is gone."""
    address = link()
    clock.shift(timedelta(hours=1))
    assert Client().get(address).status_code == 404


def test_link_is_worthless_once_she_has_left(me: Person) -> None:
    """A link of somebody who has left signs nobody in."""
    address = link()
    Person.objects.filter(pk=me.pk).update(is_active=False)
    assert Client().post(address).status_code == 404


def test_links_are_listed_and_taken_back(
    me: Person, coordinator: Person, sign_in: Callable[[Person], Client]
) -> None:
    """The coordinator sees that a link is open and takes it back by one button."""
    address, office = link(), sign_in(coordinator)
    page = reverse("people:person_page", args=[me.pk])
    assert "10 March 2026, 09:30" in office.get(page).content.decode()
    office.post(reverse("people:person_links_end", args=[me.pk]))
    assert "links that still work" not in office.get(page).content.decode()
    assert Client().get(address).status_code == 404


def test_shared_address_needs_a_choice(me: Person, colleague: Person) -> None:
    """Where two share an address the operator says for whom, and a stranger's address makes no link."""
    Person.objects.filter(pk=colleague.pk).update(email=ADDRESS)
    with pytest.raises(CommandError, match="--person"):
        link()
    assert "Colleague" in Client().get(link(ADDRESS, "--person", str(colleague.pk))).content.decode()
    with pytest.raises(CommandError, match="Nobody"):
        link("stranger@example.org")


@pytest.mark.django_db(transaction=True)
def test_link_used_by_many_at_once_signs_in_one(tmp_path: Path, at: datetime) -> None:
    """Of eight who press the button at the same moment one is signed in."""
    with database_in_a_file(tmp_path / "race.sqlite3"):
        make_sign_in_link(person=PersonFactory(roles=["volunteer"]), at=at)
        found = SignInLink.objects.select_related("person").get()
        assert at_once([partial(is_signed_in, found, at)] * 8).count(True) == 1


def is_signed_in(found: SignInLink, at: datetime) -> bool:
    try:
        use_sign_in_link(link=found, at=at)
    except Refusal:
        return False
    return True
