"""Everybody's own settings."""

from collections.abc import Callable

import pytest
from django.contrib.auth.models import AnonymousUser
from django.test import Client
from django.urls import reverse

from gowngroup.people.models import Person
from gowngroup.people.queries import reader_for
from gowngroup.records.models import TrailLine

pytestmark = pytest.mark.django_db
SignIn = Callable[[Person], Client]
MY_PAGE = "people:my_page"
TYPED = {
    "hours_offered_min": "10",
    "has_agreed_to_memorial": "yes",
    "length_unit": "in",
    "paper_size": "Letter",
    "has_large_print": "on",
    "is_left_handed": "on",
}


def test_settings_are_kept_and_count_at_once(sign_in: SignIn, volunteer: Person) -> None:
    """What I chose is kept, and the next page is written in large print for me."""
    client = sign_in(volunteer)
    page = client.post(reverse(MY_PAGE), TYPED, follow=True).content.decode()
    volunteer.refresh_from_db()
    assert (volunteer.hours_offered_min, volunteer.length_unit, volunteer.paper_size) == (600, "in", "Letter")
    assert 'class="large-print"' in page


def test_the_left_hand_reaches_every_reader(sign_in: SignIn, volunteer: Person) -> None:
    """Who sews with her left hand is read so by every page and sheet written for her, and by nobody else's."""
    sign_in(volunteer).post(reverse(MY_PAGE), TYPED)
    volunteer.refresh_from_db()
    assert reader_for(volunteer).is_left_handed
    assert not reader_for(AnonymousUser()).is_left_handed


def test_nobody_changes_more_than_her_settings(sign_in: SignIn, volunteer: Person) -> None:
    """Fields that are not one's own to change are not taken from a forged form."""
    sign_in(volunteer).post(
        reverse(MY_PAGE), {**TYPED, "name": "X", "email": "x@example.org", "roles": ["coordinator"]}
    )
    volunteer.refresh_from_db()
    assert (volunteer.name, volunteer.role_rows.get().role) == ("Volunteer", "volunteer")


def test_memorial_choice_is_named_gently_and_kept_private(sign_in: SignIn, volunteer: Person) -> None:
    """The page says plainly what the gowns are for, and the trail does not keep the answer."""
    client = sign_in(volunteer)
    page = client.get(reverse(MY_PAGE)).content.decode()
    assert "babies who die, before or soon after birth" in page
    assert "memorial" not in page.replace("has_agreed_to_memorial", "").lower()
    client.post(reverse(MY_PAGE), TYPED)
    assert set(TrailLine.objects.get().changes.values()) == {None}


def test_bad_hours_are_asked_back(sign_in: SignIn, volunteer: Person) -> None:
    """Hours that are no number come back as typed, and nothing is saved."""
    answer = sign_in(volunteer).post(reverse(MY_PAGE), {**TYPED, "hours_offered_min": "a few"})
    volunteer.refresh_from_db()
    assert (answer.status_code, volunteer.length_unit) == (422, "")
    assert 'value="a few"' in answer.content.decode()


def test_signing_out_elsewhere_keeps_this_browser(sign_in: SignIn, volunteer: Person) -> None:
    """After a lost telephone every other device is signed out, this one is not."""
    here, elsewhere = sign_in(volunteer), sign_in(volunteer)
    here.post(reverse("people:my_sign_out"))
    assert here.get(reverse(MY_PAGE)).status_code == 200
    assert elsewhere.get(reverse(MY_PAGE)).status_code == 302
