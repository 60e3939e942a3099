"""Signing in by a code sent to an email address."""

import re
from collections.abc import Callable, Iterator, Sequence
from contextlib import AbstractContextManager
from datetime import UTC, datetime, timedelta
from math import log2
from threading import Event

import pytest
import time_machine
from django.core import mail
from django.core.mail import EmailMultiAlternatives
from django.core.mail.backends.locmem import EmailBackend
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse
from pytest_django.fixtures import Settings

from gowngroup.people.actions import leave_group
from gowngroup.people.actions.post import letters_gone
from gowngroup.people.actions.sign_in import CODE_LENGTH, new_sign_in_code
from gowngroup.people.models import Person, SignInCode
from gowngroup.records.codes import ALPHABET
from gowngroup.records.models import TrailLine
from tests.factories import PersonFactory

pytestmark = pytest.mark.django_db
ADDRESS = "volunteer@example.org"
NOW = datetime(2026, 3, 10, 9, 30, tzinfo=UTC)
OnCommit = Callable[..., AbstractContextManager[list[Callable[[], object]]]]


@pytest.fixture(autouse=True)
def clock() -> Iterator[time_machine.Traveller]:
    with time_machine.travel(NOW, tick=False) as traveller:
        yield traveller


@pytest.fixture
def me(volunteer: Person) -> Person:
    Person.objects.filter(pk=volunteer.pk).update(email=ADDRESS)
    return volunteer


@pytest.fixture
def ask(django_capture_on_commit_callbacks: OnCommit) -> Callable[..., HttpResponse]:
    """Ask for a code on the page, as a browser does."""

    def asked(client: Client, email: str = ADDRESS, **data: str) -> HttpResponse:
        with django_capture_on_commit_callbacks(execute=True):
            answer = client.post(reverse("people:sign_in"), {"email": email, **data})
        assert letters_gone()
        return answer  # type: ignore[return-value]

    return asked


def code_in_letter() -> str:
    found = re.search(r"^ +(\S{3}-\S{3}-\S{3})$", str(mail.outbox[-1].body), re.MULTILINE)
    assert found
    return found[1]


def type_code(client: Client, code: str, **data: str) -> HttpResponse:
    return client.post(reverse("people:sign_in_code"), {"code": code, **data})  # type: ignore[return-value]


def signed_in_as(client: Client) -> str | None:
    return client.session.get("_auth_user_id")


def test_code_from_the_letter_signs_in(me: Person, ask: Callable[..., HttpResponse]) -> None:
    """Whoever types the code from the letter is signed in and sent to the page she wanted."""
    client = Client()
    ask(client)
    answer = type_code(client, code_in_letter().lower(), next="/my-page/")
    assert (signed_in_as(client), answer["Location"]) == (str(me.pk), "/my-page/")


def test_code_has_forty_bits() -> None:
    """A code is one of at least 2**40, drawn from characters nobody mistakes for another."""
    assert CODE_LENGTH * log2(len(ALPHABET)) >= 40
    assert set("".join(new_sign_in_code() for _ in range(300))) == set(ALPHABET)


def test_stranger_sees_the_same_and_gets_no_letter(me: Person, ask: Callable[..., HttpResponse]) -> None:
    """A known and an unknown address get the same answers, page by page; only the known one gets a letter."""
    known, unknown = Client(), Client()
    first, second = ask(known), ask(unknown, "stranger@example.org")
    assert [letter.to for letter in mail.outbox] == [[ADDRESS]]
    assert (first.status_code, first["Location"]) == (second.status_code, second["Location"])
    assert stripped(type_code(known, "AAA-AAA-AAA")) == stripped(type_code(unknown, "AAA-AAA-AAA"))


def stripped(answer: HttpResponse) -> str:
    """A page without what is drawn afresh each time."""
    text = re.sub(r'(csrfmiddlewaretoken" value=|x-csrftoken": )"[^"]+"', "", answer.content.decode())
    return f"{answer.status_code} {text}"


def test_strangers_address_is_not_kept(me: Person, ask: Callable[..., HttpResponse]) -> None:
    """The address of somebody outside the group is kept nowhere."""
    ask(Client(), "stranger@example.org")
    assert SignInCode.objects.get(sent_at=NOW).email == ""
    assert not TrailLine.objects.exists()


def test_address_is_found_whatever_its_capitals(me: Person, ask: Callable[..., HttpResponse]) -> None:
    """Capitals and spaces round the address make no difference; the letter goes to the address we keep."""
    ask(Client(), " Volunteer@Example.ORG ")
    assert mail.outbox[0].to == [ADDRESS]


def test_what_stands_after_a_plus_belongs_to_the_address(
    me: Person, ask: Callable[..., HttpResponse]
) -> None:
    """An address with a plus is found by the whole of it, in any capitals, and by nothing less."""
    Person.objects.filter(pk=me.pk).update(email="vera+gowns@example.org")
    ask(Client(), "Vera+Gowns@Example.ORG")
    ask(Client(), "vera@example.org")
    assert [letter.to for letter in mail.outbox] == [["vera+gowns@example.org"]]


def test_code_is_kept_hashed(me: Person, ask: Callable[..., HttpResponse]) -> None:
    """Neither the code nor the browser's token lies readable in the database."""
    client = Client()
    ask(client)
    row = str(SignInCode.objects.filter(sent_at=NOW).values().get())
    assert code_in_letter().replace("-", "") not in row
    assert client.cookies["sign-in"].value not in row


def test_code_works_once(me: Person, ask: Callable[..., HttpResponse]) -> None:
    """A used code is refused, even in the browser that asked for it."""
    client = Client()
    ask(client)
    browser, code = client.cookies["sign-in"].value, code_in_letter()
    type_code(client, code)
    again = Client()
    again.cookies["sign-in"] = browser
    assert type_code(again, code).status_code == 409
    assert signed_in_as(again) is None


def test_code_works_for_ten_minutes(
    me: Person, ask: Callable[..., HttpResponse], clock: time_machine.Traveller
) -> None:
    """A code is taken until ten minutes after it was sent and no longer."""
    early, late = Client(), Client()
    ask(early)
    early_code = code_in_letter()
    ask(late)
    clock.shift(timedelta(minutes=9.9))
    assert type_code(early, early_code).status_code == 302
    clock.shift(timedelta(minutes=0.1))
    assert type_code(late, code_in_letter()).status_code == 409


def test_code_is_for_the_browser_that_asked(me: Person, ask: Callable[..., HttpResponse]) -> None:
    """The right code in another browser is refused; in the first it still works."""
    asked, other = Client(), Client()
    ask(asked)
    ask(other)
    first_code = re.search(r"\S{3}-\S{3}-\S{3}", str(mail.outbox[0].body))
    assert first_code
    assert type_code(other, first_code[0]).status_code == 422
    assert type_code(Client(), first_code[0]).status_code == 409
    assert type_code(asked, first_code[0]).status_code == 302


def test_five_guesses_and_no_more(me: Person, ask: Callable[..., HttpResponse]) -> None:
    """After five wrong codes even the right one is refused, and the page says to ask for a new one."""
    client = Client()
    ask(client)
    assert [type_code(client, "AAA-AAA-AAA").status_code for _ in range(5)] == [422] * 5
    answer = type_code(client, code_in_letter())
    assert (answer.status_code, signed_in_as(client)) == (409, None)
    assert "ask for a new one" in answer.content.decode()


def test_three_letters_in_any_ten_minutes(
    me: Person, ask: Callable[..., HttpResponse], clock: time_machine.Traveller
) -> None:
    """The fourth letter is refused with 429 until ten minutes after the first, not by the clock's quarter."""
    for _ in range(3):
        ask(Client())
        clock.shift(timedelta(minutes=3))
    refused = ask(Client())
    clock.shift(timedelta(minutes=1))
    ask(Client())
    assert (refused.status_code, refused["Retry-After"], len(mail.outbox)) == (429, "600", 4)
    assert ask(Client()).status_code == 429


def test_letters_to_a_stranger_are_counted_alike(me: Person, ask: Callable[..., HttpResponse]) -> None:
    """Asking too often is refused for an unknown address just as for a known one."""
    answers = [ask(Client(), "stranger@example.org").status_code for _ in range(4)]
    assert answers == [302, 302, 302, 429]


def test_two_people_share_an_address(me: Person, colleague: Person, ask: Callable[..., HttpResponse]) -> None:
    """One letter goes to the shared address, and after the code one chooses who one is."""
    Person.objects.filter(pk=colleague.pk).update(email=ADDRESS)
    client = Client()
    ask(client)
    answer = type_code(client, code_in_letter())
    page = client.get(answer["Location"]).content.decode()
    assert (len(mail.outbox), signed_in_as(client)) == (1, None)
    assert me.name in page
    assert colleague.name in page
    client.post(reverse("people:sign_in_person"), {"person": colleague.pk, "next": "/my-page/"})
    assert signed_in_as(client) == str(colleague.pk)


def test_one_cannot_choose_somebody_else(
    me: Person, colleague: Person, coordinator: Person, ask: Callable[..., HttpResponse]
) -> None:
    """Only the people of the address can be chosen, and only after its code."""
    Person.objects.filter(pk=colleague.pk).update(email=ADDRESS)
    client = Client()
    ask(client)
    client.post(reverse("people:sign_in_person"), {"person": me.pk})
    assert signed_in_as(client) is None
    type_code(client, code_in_letter())
    client.post(reverse("people:sign_in_person"), {"person": coordinator.pk})
    assert signed_in_as(client) is None


def test_who_has_left_gets_no_letter_and_is_signed_out(
    me: Person, coordinator: Person, at: datetime, ask: Callable[..., HttpResponse]
) -> None:
    """Somebody who has left cannot sign in, her open page is closed and her unused code is worthless."""
    signed_in, waiting = Client(), Client()
    signed_in.force_login(me)
    ask(waiting)
    leave_group(person=me, by=coordinator, at=at)
    ask(Client())
    assert len(mail.outbox) == 1
    assert signed_in.get(reverse("people:my_page")).status_code == 302
    type_code(waiting, code_in_letter())
    assert signed_in_as(waiting) is None


@pytest.mark.parametrize(("data", "days"), [({}, None), ({"is_remembered": "on"}, 90)])
def test_device_is_remembered_only_when_wished(
    data: dict[str, str], days: int | None, me: Person, ask: Callable[..., HttpResponse]
) -> None:
    """The sign-in ends with the browser, or lasts ninety days where one has said so."""
    client = Client()
    ask(client)
    answer = type_code(client, code_in_letter(), **data)
    age = answer.cookies["session"]["max-age"]
    assert age == ("" if days is None else days * 24 * 3600)


def test_session_key_is_new_after_signing_in(me: Person, ask: Callable[..., HttpResponse]) -> None:
    """A session key somebody planted before is worth nothing after the sign-in."""
    client = Client()
    session = client.session
    session["planted"] = True
    session.save()
    client.cookies["session"] = session.session_key or ""
    ask(client)
    type_code(client, code_in_letter())
    assert client.session.session_key != session.session_key
    assert "planted" not in client.session


@pytest.mark.parametrize(
    "wanted", ["https://evil.example/", "//evil.example", "/\\evil.example", "javascript:x", "x"]
)
def test_next_leads_only_to_this_site(wanted: str, me: Person, ask: Callable[..., HttpResponse]) -> None:
    """After signing in one lands on this site, whatever the address asked for."""
    client = Client()
    onward = ask(client, next=wanted)["Location"]
    answer = type_code(client, code_in_letter(), next=wanted)
    assert ("evil" in onward, answer["Location"]) == (False, "/")


def test_letter_says_what_to_do(me: Person, ask: Callable[..., HttpResponse]) -> None:
    """The letter is text and simple HTML, has the code in both and not in its subject, and the telephone."""
    ask(Client())
    letter, code = mail.outbox[0], code_in_letter()
    assert isinstance(letter, EmailMultiAlternatives)
    html = str(letter.alternatives[0][0])
    assert code in html
    assert code not in letter.subject
    assert "01234 567890" in letter.body
    assert "01234 567890" in html


def test_trail_keeps_no_address(me: Person, ask: Callable[..., HttpResponse]) -> None:
    """Sending and using a code leave a line each, without address or code."""
    client = Client()
    ask(client)
    type_code(client, code_in_letter())
    lines = TrailLine.objects.order_by("pk")
    assert [line.did for line in lines] == ["send_sign_in_code", "note_sign_in"]
    assert "@" not in str(list(lines.values()))


class SlowMail(EmailBackend):
    """A mail server that takes a letter only once it is let."""

    let = Event()

    def send_messages(self, messages: Sequence[EmailMultiAlternatives]) -> int:  # type: ignore[override]
        assert self.let.wait(timeout=60)
        return super().send_messages(messages)


@pytest.mark.django_db(transaction=True)
def test_nobody_waits_for_the_mail_server(settings: Settings) -> None:
    """A known address is answered before its letter is taken, as an unknown one is, so that no clock tells them apart."""
    PersonFactory(email=ADDRESS, roles=["volunteer"])
    settings.EMAIL_BACKEND = f"{__name__}.SlowMail"
    SlowMail.let.clear()
    answers = [
        Client().post(reverse("people:sign_in"), {"email": each})
        for each in (ADDRESS, "stranger@example.org")
    ]
    assert [answer.status_code for answer in answers] == [302, 302]
    assert mail.outbox == []
    assert not letters_gone(timeout_s=0)
    SlowMail.let.set()
    assert letters_gone()
    assert [letter.to for letter in mail.outbox] == [[ADDRESS]]


def test_bad_address_keeps_what_was_typed(group: object) -> None:
    """An address that cannot be one comes back as typed, and the page says that no code is on its way."""
    answer = Client().post(reverse("people:sign_in"), {"email": "not an address"})
    assert answer.status_code == 422
    assert 'value="not an address"' in answer.content.decode()
    assert "No code has been sent yet" in answer.content.decode()
    assert (
        "You are not signed in yet"
        in Client().post(reverse("people:sign_in_code"), {"code": ""}).content.decode()
    )


def test_codes_are_forgotten_after_a_day(
    me: Person, ask: Callable[..., HttpResponse], clock: time_machine.Traveller
) -> None:
    """Old codes, and with them addresses and hashes, are removed."""
    ask(Client())
    clock.shift(timedelta(days=2))
    ask(Client(), "stranger@example.org")
    assert not SignInCode.objects.filter(email=ADDRESS).exists()


def test_signing_out_ends_the_session(sign_in: Callable[[Person], Client], me: Person) -> None:
    """One signs out by a button; opening the address alone changes nothing."""
    client = sign_in(me)
    assert client.get(reverse("people:sign_out")).status_code == 405
    client.post(reverse("people:sign_out"))
    assert signed_in_as(client) is None


def test_help_page_names_the_telephone(group: object) -> None:
    """Who gets no letter finds in plain words what to do, and whom to ring."""
    assert "01234 567890" in Client().get(reverse("people:sign_in_help")).content.decode()


def test_no_code_for_people_without_an_address(group: object, ask: Callable[..., HttpResponse]) -> None:
    """A person without an address is never found by an empty one."""
    PersonFactory(email="", roles=["volunteer"])
    ask(Client(), "")
    assert not mail.outbox


@pytest.mark.parametrize(
    ("pressed", "came_from", "onward"),
    [
        ("/batches/kits/KHG449/help/", "", "/batches/kits/KHG449/help/"),
        (
            "/batches/kits/KHG449/claim/",
            "http://testserver/batches/kits/KHG449/?a=b",
            "/batches/kits/KHG449/",
        ),
        ("/batches/kits/KHG449/claim/", "https://elsewhere.example/batches/", "/"),
        ("/batches/kits/KHG449/claim/", "", "/"),
    ],
)
def test_a_form_sent_after_signing_out_leads_back(pressed: str, came_from: str, onward: str) -> None:
    """After signing in one is back at the form, or at the page whose button one pressed; never outside."""
    answer = Client().post(pressed, headers={"referer": came_from} if came_from else {})
    assert answer["Location"] == f"{reverse('people:sign_in')}?next={onward}"
