"""Each sheet is written in the language of whoever it is for, whoever prints it."""

from collections.abc import Callable

import pytest
from django.core import mail
from django.test import Client
from django.urls import reverse
from django.utils.translation import get_language

from gowngroup.batches.mail import written_letter
from gowngroup.batches.models import Kit
from gowngroup.people.models import Group, Person
from gowngroup.printing.sheets import written_sheet
from tests.printing.conftest import MAKE_DROP_OFF, MAKE_KIT

pytestmark = pytest.mark.django_db
SignIn = Callable[[Person], Client]


@pytest.fixture
def spaniard(volunteer: Person) -> Person:
    Person.objects.filter(pk=volunteer.pk).update(language="es", email="me@example.org")
    volunteer.refresh_from_db()
    return volunteer


def test_a_kit_sheet_is_hers(make_kit: MAKE_KIT, spaniard: Person, packer: Person, sign_in: SignIn) -> None:
    """The sheet of a kit is in its holder's language, its buttons in that of whoever prints it, and its sum another."""
    kit = make_kit()
    before = written_sheet(kit).data_sha256
    Kit.objects.filter(pk=kit.pk).update(holder=spaniard, state="claimed")
    sheet = written_sheet(Kit.objects.get(pk=kit.pk))
    assert '<html lang="es"' in sheet.html
    assert sheet.data_sha256 != before
    page = sign_in(packer).get(reverse("printing:kit_sheet", args=[kit.code])).content.decode()
    assert '<html lang="es"' in page
    assert '<nav class="tools" lang="en"' in page
    assert "Back to" in page


def test_a_letter_of_thanks_is_hers(spaniard: Person, coordinator: Person, sign_in: SignIn) -> None:
    """One letter, whoever opens it, is in the language of whom it thanks."""
    page = (
        sign_in(coordinator).get(reverse("printing:hours_letter", args=[spaniard.pk, 2026])).content.decode()
    )
    assert '<html lang="es"' in page


@pytest.mark.parametrize("name", ["receipt", "drop_off_packing"])
def test_what_goes_out_of_the_group_is_the_groups(
    name: str, make_drop_off: MAKE_DROP_OFF, group: Group, coordinator: Person, sign_in: SignIn
) -> None:
    """A receipt and a packing list are in the group's language although whoever prints them reads another."""
    drop_off = make_drop_off()
    Group.objects.update(language="es")
    Person.objects.filter(pk=coordinator.pk).update(language="en")
    page = sign_in(Person.objects.get(pk=coordinator.pk)).get(reverse(f"printing:{name}", args=[drop_off.pk]))
    assert '<html lang="es"' in page.content.decode()
    assert '<nav class="tools" lang="en"' in page.content.decode()


def test_a_letter_and_its_subject_are_hers(spaniard: Person, monkeypatch: pytest.MonkeyPatch) -> None:
    """The subject is put in words only when it is known who reads it."""
    said: list[str] = []

    def subject() -> str:
        said.append(get_language() or "")
        return "x"

    written_letter(spaniard, subject=subject, template="kits_due", context={"kind": "before", "kits": []})
    assert said == ["es"]
    assert mail.outbox == []
