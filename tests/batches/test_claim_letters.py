"""Letters that go out by themselves: a kit that suits is waiting, a kit is soon due; each once, each can be stopped."""

import re
from collections.abc import Callable
from datetime import date, datetime, timedelta
from io import StringIO

import pytest
from django.core import mail
from django.core.mail import EmailMultiAlternatives
from django.core.management import call_command
from django.test import Client
from django.urls import reverse
from pytest_django.fixtures import Settings

from gowngroup.batches.actions import (
    WishDetails,
    ask_to_be_told,
    claim_kit,
    give_back,
    remind_sewers,
    say_finished,
    stop_being_told,
    tell_those_waiting,
)
from gowngroup.batches.models import Kit, KitWish, Letter
from gowngroup.people.models import Group, Person
from tests.factories import DesignRevisionFactory, KitFactory, PersonFactory, SizeFactory
from tests.mail_server import closed_port, send_to
from tests.race import at_once

pytestmark = pytest.mark.django_db
SignIn = Callable[[Person], Client]
DAY = timedelta(days=1)


@pytest.fixture(autouse=True)
def _letters_go_out(monkeypatch: pytest.MonkeyPatch) -> None:
    """What waits for the end of the transaction is done at once."""
    monkeypatch.setattr("django.db.transaction.on_commit", lambda send: send())


def letter(number: int = -1) -> EmailMultiAlternatives:
    found = mail.outbox[number]
    assert isinstance(found, EmailMultiAlternatives)
    return found


def texts(number: int = -1) -> list[str]:
    """A letter as plain text and as a page."""
    found = letter(number)
    return [str(found.body), str(found.alternatives[0][0])]


def stop_path(number: int = -1) -> str:
    found = re.search(r"https?://[^/]+(/\S+/letters/stop/\S+/)", texts(number)[0])
    assert found
    return found[1]


@pytest.fixture
def waiting(volunteer: Person, at: datetime) -> Person:
    """Somebody who would like to be told."""
    ask_to_be_told(details=WishDetails(), person=volunteer, by=volunteer, at=at - 9 * DAY)
    return volunteer


def test_a_kit_that_suits_is_told_of_once(waiting: Person, waiting_kit: Kit, at: datetime) -> None:
    """The letter names the kit in text and as a page, leads to it, and is not sent again by another run."""
    assert (tell_those_waiting(at=at), tell_those_waiting(at=at), tell_those_waiting(at=at + 9 * DAY)) == (
        1,
        0,
        0,
    )
    assert letter().to == [waiting.email]
    for text in texts():
        assert reverse("batches:kit_page", args=[waiting_kit.code]) in text
        assert "for a baby up to 46\u00a0cm long" in text
    assert letter().extra_headers["List-Unsubscribe"].strip("<>").endswith(stop_path())


def test_a_memorial_kit_is_told_of_gently(waiting: Person, at: datetime) -> None:
    """Only who has said yes is told of it; neither subject nor text bears the word."""
    KitFactory(state=Kit.State.WAITING, purpose="memorial")
    assert tell_those_waiting(at=at) == 0
    Person.objects.update(has_agreed_to_memorial=True)
    assert tell_those_waiting(at=at) == 1
    assert "For babies who die, before or soon after birth." in texts()[0]
    assert all("emorial" not in text for text in (letter().subject, *texts()))


def test_who_has_waited_longest_is_told_first(
    waiting: Person, colleague: Person, waiting_kit: Kit, at: datetime
) -> None:
    """The first has a day before the next is told; who takes a kit goes to the end of the queue."""
    ask_to_be_told(details=WishDetails(), person=colleague, by=colleague, at=at - DAY)
    tell_those_waiting(at=at)
    assert [each.to for each in mail.outbox] == [[waiting.email]]
    tell_those_waiting(at=at + 2 * DAY)
    assert [each.to for each in mail.outbox] == [[waiting.email], [colleague.email]]
    claim_kit(kit=waiting_kit, by=waiting, at=at + 2 * DAY)
    assert [wish.person for wish in KitWish.objects.all()] == [colleague, waiting]


def test_a_kit_given_back_is_news_again(
    waiting: Person, colleague: Person, waiting_kit: Kit, at: datetime
) -> None:
    """She is told again of a kit that somebody had and gave back."""
    tell_those_waiting(at=at)
    claim_kit(kit=waiting_kit, by=colleague, at=at)
    give_back(kit=Kit.objects.get(pk=waiting_kit.pk), by=colleague, at=at + 5 * DAY)
    assert tell_those_waiting(at=at + 6 * DAY) == 1


def test_only_what_suits(waiting: Person, at: datetime) -> None:
    """Stage, difficulty, size and post are as she wishes; nobody is written to more often than every third day."""
    small = SizeFactory(lower_mass_g=500, upper_mass_g=750, body_length_um=330_000)
    Person.objects.filter(pk=waiting.pk).update(stages_liked=["whole"], practice=2)
    ask_to_be_told(details=WishDetails(size=small, is_by_post_only=True), person=waiting, by=waiting, at=at)
    fitting = {"state": Kit.State.WAITING, "size": small, "can_be_posted": True}
    KitFactory(**{**fitting, "can_be_posted": False})
    KitFactory(**{**fitting, "size": SizeFactory()})
    KitFactory(**fitting, stage="pleat")
    KitFactory(**fitting, design_revision=DesignRevisionFactory(difficulty=3))
    assert tell_those_waiting(at=at) == 0
    kit = KitFactory(**fitting)
    assert tell_those_waiting(at=at) == 1
    assert Letter.objects.get().kit == kit
    KitFactory(**fitting)
    assert (tell_those_waiting(at=at + DAY), tell_those_waiting(at=at + 4 * DAY)) == (0, 1)


def test_who_has_no_room_or_is_away_is_left_in_peace(waiting: Person, waiting_kit: Kit, at: datetime) -> None:
    """No letter while she is away, has as many kits as allowed or has left."""
    for fields in ({"away_until": at.date()}, {"away_until": None, "is_active": False}):
        Person.objects.filter(pk=waiting.pk).update(**fields)
        assert tell_those_waiting(at=at) == 0
    Person.objects.filter(pk=waiting.pk).update(is_active=True)
    Group.objects.update(claim_limit_count=1)
    claim_kit(kit=KitFactory(state=Kit.State.WAITING), by=waiting, at=at)
    assert tell_those_waiting(at=at) == 0


def test_asking_and_stopping_on_the_page(volunteer: Person, waiting_kit: Kit, sign_in: SignIn) -> None:
    """One button asks for letters, one stops them; the first comes at once where something suits."""
    client = sign_in(volunteer)
    assert client.get(reverse("batches:kit_wish")).status_code == 200
    assert client.post(reverse("batches:kit_wish"), {"request_key": "k"}).status_code == 302
    assert len(mail.outbox) == 1
    assert "Please stop telling me" in client.get(reverse("batches:kits_waiting")).content.decode()
    client.post(reverse("batches:kit_wish_end"))
    assert not KitWish.objects.exists()
    assert client.post(reverse("batches:kit_wish"), {"size": "x"}).status_code == 422


def test_a_stop_link_stops_only_when_pressed(waiting: Person, waiting_kit: Kit, at: datetime) -> None:
    """Opening the link changes nothing, its button stops the letters, without signing in; a wrong one is 404."""
    tell_those_waiting(at=at)
    visitor = Client()
    assert len(stop_path().rsplit("/", 2)[1]) >= 22  # 128 bits in base 64
    assert "Shall we stop writing to you" in visitor.get(stop_path()).content.decode()
    assert KitWish.objects.exists()
    assert "You get no more letters" in visitor.post(stop_path()).content.decode()
    assert not KitWish.objects.exists()
    assert visitor.get(reverse("batches:letters_stop", args=["x" * 43])).status_code == 404


@pytest.mark.parametrize(
    ("days", "words"),
    [
        (-3, "is due soon"),
        (-1, "is due soon"),
        (0, "is due today"),
        (5, "How is your kit"),
        (20, "How is your kit"),
    ],
)
def test_reminders(held_kit: Kit, at: datetime, days: int, words: str) -> None:
    """A kind letter before, on and after the day a kit is due, each once."""
    Kit.objects.update(due_on=at.date() - days * DAY)
    assert (remind_sewers(at=at), remind_sewers(at=at)) == (1, 0)
    assert words in letter().subject
    for text in texts():
        assert reverse("batches:kit_page", args=[held_kit.code]) in text


@pytest.mark.parametrize("days", [-4, 1, 4, 22])
def test_no_reminder_on_other_days(held_kit: Kit, at: datetime, days: int) -> None:
    """Between these days she is left in peace."""
    Kit.objects.update(due_on=at.date() - days * DAY)
    assert remind_sewers(at=at) == 0


def test_nobody_is_chased_for_a_memorial_kit(volunteer: Person, at: datetime) -> None:
    """No reminder ever goes out for a kit for babies who die."""
    Person.objects.update(has_agreed_to_memorial=True)
    claim_kit(kit=KitFactory(state=Kit.State.WAITING, purpose="memorial"), by=volunteer, at=at)
    for days in range(-5, 30):
        Kit.objects.update(due_on=at.date() - days * DAY)
        assert remind_sewers(at=at) == 0


def test_who_wants_no_reminder_gets_none(held_kit: Kit, volunteer: Person, at: datetime) -> None:
    """Not after she said it is finished, nor while she is away, nor after she stopped them on her page or by the link."""
    Kit.objects.update(due_on=at.date())
    for fields in ({"reminded_by": "none"}, {"reminded_by": "mail", "away_until": at.date()}):
        Person.objects.filter(pk=volunteer.pk).update(**fields)
        assert remind_sewers(at=at) == 0
    Person.objects.filter(pk=volunteer.pk).update(away_until=None)
    assert remind_sewers(at=at) == 1
    assert "You are not reminded any more" in Client().post(stop_path()).content.decode()
    Kit.objects.update(due_on=at.date() + DAY)
    assert remind_sewers(at=at) == 0
    Person.objects.filter(pk=volunteer.pk).update(reminded_by="mail")
    say_finished(kit=held_kit, gown_count=1, are_needles_counted=True, by=volunteer, at=at)
    assert remind_sewers(at=at) == 0


def test_a_new_day_is_reminded_of_anew_and_one_letter_holds_all(
    held_kit: Kit, volunteer: Person, at: datetime
) -> None:
    """Two kits due the same day stand in one letter; a day moved on is reminded of again."""
    second = KitFactory(state=Kit.State.WAITING)
    claim_kit(kit=second, by=volunteer, at=at)
    Kit.objects.update(due_on=date(2026, 4, 7))
    assert remind_sewers(at=at.replace(month=4, day=7)) == 1
    assert "Your kits" in letter().subject
    Kit.objects.filter(pk=second.pk).update(due_on=date(2026, 5, 1))
    assert remind_sewers(at=at.replace(month=5, day=1)) == 1


def test_the_daily_command(held_kit: Kit, colleague: Person, at: datetime) -> None:
    """The command does both and says how many letters went out; a mail server that is down breaks nothing."""
    ask_to_be_told(details=WishDetails(), person=colleague, by=colleague, at=at)
    stop_being_told(person=colleague, by=colleague, at=at)
    stop_being_told(person=colleague, by=colleague, at=at)
    out = StringIO()
    call_command("send_letters", stdout=out)
    assert out.getvalue() == "0 reminders, 0 letters about kits waiting, 0 sent at another try.\n"


def test_a_broken_mail_server_breaks_nothing(
    held_kit: Kit, at: datetime, settings: Settings, caplog: pytest.LogCaptureFixture
) -> None:
    """Where a letter cannot be sent that is logged, without the address."""
    send_to(settings, closed_port())
    Kit.objects.update(due_on=at.date())
    assert remind_sewers(at=at) == 1
    assert "could not be sent" in caplog.text
    assert "@" not in caplog.text


@pytest.mark.django_db(transaction=True)
@pytest.mark.usefixtures("race_database")
def test_two_runs_at_once_send_once(held_kit: Kit, colleague: Person, at: datetime) -> None:
    """However many runs come together, each letter goes out once."""
    ask_to_be_told(details=WishDetails(), person=colleague, by=colleague, at=at)
    KitFactory(state=Kit.State.WAITING)
    Kit.objects.filter(pk=held_kit.pk).update(due_on=at.date())
    runs = [lambda: remind_sewers(at=at), lambda: tell_those_waiting(at=at)] * 4
    assert sum(at_once(runs)) == 2
    assert len(mail.outbox) == Letter.objects.count() == 2


def test_of_two_addresses_each_reads_her_own(waiting: Person, waiting_kit: Kit, at: datetime) -> None:
    """Lengths stand in the letter in the reader's own unit."""
    Person.objects.filter(pk=waiting.pk).update(length_unit="in")
    tell_those_waiting(at=at)
    assert "in long" in texts()[0]
    assert PersonFactory().email not in str(letter().message())
