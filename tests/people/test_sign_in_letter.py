"""The printed letter that signs somebody in once: made, read, used, taken back (promise S2b)."""

import io
import re
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from functools import partial
from math import log2
from pathlib import Path
from typing import Any

import pdfplumber
import pytest
import time_machine
import zxingcpp
from django.contrib.auth import get_user
from django.http import HttpRequest
from django.test import Client
from django.urls import reverse

from gowngroup.people.actions import make_sign_in_letter, use_sign_in_link
from gowngroup.people.actions.links import LETTER_LENGTH
from gowngroup.people.models import Person, PersonRole, SignInLink
from gowngroup.people.queries import roles_of
from gowngroup.records.codes import ALPHABET
from gowngroup.records.errors import Refusal
from tests.factories import PersonFactory
from tests.race import at_once, database_in_a_file

pytestmark = pytest.mark.django_db
SignIn = Callable[[Person], Client]


@pytest.fixture(autouse=True)
def clock() -> Iterator[time_machine.Traveller]:
    with time_machine.travel(datetime(2026, 3, 10, 9, 30, tzinfo=UTC), tick=False) as traveller:
        yield traveller


@pytest.fixture
def office(sign_in: SignIn, coordinator: Person) -> Client:
    return sign_in(coordinator)


@pytest.fixture
def secret(office: Client, volunteer: Person) -> str:
    """The long code of a letter the coordinator has just printed for a volunteer."""
    return secret_of(printed(office, volunteer))


def printed(office: Client, person: Person, **typed: str) -> Any:
    return office.post(reverse("printing:sign_in_letter", args=[person.pk]), typed)


def secret_of(answer: Any) -> str:
    found = re.search(r'name="secret" value="(\w+)"', answer.content.decode())
    assert found
    return found[1]


def address_of(secret: str) -> str:
    return reverse("people:sign_in_link", args=[secret])


def signed_in(client: Client) -> Any:
    """Who is signed in, loaded as a request loads her."""
    request = HttpRequest()
    request.session = client.session
    return get_user(request)


def test_looking_does_not_use_it_up_and_the_button_does(secret: str, volunteer: Person) -> None:
    """A program that opens every link changes nothing; the button signs in once, then the letter is spent."""
    browser = Client()
    for _ in range(3):
        assert "Sign in as Volunteer" in browser.get(address_of(secret)).content.decode()
    assert browser.head(address_of(secret)).status_code == 200
    assert not SignInLink.objects.filter(used_at__isnull=False).exists()
    assert browser.post(address_of(secret)).status_code == 302
    assert signed_in(browser) == volunteer
    spent = Client().post(address_of(secret))
    assert (spent.status_code, "signs nobody in any more" in spent.content.decode()) == (404, True)


def test_it_has_128_bits_and_is_kept_hashed(secret: str) -> None:
    """The code is one of at least 2**128 and lies nowhere in the database."""
    assert (len(secret), set(secret) <= set(ALPHABET)) == (LETTER_LENGTH, True)
    assert LETTER_LENGTH * log2(len(ALPHABET)) >= 128
    assert secret not in str(list(SignInLink.objects.values()))


def test_it_works_for_seven_days(secret: str, clock: time_machine.Traveller) -> None:
    """Until the seventh day is over the letter signs in, and from then on no more."""
    clock.shift(timedelta(days=7) - timedelta(seconds=1))
    assert Client().get(address_of(secret)).status_code == 200
    clock.shift(timedelta(seconds=1))
    assert Client().post(address_of(secret)).status_code == 404


def test_a_coordinator_has_a_volunteers_rights_by_letter(office: Client, coordinator: Person) -> None:
    """Whoever finds a coordinator's letter can open what a volunteer can, and nothing else, remembered or not."""
    PersonRole.objects.create(person=coordinator, role="driver")
    browser = Client()
    browser.post(address_of(secret_of(printed(office, coordinator))), {"is_remembered": "on"})
    assert roles_of(signed_in(browser)) == {"volunteer"}
    assert browser.get(reverse("people:my_page")).status_code == 200
    assert browser.get(reverse("people:person_list")).status_code == 403
    assert browser.post(reverse("people:person_leave", args=[coordinator.pk])).status_code == 403


@pytest.mark.parametrize(("typed", "age"), [({}, ""), ({"is_remembered": "on"}, 90 * 24 * 3600)])
def test_the_device_is_remembered_if_she_ticks_it(secret: str, typed: dict[str, str], age: object) -> None:
    """The sign-in ends with the browser, or lasts ninety days where she has ticked it."""
    answer = Client().post(address_of(secret), typed)
    assert answer.cookies["session"]["max-age"] == age


def test_it_is_listed_and_taken_back(office: Client, volunteer: Person, secret: str) -> None:
    """Her page lists the letter with its last day; one button makes it worthless."""
    page = reverse("people:person_page", args=[volunteer.pk])
    assert "letter made on 10 March 2026, 09:30, works until 17 March 2026" in " ".join(
        office.get(page).content.decode().split()
    )
    office.post(reverse("people:person_links_end", args=[volunteer.pk]))
    assert "works until" not in office.get(page).content.decode()
    assert Client().post(address_of(secret)).status_code == 404


def test_only_who_sews_gets_one(office: Client, packer: Person, volunteer: Person) -> None:
    """A letter gives a volunteer's rights, so nobody else gets one, nor anybody who has left."""
    Person.objects.filter(pk=volunteer.pk).update(is_active=False)
    for person in (packer, volunteer):
        assert printed(office, person).status_code == 422
    assert not SignInLink.objects.exists()


def test_sent_twice_makes_one(office: Client, volunteer: Person) -> None:
    """The same form sent again makes no second letter, and says that the code is kept nowhere."""
    first, again = (printed(office, volunteer, request_key="k") for _ in range(2))
    assert (first.status_code, again.status_code, SignInLink.objects.count()) == (200, 409, 1)
    assert "kept nowhere" in again.content.decode()
    assert first["Cache-Control"] == "private, no-store"


@pytest.mark.parametrize("spelling", [str.lower, lambda code: "–".join(re.findall(".{5}", code)), str.upper])
def test_it_may_be_typed(secret: str, spelling: Callable[[str], str]) -> None:
    """On a computer the code is typed in small letters, with any dashes, and leads to the same button."""
    answer = Client().post(reverse("people:sign_in_letter"), {"code": spelling(secret)}, follow=True)
    assert "Sign in as Volunteer" in answer.content.decode()


def test_a_code_typed_too_short_is_asked_back(group: object) -> None:
    """A code with a letter too few comes back as typed, with how many there were."""
    answer = Client().post(reverse("people:sign_in_letter"), {"code": "acd-34679"})
    assert (answer.status_code, "you have typed 8" in answer.content.decode()) == (422, True)
    assert 'value="acd-34679"' in answer.content.decode()


def test_the_pdf_is_one_page_a_telephone_reads(
    office: Client, volunteer: Person, secret: str, settings: Any
) -> None:
    """The same letter as a PDF: one page, large words, a square that an independent decoder reads (ISO/IEC 18004)."""
    answer = office.post(reverse("printing:sign_in_letter_pdf", args=[volunteer.pk]), {"secret": secret})
    with pdfplumber.open(io.BytesIO(answer.content)) as pdf:
        [page] = pdf.pages
        words, sizes = page.extract_text(), {round(char["size"]) for char in page.chars}
        [code] = zxingcpp.read_barcodes(page.to_image(resolution=150).original)
    assert code.text == settings.SITE_ADDRESS + address_of(secret)
    assert "Monday 16 March 2026" in words
    assert "01234 567890" in words
    assert max(sizes) >= 24
    body = [char["size"] for char in page.chars if char["top"] > 100 and char["bottom"] < page.height - 60]
    assert round(min(body), 1) >= 14


def test_another_persons_pdf_is_not_made(office: Client, colleague: Person, secret: str) -> None:
    """The PDF is made only for the person and letter it belongs to."""
    for pk, typed in ((colleague.pk, secret), (colleague.pk, ""), (0, secret)):
        answer = office.post(reverse("printing:sign_in_letter_pdf", args=[pk]), {"secret": typed})
        assert answer.status_code == 404


@pytest.mark.django_db(transaction=True)
def test_many_at_once_sign_in_one(tmp_path: Path, at: datetime) -> None:
    """Of sixteen who press the letter's button at the same moment one is signed in."""
    with database_in_a_file(tmp_path / "race.sqlite3"):
        person = PersonFactory(roles=["volunteer"])
        link = make_sign_in_letter(person=person, by=PersonFactory(roles=["coordinator"]), at=at)
        assert at_once([partial(is_used, link, at)] * 16).count(True) == 1


def is_used(link: SignInLink, at: datetime) -> bool:
    try:
        use_sign_in_link(link=link, at=at)
    except Refusal:
        return False
    return True
