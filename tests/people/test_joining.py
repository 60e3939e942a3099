"""Asking to join from outside, and the coordinator's answer."""

import re
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager
from datetime import UTC, datetime, timedelta
from functools import partial
from io import StringIO
from pathlib import Path

import pytest
import time_machine
from django.contrib.sessions.models import Session
from django.core import mail
from django.core.management import call_command
from django.test import Client
from django.urls import reverse
from django_tasks_db.models import DBTaskResult

from gowngroup.people.actions import JoinDetails, ask_to_join, forget_what_is_old, say_no
from gowngroup.people.actions.joining import MOST_IN_A_WINDOW, MOST_OPEN
from gowngroup.people.models import Group, JoinRequest, Person, SignInCode
from gowngroup.records.errors import Refusal
from gowngroup.records.models import TrailLine
from tests.factories import GroupFactory, PersonFactory
from tests.race import at_once, database_in_a_file

pytestmark = pytest.mark.django_db
SignIn = Callable[[Person], Client]
OnCommit = Callable[..., AbstractContextManager[list[Callable[[], object]]]]
TYPED = {"name": "Nora  Tuck", "telephone": "01234 999", "email": "Nora@Example.org", "note": "I can smock."}
WELCOMED = {"name": "Nora Tuck", "email": "nora@example.org", "roles": ["volunteer"]} | {
    "has_agreed_to_memorial": "no"
}


@pytest.fixture(autouse=True)
def clock() -> Iterator[time_machine.Traveller]:
    with time_machine.travel(datetime(2026, 3, 10, 9, 30, tzinfo=UTC), tick=False) as traveller:
        yield traveller


@pytest.fixture
def office(sign_in: SignIn, coordinator: Person) -> Client:
    return sign_in(coordinator)


def ask(**typed: str) -> int:
    return Client().post(reverse("people:join"), TYPED | typed).status_code


def test_a_stranger_asks_and_the_coordinator_sees_it(office: Client) -> None:
    """What a stranger asks stands on the coordinator's list, tidied, and her page of people says so."""
    assert "would like to sew" in Client().get(reverse("people:sign_in")).content.decode()
    assert ask() == 302
    asked = JoinRequest.objects.get()
    assert (asked.name, asked.email, asked.note) == ("Nora Tuck", "nora@example.org", "I can smock.")
    assert "1 person would like to join" in office.get(reverse("people:person_list")).content.decode()
    assert "Nora Tuck" in office.get(reverse("people:join_list")).content.decode()
    assert "1 person would like to join" in office.get(reverse("home:home")).content.decode()


def test_whatever_is_missing_is_said_at_once(group: Group) -> None:
    """Sent quite empty, the form asks for the name and for a way to answer, both in one page."""
    answer = Client().post(reverse("people:join"), {"telephone": " "})
    assert answer.status_code == 422
    assert set(answer.context["form"].errors) == {"name", "telephone"}


def test_hidden_signs_do_not_turn_the_list_round(group: Group) -> None:
    """What turns writing round is left out of a name; what joins letters and pictures in it stays."""
    ask(name="\u202eNora\u2069 👩\u200d🌾")
    assert JoinRequest.objects.get().name == "Nora 👩\u200d🌾"


def test_nothing_is_sent_and_every_answer_is_alike(group: Group) -> None:
    """New, asked twice or with the group already: the same page, and no letter to anybody."""
    PersonFactory(email="known@example.org", roles=["volunteer"])
    answers = [
        Client().post(reverse("people:join"), TYPED | {"email": email}, follow=True).content.decode()
        for email in ("new@example.org", "NEW@example.org", "known@example.org")
    ]
    assert (
        len({re.sub(r'(x-csrftoken": |csrfmiddlewaretoken" value=)"[^"]+', "", answer) for answer in answers})
        == 1
    )
    assert (JoinRequest.objects.count(), mail.outbox) == (2, [])


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"name": ""}, "name"),
        ({"name": "\u202e \u200b"}, "name"),
        ({"name": "x" * 121}, "name"),
        ({"telephone": "", "email": ""}, "telephone"),
        ({"telephone": "ring me"}, "telephone"),
        ({"email": "nora"}, "email"),
        ({"note": "x" * 301}, "note"),
    ],
)
def test_bad_input_is_asked_back(group: Group, typed: dict[str, str], field: str) -> None:
    """What cannot be right is named, what else was typed is kept, and nothing is saved."""
    answer = Client().post(reverse("people:join"), TYPED | typed)
    assert (answer.status_code, list(answer.context["form"].errors)) == (422, [field])
    assert "I can smock." in answer.content.decode() or field == "note"
    assert not JoinRequest.objects.exists()


def test_more_than_ten_an_hour_are_asked_to_wait(group: Group, clock: time_machine.Traveller) -> None:
    """From the eleventh within an hour the page says 429 and what to do; an hour later it takes more."""
    answers = [ask(email=f"a{number}@example.org") for number in range(MOST_IN_A_WINDOW + 1)]
    assert answers == [302] * MOST_IN_A_WINDOW + [429]
    clock.shift(timedelta(hours=1, seconds=1))
    assert ask(email="later@example.org") == 302


def test_a_full_list_tells_nobody_who_has_asked(group: Group) -> None:
    """Where no more are taken, somebody who stands on the list and a stranger to it are answered alike."""
    assert [ask(email=f"{number}@example.org") for number in range(MOST_IN_A_WINDOW)] == [
        302
    ] * MOST_IN_A_WINDOW
    assert (ask(email="1@example.org"), ask(email="stranger@example.org")) == (429, 429)


def test_what_is_kept_for_a_time_goes_by_itself(group: Group, clock: time_machine.Traveller) -> None:
    """The day's run removes what a stranger asked two months ago, codes and sessions; until then they stay."""
    ask()
    PersonFactory(email="somebody@example.org")
    browser = Client()
    browser.post(reverse("people:sign_in"), {"email": "somebody@example.org"})
    browser.force_login(PersonFactory())
    call_command("send_letters", stdout=StringIO())
    kept = (JoinRequest, SignInCode, Session)
    assert [model.objects.exists() for model in kept] == [True, True, True]
    clock.shift(timedelta(days=91))
    call_command("send_letters", stdout=StringIO())
    assert [model.objects.exists() for model in kept] == [False, False, False]


def test_the_list_has_an_end(group: Group, at: datetime) -> None:
    """However patient a machine is, it fills no more than sixty lines, and these go after sixty days."""
    for number in range(MOST_OPEN):
        JoinRequest.objects.create(name="x", contact_hash=str(number), asked_at=at - timedelta(days=59))
    assert ask() == 429
    with time_machine.travel(at + timedelta(days=2), tick=False):
        assert ask() == 302
    assert JoinRequest.objects.count() == 1


def test_a_group_may_have_no_such_form(group: Group) -> None:
    """Where the coordinator has switched it off the page does not exist and nothing leads there."""
    Group.objects.update(has_join_form=False)
    assert (Client().get(reverse("people:join")).status_code, ask()) == (404, 404)
    assert "would like to sew" not in Client().get(reverse("people:sign_in")).content.decode()


def test_she_is_welcomed(office: Client, django_capture_on_commit_callbacks: OnCommit) -> None:
    """The coordinator adds her with one form; the request is gone and a letter says how to sign in."""
    ask()
    page = reverse("people:join_answer", args=[JoinRequest.objects.get().pk])
    assert 'value="Nora Tuck"' in office.get(page).content.decode()
    with django_capture_on_commit_callbacks(execute=True):
        office.post(page, WELCOMED)
    nora = Person.objects.get(name="Nora Tuck")
    assert (nora.role_rows.get().role, JoinRequest.objects.exists()) == ("volunteer", False)
    [letter] = mail.outbox
    assert (letter.to, reverse("people:sign_in") in str(letter.body)) == (["nora@example.org"], True)
    assert office.post(page, WELCOMED).status_code == 404


def test_a_no_leaves_nothing(office: Client) -> None:
    """What she asked is removed whole; the trail says that somebody was answered, and not who."""
    ask()
    office.post(reverse("people:join_decline", args=[JoinRequest.objects.get().pk]))
    assert not JoinRequest.objects.exists()
    assert "Nora" not in str(list(TrailLine.objects.values()))
    assert mail.outbox == []


def test_two_coordinators_answer_once(coordinator: Person, group: Group, at: datetime) -> None:
    """The second of two who answer at the same time is told that it has been answered."""
    asked = ask_to_join(details=JoinDetails(name="Nora", telephone="01234 999"), at=at)
    assert asked
    say_no(join_request=asked, by=coordinator, at=at)
    with pytest.raises(Refusal, match="answered already"):
        say_no(join_request=asked, by=coordinator, at=at)


def test_whoever_is_known_already_is_pointed_out(office: Client) -> None:
    """Answering, the coordinator sees who already has this address or number."""
    PersonFactory(name="Nora Before", telephone="01234 999", is_active=False, roles=["volunteer"])
    ask()
    page = office.get(reverse("people:join_answer", args=[JoinRequest.objects.get().pk])).content.decode()
    assert "Nora Before" in page


@pytest.mark.django_db(transaction=True)
def test_many_at_once_fill_ten_lines(tmp_path: Path, at: datetime) -> None:
    """Of 32 who ask in the same moment ten are written down, and of one who asks 32 times one."""
    with database_in_a_file(tmp_path / "race.sqlite3"):
        GroupFactory()
        assert at_once([partial(is_kept, "same@example.org", at)] * 32).count(True) == 1
        others = at_once([partial(is_kept, f"a{number}@example.org", at) for number in range(32)])
        assert others.count(True) == MOST_IN_A_WINDOW - 1


def is_kept(email: str, at: datetime) -> bool:
    try:
        return ask_to_join(details=JoinDetails(name="x", email=email), at=at) is not None
    except Refusal:
        return False


def test_how_background_work_ended_is_kept_for_a_month(group: Group, at: datetime) -> None:
    """The day's run removes what ended a month ago, well or not, and nothing younger nor what still waits."""

    def ended(status: str, days_ago: int | None) -> DBTaskResult[..., object]:
        finished_at = None if days_ago is None else at - timedelta(days=days_ago)
        return DBTaskResult.objects.create(
            status=status,
            finished_at=finished_at,
            args_kwargs={"args": [], "kwargs": {}},
            task_path="gowngroup.people.tasks.send_letters_again",
            backend_name="default",
            run_after=at - timedelta(days=90),
            exception_class_path="",
            traceback="",
        )

    kept = {ended(status, 29).pk for status in ("SUCCESSFUL", "FAILED")} | {ended("READY", None).pk}
    for status in ("SUCCESSFUL", "FAILED"):
        ended(status, 31)
    forget_what_is_old(at=at)
    assert set(DBTaskResult.objects.values_list("pk", flat=True)) == kept
