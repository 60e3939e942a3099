"""Pages of the demonstration: the cast and the letters sent."""

from pathlib import Path

import pytest
from django.core.mail import EmailMultiAlternatives, get_connection
from django.test import Client
from django.urls import reverse
from pytest_django.fixtures import Settings

from gowngroup.people.models import Person

pytestmark = pytest.mark.django_db
PAGES = ["people:cast", "people:outbox"]


@pytest.mark.parametrize("name", PAGES)
def test_outside_the_demonstration_there_is_no_such_page(
    name: str, group: object, settings: Settings
) -> None:
    """With real data neither page exists, whichever way it is opened."""
    settings.IS_DEMO = False
    client = Client()
    assert client.get(reverse(name)).status_code == 404
    assert client.post(reverse(name), {"person": "1"}).status_code in (404, 405)


def test_nobody_signs_in_by_the_cast_with_real_data(volunteer: Person, settings: Settings) -> None:
    """With real data the cast page signs nobody in."""
    settings.IS_DEMO = False
    client = Client()
    client.post(reverse("people:cast"), {"person": volunteer.pk})
    assert "_auth_user_id" not in client.session


def test_one_click_is_enough_to_be_somebody(volunteer: Person, packer: Person) -> None:
    """One button signs in as anybody of the cast, also from somebody else."""
    client = Client()
    assert "Be Volunteer" in client.get(reverse("people:cast")).content.decode()
    client.post(reverse("people:cast"), {"person": volunteer.pk})
    client.post(reverse("people:cast"), {"person": packer.pk})
    assert client.session["_auth_user_id"] == str(packer.pk)


@pytest.mark.parametrize("person", ["0", "x", ""])
def test_unknown_person_of_the_cast(person: str, volunteer: Person) -> None:
    """Somebody who is not of the cast cannot be chosen, and nothing breaks."""
    client = Client()
    assert client.post(reverse("people:cast"), {"person": person}).status_code == 200
    assert "_auth_user_id" not in client.session


def test_letters_sent_can_be_read(group: object, settings: Settings, tmp_path: Path) -> None:
    """Every letter of the file outbox can be read on the page, the newest first, as text."""
    settings.EMAIL_FILE_PATH = tmp_path
    for number in (1, 2):
        letter = EmailMultiAlternatives(
            f"Letter {number}",
            "Grüße <b>5</b>\nhttps://gowns.example.org/batches/kits/KAB123/",
            to=["ada@example.org"],
        )
        letter.attach_alternative("<p>not shown</p>", "text/html")
        get_connection("django.core.mail.backends.filebased.EmailBackend", file_path=tmp_path).send_messages(
            [letter]
        )
    page = Client().get(reverse("people:outbox")).content.decode()
    assert page.index("Letter 2") < page.index("Letter 1")
    assert "Grüße &lt;b&gt;5&lt;/b&gt;" in page
    assert "not shown" not in page
    assert 'href="https://gowns.example.org/batches/kits/KAB123/"' in page


def test_empty_outbox_says_so(group: object, settings: Settings, tmp_path: Path) -> None:
    """Before any letter was sent the page says what to do, also without a folder or with an empty file."""
    settings.EMAIL_FILE_PATH = tmp_path / "none"
    assert "No letter has been sent yet" in Client().get(reverse("people:outbox")).content.decode()
    settings.EMAIL_FILE_PATH = tmp_path
    (tmp_path / "empty.log").write_bytes(b"")
    assert "No letter has been sent yet" in Client().get(reverse("people:outbox")).content.decode()
