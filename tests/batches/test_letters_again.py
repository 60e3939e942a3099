"""Letters about kits that a mail server did not take: tried again with care, sent once, and only while they are true."""

import re
from collections.abc import Callable, Iterator, Sequence
from datetime import datetime, timedelta
from io import StringIO

import pytest
import time_machine
from django.core.mail import EmailMessage
from django.core.mail.backends.base import BaseEmailBackend
from django.core.management import call_command
from django.db import connection, transaction
from django.test import Client
from django_tasks_db.models import DBTaskResult
from pytest_django.fixtures import Settings

from gowngroup.batches.actions import (
    WishDetails,
    answer_call,
    ask_for_help,
    ask_to_be_told,
    claim_kit,
    give_back,
    remind_sewers,
    say_finished,
    tell_kept,
    tell_those_waiting,
)
from gowngroup.batches.models import Kit, Letter
from gowngroup.people.actions import send_due_letters
from gowngroup.people.actions.unsent import GAPS
from gowngroup.people.models import Person, UnsentLetter
from gowngroup.people.queries import unsent_letters
from tests.factories import KitFactory
from tests.mail_server import AFTER_THE_DOT, MailServer, closed_port, mail_server, send_to
from tests.race import at_once

pytestmark = pytest.mark.django_db
DAY, HOUR, QUARTER = timedelta(days=1), timedelta(hours=1), timedelta(minutes=15)


@pytest.fixture
def server(settings: Settings) -> Iterator[MailServer]:
    with mail_server(settings) as told:
        yield told


@pytest.fixture
def _at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """What waits for the end of the transaction is done at once."""
    monkeypatch.setattr("django.db.transaction.on_commit", lambda send: send())


@pytest.fixture
def due_kit(held_kit: Kit, at: datetime) -> Kit:
    """A kit the volunteer has at home, due in three days."""
    Kit.objects.filter(pk=held_kit.pk).update(due_on=at.date() + 3 * DAY)
    held_kit.refresh_from_db()
    return held_kit


@pytest.fixture
def unsent(due_kit: Kit, server: MailServer, settings: Settings, at: datetime, _at_once: None) -> Kit:
    """A kit of which its sewer was to be reminded while the mail server was down; by now it is up."""
    send_to(settings, closed_port())
    assert remind_sewers(at=at) == 1
    send_to(settings, server.port)
    return due_kit


@pytest.mark.parametrize(
    ("answers", "hangs_up_at", "reason", "is_tried_again"),
    [
        ({"RCPT": "450 mailbox busy"}, "", "later", True),
        ({"DATA": "421 closing"}, "", "later", True),
        ({"RCPT": "550 no such mailbox"}, "", "address", False),
        ({AFTER_THE_DOT: "554 no thanks"}, "", "refused", False),
        ({"MAIL": "550 who are you"}, "", "no entry", True),
        ({"EHLO": "554 go away", "HELO": "554 go away"}, "", "no server", True),
        ({"AUTH": "535 wrong"}, "", "no entry", True),
        ({}, "EHLO", "no server", True),
        ({}, "RCPT", "broke off", False),
        ({}, AFTER_THE_DOT, "broke off", False),
    ],
)
@pytest.mark.usefixtures("due_kit", "_at_once")
def test_what_becomes_of_a_letter_not_taken(
    answers: dict[str, str],
    hangs_up_at: str,
    reason: str,
    is_tried_again: bool,
    server: MailServer,
    settings: Settings,
    at: datetime,
) -> None:
    """RFC 5321, 4.2.1: 4yz is for a time and tried again, 5yz of the recipient is final; so is what may have arrived."""
    server.answers, server.hangs_up_at = answers, hangs_up_at
    if "AUTH" in answers:
        server.is_signed_in_to, settings.EMAIL_HOST_USER, settings.EMAIL_HOST_PASSWORD = True, "us", "x"
    assert remind_sewers(at=at) == 1
    note = UnsentLetter.objects.get()
    assert (note.reason, note.try_count, note.kind) == (reason, 1, "before")
    assert note.next_try_at == (at + QUARTER if is_tried_again else None)
    assert list(unsent_letters(at=at)) == [note]


@pytest.mark.usefixtures("due_kit", "_at_once")
def test_a_letter_that_is_taken_leaves_nothing_behind(server: MailServer, at: datetime) -> None:
    """A letter the server has taken is noted nowhere as not sent."""
    assert remind_sewers(at=at) == 1
    assert (len(server.letters), UnsentLetter.objects.count()) == (1, 0)


def test_it_is_tried_again_and_sent_once(unsent: Kit, server: MailServer, at: datetime) -> None:
    """Not before a quarter of an hour has passed, then once, with a stop link that works, and never again."""
    assert (send_due_letters(at=at + QUARTER - timedelta(seconds=1)), server.letters) == (0, [])
    assert [send_due_letters(at=at + QUARTER) for _run in range(3)] == [1, 0, 0]
    assert remind_sewers(at=at + QUARTER) == 0
    assert (len(server.letters), Letter.objects.count(), UnsentLetter.objects.count()) == (1, 1, 0)
    body = server.letters[0].get_body(("plain",))
    found = re.search(r"https?://[^/]+(/\S+/letters/stop/\S+/)", body.get_content() if body else "")
    assert found
    assert Client().get(found[1]).status_code == 200


def test_the_daily_run_tries_again(unsent: Kit, server: MailServer, at: datetime) -> None:
    """`send_letters` begins with the letters of before and counts them apart."""
    out = StringIO()
    with time_machine.travel(at + DAY, tick=False):
        call_command("send_letters", stdout=out)
    assert out.getvalue().endswith("0 letters about kits waiting, 1 sent at another try.\n")
    assert len(server.letters) == 1


def test_it_is_left_to_the_coordinator_in_the_end(unsent: Kit, server: MailServer, at: datetime) -> None:
    """After a quarter, an hour, four hours and a day it is given up, and stays on the list for thirty days."""
    server.answers = {"RCPT": "450 mailbox busy"}
    Kit.objects.update(due_on=at.date() + 9 * DAY)
    Letter.objects.update(about_on=at.date() + 9 * DAY)
    moment = at
    for gap in GAPS:
        assert UnsentLetter.objects.get().next_try_at == moment + gap
        moment += gap
        assert send_due_letters(at=moment) == 0
    note = UnsentLetter.objects.get()
    assert (note.try_count, note.next_try_at, GAPS[0]) == (5, None, QUARTER)
    send_due_letters(at=at + 30 * DAY)
    assert unsent_letters(at=at + 30 * DAY).exists()
    send_due_letters(at=at + 31 * DAY)
    assert not UnsentLetter.objects.exists()


def _give_back(kit: Kit, person: Person, at: datetime) -> None:
    give_back(kit=kit, by=person, at=at)


def _finish(kit: Kit, person: Person, at: datetime) -> None:
    say_finished(kit=kit, gown_count=1, are_needles_counted=True, by=person, at=at)


def _move_on(kit: Kit, person: Person, at: datetime) -> None:
    Kit.objects.filter(pk=kit.pk).update(due_on=at.date() + 20 * DAY)


def _stop(kit: Kit, person: Person, at: datetime) -> None:
    Person.objects.filter(pk=person.pk).update(reminded_by="telephone")


def _lose_address(kit: Kit, person: Person, at: datetime) -> None:
    Person.objects.filter(pk=person.pk).update(email="")


def _wait_too_long(kit: Kit, person: Person, at: datetime) -> None:
    UnsentLetter.objects.update(next_try_at=at)
    Kit.objects.filter(pk=kit.pk).update(due_on=at.date())
    Letter.objects.update(about_on=at.date())


@pytest.mark.parametrize("change", [_give_back, _finish, _move_on, _stop, _lose_address, _wait_too_long])
def test_what_is_over_is_not_told(
    unsent: Kit,
    volunteer: Person,
    server: MailServer,
    at: datetime,
    change: Callable[[Kit, Person, datetime], None],
) -> None:
    """A reminder that would not be true any more, or not be wished, is not sent late, and its note goes."""
    change(unsent, volunteer, at)
    assert send_due_letters(at=at + QUARTER) == 0
    assert [letter["Subject"] for letter in server.letters if "due soon" in str(letter["Subject"])] == []
    assert not UnsentLetter.objects.filter(kind="before").exists()


@pytest.mark.usefixtures("_at_once")
def test_each_kind_is_written_anew(
    waiting_kit: Kit,
    volunteer: Person,
    colleague: Person,
    coordinator: Person,
    server: MailServer,
    settings: Settings,
    at: datetime,
) -> None:
    """Kits waiting and kept, a call and its answer: each reads as it did, to the address she has by then."""
    send_to(settings, closed_port())
    ask_to_be_told(details=WishDetails(), person=volunteer, by=volunteer, at=at)
    assert tell_those_waiting(at=at) == 1
    kept = KitFactory(state=Kit.State.WAITING, kept_for=colleague)
    tell_kept(kit=kept, at=at)
    held = claim_kit(kit=KitFactory(state=Kit.State.WAITING), by=colleague, at=at).kit
    ask_for_help(kit=held, words="stuck", by=colleague, at=at)
    answered = ask_for_help(kit=held, words="stuck again", by=colleague, at=at)
    answer_call(call=answered, answer="come on Monday", by=coordinator, at=at)
    kinds = UnsentLetter.objects.order_by("pk").values_list("kind", flat=True)
    assert list(kinds) == ["suits", "kept", "call", "call", "answer"]
    Person.objects.filter(pk=volunteer.pk).update(email="new@example.org")
    send_to(settings, server.port)
    assert send_due_letters(at=at + QUARTER) == 4  # one call has been answered in the meantime
    words = ["may suit you is waiting", "kept for you", "would like help", "About your kit"]
    to = ["new@example.org", colleague.email, coordinator.email, colleague.email]
    assert server.to() == to
    assert all(part in str(letter["Subject"]) for part, letter in zip(words, server.letters, strict=True))
    assert not UnsentLetter.objects.exists()


@pytest.mark.usefixtures("_at_once")
def test_no_subject_says_what_gowns_are_for(
    volunteer: Person, server: MailServer, settings: Settings, at: datetime
) -> None:
    """Neither the note nor the letter sent late bears the word for gowns of babies who die."""
    Person.objects.update(has_agreed_to_memorial=True)
    KitFactory(state=Kit.State.WAITING, purpose="memorial")
    ask_to_be_told(details=WishDetails(), person=volunteer, by=volunteer, at=at)
    send_to(settings, closed_port())
    tell_those_waiting(at=at)
    assert "emorial" not in str(UnsentLetter.objects.values())
    send_to(settings, server.port)
    assert send_due_letters(at=at + QUARTER) == 1
    assert "emorial" not in server.letters[0].as_string()


def test_a_server_killed_before_sending_loses_none(due_kit: Kit, server: MailServer, at: datetime) -> None:
    """What was noted and never begun goes out after an hour; till then nobody sees it, for it may be on its way."""
    remind_sewers(at=at)  # the test's transaction does not end, so that nothing is begun
    assert not unsent_letters(at=at + HOUR - QUARTER).exists()
    assert (send_due_letters(at=at + HOUR - QUARTER), server.letters) == (0, [])
    assert send_due_letters(at=at + HOUR) == 1


@pytest.mark.skipif(connection.vendor != "sqlite", reason="its way to refuse writing, as a full disk does")
@pytest.mark.django_db(transaction=True)
def test_a_disk_that_fills_up_in_between_loses_none(due_kit: Kit, server: MailServer, at: datetime) -> None:
    """Where it cannot be noted that a letter is being sent it is not sent yet, and nobody sees an error."""
    with connection.cursor() as cursor:
        with transaction.atomic():
            transaction.on_commit(lambda: cursor.execute("PRAGMA query_only = ON"))
            remind_sewers(at=at)
        cursor.execute("PRAGMA query_only = OFF")
    assert server.letters == []
    assert send_due_letters(at=at + HOUR) == 1


def test_a_letter_broken_off_by_a_kill_waits_for_the_coordinator(
    unsent: Kit, server: MailServer, at: datetime
) -> None:
    """What may have gone out is not sent again by itself, and is shown once nobody can still be at it."""
    UnsentLetter.objects.update(reason="under way", next_try_at=None, tried_at=at)
    assert not unsent_letters(at=at + QUARTER).exists()
    assert (send_due_letters(at=at + 2 * HOUR), server.letters) == (0, [])
    assert unsent_letters(at=at + HOUR).get().kind == "before"


@pytest.mark.django_db(transaction=True)
@pytest.mark.usefixtures("race_database")
def test_many_runs_at_once_send_once(
    due_kit: Kit, server: MailServer, settings: Settings, at: datetime
) -> None:
    """However many runs come together, a letter tried again goes out once."""
    send_to(settings, closed_port())
    remind_sewers(at=at)
    send_to(settings, server.port)
    assert sum(at_once([lambda: send_due_letters(at=at + QUARTER)] * 6)) == 1
    assert (len(server.letters), UnsentLetter.objects.count()) == (1, 0)


@pytest.mark.usefixtures("_at_once")
def test_the_worker_is_asked_once_for_all_of_a_moment(
    due_kit: Kit, colleague: Person, settings: Settings, at: datetime
) -> None:
    """Letters that failed together are tried again by one round of the worker, when their time has come."""
    settings.TASKS = {"default": {"BACKEND": "django_tasks_db.DatabaseBackend", "QUEUES": ["default"]}}
    claim_kit(kit=KitFactory(state=Kit.State.WAITING), by=colleague, at=at)
    Kit.objects.update(due_on=at.date())
    send_to(settings, closed_port())
    assert remind_sewers(at=at) == 2
    asked = DBTaskResult.objects.get()
    assert (asked.run_after, asked.task_path) == (at + QUARTER, "gowngroup.people.tasks.send_letters_again")
    assert UnsentLetter.objects.filter(next_try_at=asked.run_after).count() == 2
    with time_machine.travel(at + QUARTER, tick=False):
        asked.task.func()
    assert set(UnsentLetter.objects.values_list("try_count", flat=True)) == {2}


class SlowServer(BaseEmailBackend):
    """A mail server that hangs up in the end, and all the while people go on: they forget whom the letter is for."""

    def send_messages(self, _letters: Sequence[EmailMessage]) -> int:
        UnsentLetter.objects.all().delete()
        raise TimeoutError


def test_who_was_erased_while_her_letter_was_sent_leaves_no_note(
    unsent: Kit, at: datetime, settings: Settings
) -> None:
    """A note that goes while its letter is being sent is not written again."""
    assert str(UnsentLetter.objects.get()).startswith("before")
    settings.EMAIL_BACKEND = f"{__name__}.SlowServer"
    assert send_due_letters(at=at + QUARTER) == 0
    assert not UnsentLetter.objects.exists()
