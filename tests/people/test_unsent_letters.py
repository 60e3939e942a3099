"""Letters that could not be sent: who was to get them is told in another way, and nobody else learns of it."""

import json
import re
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta

import pytest
import time_machine
from django.core.mail import EmailMultiAlternatives
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from pytest_django.fixtures import Settings

from gowngroup.people.actions import (
    NotNeededAnyMore,
    SeenTo,
    erase_person,
    leave_group,
    send_due_letters,
    tell_instead,
    try_again,
)
from gowngroup.people.actions.post import hand_over, letters_gone
from gowngroup.people.export import tables_of
from gowngroup.people.models import Group, JoinRequest, Person, UnsentLetter
from gowngroup.people.queries import unsent_letters
from gowngroup.records.models import TrailLine
from tests.factories import PersonFactory
from tests.mail_server import MailServer, closed_port, mail_server, send_to
from tests.race import at_once

pytestmark = pytest.mark.django_db
SignIn = Callable[[Person], Client]
NOW = datetime(2026, 3, 10, 9, 30, tzinfo=UTC)
ADDRESS, STRANGER = "volunteer@example.org", "stranger@example.org"
LIST = "/people/letters/"
SECRET_FIELD = re.compile(r'(x-csrftoken": |csrfmiddlewaretoken" value=|request_key" value=|value=)"[^"]+')


@pytest.fixture(autouse=True)
def _clock() -> Iterator[None]:
    with time_machine.travel(NOW, tick=False):
        yield


@pytest.fixture
def server(settings: Settings) -> Iterator[MailServer]:
    with mail_server(settings) as told:
        yield told


@pytest.fixture
def _at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """What waits for the end of the transaction is done at once."""
    monkeypatch.setattr("django.db.transaction.on_commit", lambda send: send())


def unsent(person: Person, kind: str = "answer", **values: object) -> UnsentLetter:
    """A letter to a person that was refused."""
    facts = {"reason": "address", "made_at": NOW, "tried_at": NOW, "try_count": 1, **values}
    return UnsentLetter.objects.create(person=person, kind=kind, **facts)


def ask_for_code(email: str) -> tuple[int, str]:
    """What the sign-in page answers, without what differs from page to page."""
    answer = Client().post(reverse("people:sign_in"), {"email": email})
    assert letters_gone()
    return answer.status_code, SECRET_FIELD.sub("", answer.content.decode()).replace(email, "")


@pytest.mark.django_db(transaction=True)
@pytest.mark.usefixtures("race_database")
def test_a_code_that_is_refused_is_the_coordinators_business(
    server: MailServer, sign_in: SignIn, caplog: pytest.LogCaptureFixture
) -> None:
    """Known or not, the page answers alike; of somebody known it is noted once, counted, and never sent again."""
    volunteer = PersonFactory(email=ADDRESS, roles=["volunteer"])
    server.answers = {"RCPT": "550 no such mailbox"}
    answers = [ask_for_code(email) for email in (ADDRESS, ADDRESS, STRANGER)]
    assert answers == [answers[0]] * 3
    assert answers[0][0] == 302
    note = UnsentLetter.objects.get()
    assert (note.person, note.kind, note.reason, note.try_count) == (volunteer, "code", "address", 2)
    assert "@" not in caplog.text
    page = sign_in(PersonFactory(roles=["coordinator"])).get(LIST).content.decode()
    assert "She asked for a code to sign in" in page
    assert reverse("printing:sign_in_letter", args=[volunteer.pk]) in page
    assert "Try again" not in page
    server.answers = {}
    assert send_due_letters(at=NOW + timedelta(days=2)) == 0
    with pytest.raises(NotNeededAnyMore):
        try_again(letter=note, by=volunteer, at=NOW)
    assert server.letters == []


@pytest.mark.django_db(transaction=True)
@pytest.mark.usefixtures("race_database")
def test_a_server_that_is_down_answers_everybody_alike(settings: Settings) -> None:
    """With 503 and the same words; only of somebody known it is noted."""
    volunteer = PersonFactory(email=ADDRESS, roles=["volunteer"])
    send_to(settings, closed_port())
    known, unknown = ask_for_code(ADDRESS), ask_for_code(STRANGER)
    assert known == unknown
    assert (known[0], "no letters can be sent just now" in known[1]) == (503, True)
    note = UnsentLetter.objects.get()
    assert (note.person, note.reason, note.next_try_at) == (volunteer, "no server", None)


@pytest.mark.django_db(transaction=True)
@pytest.mark.usefixtures("race_database")
def test_who_found_her_way_in_is_off_the_list(server: MailServer) -> None:
    """Once she signs in it is of no interest any more that an earlier code did not reach her."""
    volunteer = PersonFactory(email=ADDRESS, roles=["volunteer"])
    unsent(volunteer, "code")
    kept = unsent(volunteer)
    browser = Client()
    browser.post(reverse("people:sign_in"), {"email": ADDRESS})
    assert letters_gone()
    body = server.letters[0].get_body(("plain",))
    code = re.search(r"\b\w{3}-\w{3}-\w{3}\b", body.get_content() if body else "")
    assert code
    browser.post(reverse("people:sign_in_code"), {"code": code[0]})
    assert list(UnsentLetter.objects.all()) == [kept]


def test_the_note_holds_neither_code_nor_address(volunteer: Person) -> None:
    """What is noted of a letter are its kind, what it tells of, and when; no text, no address, no secret."""
    columns = {field.name for field in UnsentLetter._meta.fields}
    assert columns == {
        "id", "person", "kind", "about_ids", "kit_codes", "reason",
        "made_at", "tried_at", "try_count", "next_try_at",
    }  # fmt: skip


def test_the_list_says_whom_to_ring_about_what(
    sign_in: SignIn, coordinator: Person, volunteer: Person
) -> None:
    """Name, telephone, what the letter was about, why and how often stand there; the first page leads to it."""
    Person.objects.filter(pk=volunteer.pk).update(telephone="01632 960333")
    unsent(volunteer, "before", kit_codes=["KHG449"], try_count=2)
    unsent(volunteer, reason="no server", next_try_at=NOW + timedelta(minutes=15))
    office = sign_in(coordinator)
    tasks = office.get("/").context["tasks"].now
    assert ("2 letters could not be sent.", LIST) in [(task.words, task.url) for task in tasks]
    assert "Letters that could not be sent (2)" in office.get("/people/").content.decode()
    page = office.get(LIST).content.decode()
    assert reverse("people:person_change", args=[volunteer.pk]) in page
    assert page.count("button main") == 1
    for words in (
        volunteer.name,
        "01632 960333",
        "Her kit is due soon",
        "KHG-449",
        "Her address was refused",
        "Tried 2 times, last on 10 March, 09:30.",
        "It is tried again by itself from 10 March, 09:45.",
    ):
        assert words in page


def test_of_a_shared_address_either_may_have_asked(
    sign_in: SignIn, coordinator: Person, volunteer: Person, colleague: Person
) -> None:
    """Where two read mail at one address both are named, each with her number; of other letters only who they were for."""
    for person, telephone in ((volunteer, "01632 960333"), (colleague, "")):
        Person.objects.filter(pk=person.pk).update(email=ADDRESS, telephone=telephone)
    letter = unsent(volunteer, "code")
    page = sign_in(coordinator).get(LIST).content.decode()
    assert all(words in page for words in (volunteer.name, colleague.name, "01632 960333", "none written"))
    letter.delete()
    unsent(volunteer)
    assert colleague.name not in sign_in(coordinator).get(LIST).content.decode()


def test_nothing_unsent_is_said(sign_in: SignIn, coordinator: Person) -> None:
    """An empty list says that every letter has gone out, and the first page says nothing."""
    office = sign_in(coordinator)
    assert "Every letter has gone out" in office.get(LIST).content.decode()
    assert "could not be sent" not in office.get("/").content.decode()


@pytest.mark.usefixtures("_at_once")
def test_the_coordinator_tries_again(
    sign_in: SignIn, coordinator: Person, volunteer: Person, server: MailServer
) -> None:
    """One button sends it to the address she has now and says how that went; the trail says who pressed it."""
    letter, office = unsent(volunteer, "welcome"), sign_in(coordinator)
    url = reverse("people:letter_again", args=[letter.pk])
    server.answers = {"RCPT": "550 no such mailbox"}
    said = office.post(url, {"request_key": "a"}, follow=True).content.decode()
    assert "could not be sent this time either. Her address was refused." in said
    server.answers = {}
    Person.objects.filter(pk=volunteer.pk).update(email="right@example.org")
    said = office.post(url, {"request_key": "b"}, follow=True).content.decode()
    assert "has gone out" in said
    assert (server.to(), UnsentLetter.objects.count()) == (["right@example.org"], 0)
    twice = office.post(url, {"request_key": "b"}, follow=True).content.decode()
    assert "somebody has seen to it already" in twice
    assert [line.by for line in TrailLine.objects.filter(did="try_letter_again")] == [coordinator] * 2


@pytest.mark.usefixtures("_at_once")
def test_what_cannot_be_tried_again_says_what_to_do(
    sign_in: SignIn, coordinator: Person, volunteer: Person, server: MailServer
) -> None:
    """A letter that is over, one being sent, and one to somebody without an address are refused with a sentence."""
    over = unsent(volunteer)  # the answer to a call that is no more
    busy = unsent(volunteer, "welcome", reason="under way")
    office = sign_in(coordinator)

    def said(letter: UnsentLetter, page: str = "letter_again") -> tuple[int, str]:
        answer = office.post(reverse(f"people:{page}", args=[letter.pk]))
        return answer.status_code, answer.content.decode()

    assert (said(over)[0], "is over by now" in said(over)[1]) == (409, True)
    assert (said(busy)[0], said(busy, "letter_told")[0]) == (409, 409)
    Person.objects.filter(pk=volunteer.pk).update(email="", last_login=NOW)
    assert (said(over)[0], "tell her by telephone" in said(over)[1]) == (422, True)
    assert (server.letters, UnsentLetter.objects.get(pk=over.pk).try_count) == ([], 1)


def test_she_has_been_told(sign_in: SignIn, coordinator: Person, volunteer: Person) -> None:
    """One button takes it off the list for good; a second coordinator who presses it too is told so."""
    letter, office = unsent(volunteer), sign_in(coordinator)
    said = office.post(reverse("people:letter_told", args=[letter.pk]), {"request_key": "a"}, follow=True)
    assert "is off the list" in said.content.decode()
    assert not UnsentLetter.objects.exists()
    with pytest.raises(SeenTo):
        tell_instead(letter=letter, by=coordinator, at=NOW)
    line = TrailLine.objects.get(did="tell_instead")
    assert (line.by, line.changes) == (coordinator, {})


@pytest.mark.django_db(transaction=True)
@pytest.mark.usefixtures("race_database")
def test_two_buttons_at_once_send_once(server: MailServer) -> None:
    """Pressed by six at the same moment, one letter goes out."""
    coordinator, volunteer = PersonFactory(roles=["coordinator"]), PersonFactory(roles=["volunteer"])
    letter = unsent(volunteer, "welcome")

    def press() -> bool:
        try:
            try_again(letter=letter, by=coordinator, at=NOW)
        except SeenTo:
            return False
        return True

    assert sum(at_once([press] * 6)) == 1
    assert len(server.letters) == 1


@pytest.mark.usefixtures("_at_once")
def test_a_welcome_is_tried_again_until_she_is_in(
    sign_in: SignIn, coordinator: Person, server: MailServer, settings: Settings
) -> None:
    """The letter that says how to sign in goes out later, unless she has signed in by then."""
    send_to(settings, closed_port())
    for name in ("Nora Tuck", "Ida Hem"):
        asked = JoinRequest.objects.create(name=name, contact_hash=name, asked_at=NOW)
        sent = {"name": name, "email": f"{name[:3]}@example.org", "roles": "volunteer", "practice": "1"}
        answer = sign_in(coordinator).post(
            reverse("people:join_answer", args=[asked.pk]),
            {**sent, "reminded_by": "mail", "has_agreed_to_memorial": "no", "request_key": name},
        )
        assert answer.status_code == 302
    Person.objects.filter(name="Ida Hem").update(last_login=NOW)
    send_to(settings, server.port)
    assert send_due_letters(at=NOW + timedelta(minutes=15)) == 1
    assert (server.to(), UnsentLetter.objects.count()) == (["nor@example.org"], 0)


def test_who_leaves_or_is_forgotten_takes_her_letters_along(
    coordinator: Person, volunteer: Person, colleague: Person
) -> None:
    """Notes of letters are hers alone: told in her export, gone with her."""
    for person in (volunteer, colleague):
        unsent(person, "before", kit_codes=["KHG449"])
    table = next(each for each in tables_of(volunteer) if each.title == "Letters that could not be sent")
    assert "her kit is due soon" in json.dumps(table.words)
    assert "about_ids" not in table.columns
    leave_group(person=volunteer, by=volunteer, at=NOW)
    erase_person(person=colleague, by=coordinator, at=NOW)
    assert not UnsentLetter.objects.exists()


def test_an_address_that_is_none_is_refused(server: MailServer) -> None:
    """What no mail server can be told at all counts as a refused address (RFC 5321, 4.1.2: one @ before the domain)."""
    assert hand_over(EmailMultiAlternatives("Hello", "text", to=["x@@y"])) == UnsentLetter.Reason.ADDRESS


def test_the_list_takes_as_many_queries_for_many(sign_in: SignIn, coordinator: Person, group: Group) -> None:
    """Many letters take no more queries than a few, and no more than any list may."""
    office = sign_in(coordinator)

    def counted(more: int) -> int:
        for number in range(more):
            unsent(PersonFactory(email=f"p{number}-{more}@example.org", roles=["volunteer"]), "code")
            unsent(PersonFactory(roles=["volunteer"]), kit_codes=["KHG449"])
        with CaptureQueriesContext(connection) as queries:
            office.get(LIST)
        return len(queries)

    few = counted(1)
    assert counted(9) == few <= 15
    assert unsent_letters(at=NOW).count() == 20
