"""Sign-in under 32 browsers at once, on a live database."""

import threading
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path
from typing import TypeVar

import pytest
from django.core import mail
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from gowngroup.people.actions.post import letters_gone
from gowngroup.people.actions.sign_in import GUESSES, MAILS_PER_WINDOW, send_sign_in_code, use_sign_in_code
from gowngroup.people.models import Person, SignInCode
from gowngroup.records.errors import Refusal
from tests.factories import PersonFactory
from tests.race import at_once, database_in_a_file

pytestmark = pytest.mark.django_db(transaction=True)
R = TypeVar("R")
ADDRESS, BROWSER, CLIENTS = "raced@example.org", "a-token-of-one-browser", 32


@pytest.fixture(autouse=True)
def person(transactional_db: None, tmp_path: Path) -> Iterator[Person]:
    with database_in_a_file(tmp_path / "race.sqlite3"):
        yield PersonFactory(email=ADDRESS, roles=["volunteer"])


@pytest.fixture
def code(person: Person) -> SignInCode:
    return send_sign_in_code(email=ADDRESS, browser=BROWSER, at=timezone.now())


def race(function: Callable[[int], R]) -> list[R]:
    return at_once([partial(function, number) for number in range(CLIENTS)])


def guess_on_the_page(number: int) -> int:
    client = Client()
    client.cookies["sign-in"] = BROWSER
    return client.post(reverse("people:sign_in_code"), {"code": f"AAA-AAA-{number:03}"}).status_code


def test_at_most_five_guesses_are_evaluated(code: SignInCode) -> None:
    """Of 32 wrong codes sent side by side five are compared with the right one, the rest never are."""
    answers = race(guess_on_the_page)
    assert (answers.count(422), answers.count(409)) == (GUESSES, CLIENTS - GUESSES)
    code.refresh_from_db()
    assert code.guess_count == GUESSES


def test_reading_before_counting_lets_more_than_five_through(code: SignInCode) -> None:
    """The negative control: read, check, then save evaluates far more than five guesses."""
    all_have_read = threading.Barrier(CLIENTS)

    def naive_guess(_number: int) -> bool:
        mine = SignInCode.objects.get(pk=code.pk)
        all_have_read.wait(timeout=60)
        if mine.guess_count >= GUESSES:
            return False
        mine.guess_count += 1
        mine.save()
        return True

    assert race(naive_guess).count(True) > GUESSES


def test_right_code_signs_in_once(code: SignInCode) -> None:
    """The right code sent 32 times side by side is used up exactly once."""
    assert letters_gone()
    typed = str(mail.outbox[-1].body).split("code to sign in:")[1].split()[0]

    def use(_number: int) -> bool:
        try:
            use_sign_in_code(browser=BROWSER, typed=typed, at=timezone.now())
        except Refusal:
            return False
        return True

    assert race(use).count(True) == 1


def test_at_most_three_letters_leave(person: Person) -> None:
    """Of 32 requests for one address side by side three letters are sent and 29 are told to wait."""
    answers = race(lambda _number: Client().post(reverse("people:sign_in"), {"email": ADDRESS}).status_code)
    assert (answers.count(302), answers.count(429)) == (MAILS_PER_WINDOW, CLIENTS - MAILS_PER_WINDOW)
    assert letters_gone()
    assert len(mail.outbox) == MAILS_PER_WINDOW


def test_reading_before_sending_lets_more_than_three_leave(person: Person) -> None:
    """The negative control: count the letters, then send, sends far more than three."""
    all_have_read = threading.Barrier(CLIENTS)

    def naive_send(number: int) -> bool:
        sent = SignInCode.objects.filter(email=ADDRESS).count()
        all_have_read.wait(timeout=60)
        if sent >= MAILS_PER_WINDOW:
            return False
        now = timezone.now()
        SignInCode.objects.create(
            email=ADDRESS, address_hash=ADDRESS, slot=number, sent_at=now, expires_at=now
        )
        return True

    assert race(naive_send).count(True) > MAILS_PER_WINDOW
