"""Whoever reads reads her own language: chosen, else of the device, else the group's."""

from collections.abc import Callable
from datetime import datetime

import pytest
from django.core import mail
from django.test import Client
from django.urls import reverse

from gowngroup.people.actions import choose_language
from gowngroup.people.actions.sign_in import _letter
from gowngroup.people.models import Group, Person
from gowngroup.people.queries import reader_for
from gowngroup.records.models import TrailLine
from tests.factories import PersonFactory

pytestmark = pytest.mark.django_db
SignIn = Callable[[Person], Client]
SIGN_IN, SWITCH = "people:sign_in", "people:language"


def language_of(client: Client, url: str = "/sign-in/") -> str:
    """In which language a page is written, as it says itself, its header, and its words."""
    answer = client.get(url, follow=True)
    page = answer.content.decode()
    said = "es" if '<html lang="es"' in page else "en" if '<html lang="en"' in page else "?"
    assert answer.headers["Content-Language"] == said
    assert ("¿Alguna pregunta?" in page) == (said == "es")
    return said


@pytest.fixture
def spanish_group(group: Group) -> Group:
    Group.objects.update(language="es")
    return Group.objects.get()


def test_a_visitor_switches_by_one_button(group: Group) -> None:
    """The sign-in page offers the other language under its own name and stays in it, without any script."""
    client = Client()
    page = client.get(reverse(SIGN_IN) + "?next=/my-page/").content.decode()
    assert 'value="es" lang="es">Español</button>' in page
    answer = client.post(reverse(SWITCH), {"language": "es", "next": "/sign-in/?next=/my-page/"})
    assert answer["Location"] == "/sign-in/?next=/my-page/"
    assert language_of(client) == "es"
    client.post(reverse(SWITCH), {"language": "en"})
    assert language_of(client) == "en"


def test_the_switch_cannot_be_pressed_by_another_site(group: Group) -> None:
    """Without the token of our own page nothing changes."""
    client = Client(enforce_csrf_checks=True)
    assert client.post(reverse(SWITCH), {"language": "es"}).status_code == 403
    assert language_of(client) == "en"


@pytest.mark.parametrize("typed", ["", "xx", "es'--", "es-ES" * 300])
def test_a_language_we_do_not_speak_changes_nothing(group: Group, typed: str) -> None:
    """Anything but our languages leaves the page as it was, and leads nowhere else."""
    client = Client()
    answer = client.post(reverse(SWITCH), {"language": typed, "next": "//elsewhere.example/"})
    assert (answer.status_code, answer["Location"], answer.cookies) == (302, reverse("home:home"), {})


@pytest.mark.parametrize(
    ("header", "language"),
    [("es-MX,es;q=0.9", "es"), ("de,es;q=0.4", "es"), ("en-GB", "en"), ("de", "en"), ("x;q=y", "en")],
)
def test_the_browser_is_asked_next(group: Group, header: str, language: str) -> None:
    """Nothing chosen, the browser's own wish counts where we speak it."""
    assert language_of(Client(headers={"accept-language": header})) == language


def test_else_the_group_speaks(spanish_group: Group, volunteer: Person, sign_in: SignIn) -> None:
    """A Spanish group's pages are Spanish for everybody who wants nothing else."""
    assert language_of(Client()) == language_of(sign_in(volunteer), "/my-page/") == "es"


def test_her_own_choice_counts_everywhere(group: Group, volunteer: Person, sign_in: SignIn) -> None:
    """Chosen on her page it counts on every device, whatever its browser wants, and for what is sent to her."""
    client = sign_in(volunteer)
    client.post(reverse("people:my_page"), {"has_agreed_to_memorial": "no", "language": "es"})
    other = Client(headers={"accept-language": "en"})
    other.force_login(volunteer)
    assert language_of(client, "/my-page/") == language_of(other, "/my-page/") == "es"
    volunteer.refresh_from_db()
    assert reader_for(volunteer).language == "es"


def test_the_switch_keeps_her_choice_once_signed_in(group: Group, volunteer: Person, sign_in: SignIn) -> None:
    """Pressing the button while signed in is her choice, told in the trail once and without the language."""
    client = sign_in(volunteer)
    for _time in range(2):
        client.post(reverse(SWITCH), {"language": "es"})
    volunteer.refresh_from_db()
    line = TrailLine.objects.get()
    assert (volunteer.language, line.did, line.changes) == ("es", "choose_language", {"language": None})


def test_no_page_that_was_sent_offers_the_switch(group: Group) -> None:
    """A form that came back keeps what was typed, which going elsewhere would lose."""
    page = Client().post(reverse(SIGN_IN), {"email": "not an address"}).content.decode()
    assert reverse(SWITCH) not in page


def test_a_code_comes_in_her_language(group: Group, volunteer: Person, at: datetime) -> None:
    """The letter with a code is written as she chose, whatever the page was on which it was asked for."""
    volunteer.email = "me@example.org"
    english = _letter(volunteer, "ABC")
    choose_language(language="es", by=volunteer, at=at)
    volunteer.email = "me@example.org"
    spanish = _letter(volunteer, "ABC")
    page = str(spanish.alternatives[0][0])
    assert english.subject != spanish.subject
    assert '<html lang="es">' in page
    assert mail.outbox == []


def test_the_coordinator_sees_and_sets_it(coordinator: Person, sign_in: SignIn) -> None:
    """A person's page says which language she reads."""
    person = PersonFactory(language="es")
    page = sign_in(coordinator).get(reverse("people:person_page", args=[person.pk])).content.decode()
    assert "Español" in page
