"""The pages about wards and their requests, as people open and send them."""

from collections.abc import Callable, Iterator
from datetime import datetime

import pytest
import time_machine
from django.test import Client
from django.urls import reverse

from gowngroup.catalog.models import Size
from gowngroup.people.models import Person
from gowngroup.wards.actions import LineEntry, enter_request
from gowngroup.wards.models import Hospital, ShelfLevel, Ward, WardRequest
from tests.factories import HospitalFactory, SizeFactory, WardFactory

pytestmark = pytest.mark.django_db
SignIn = Callable[[Person], Client]


@pytest.fixture
def size(db: None) -> Size:
    return SizeFactory()


@pytest.fixture
def ward(size: Size) -> Ward:
    return WardFactory(sizes=[size])


@pytest.fixture
def ward_request(ward: Ward, size: Size, coordinator: Person, at: datetime) -> WardRequest:
    lines = [
        LineEntry(size=size, purpose="worn", gown_count=3),
        LineEntry(size=size, purpose="memorial", gown_count=2),
    ]
    return enter_request(ward=ward, month=at.date(), lines=lines, by=coordinator, at=at)


@pytest.fixture
def browser(coordinator: Person, sign_in: SignIn) -> Client:
    return sign_in(coordinator)


@pytest.fixture
def _march(at: datetime) -> Iterator[None]:
    """It is March before anybody signs in, so that nobody's signing in has lapsed on the way there."""
    with time_machine.travel(at):
        yield


PAGES = ["ward_list", "ward_new", "hospital_new", "request_list", "request_start"]
WARD_PAGES = ["ward_page", "ward_change", "ward_pause", "shelf_change", "request_new"]


@pytest.mark.parametrize("name", PAGES)
def test_pages_open_for_the_coordinator(name: str, ward: Ward, browser: Client) -> None:
    """Every page without a row opens."""
    assert browser.get(reverse(f"wards:{name}")).status_code == 200


@pytest.mark.parametrize("name", WARD_PAGES)
def test_ward_pages_open_and_foreign_wards_do_not(name: str, ward: Ward, browser: Client) -> None:
    """A ward's pages open; those of a ward there never was are not found."""
    assert browser.get(reverse(f"wards:{name}", args=[ward.pk])).status_code == 200
    assert browser.get(reverse(f"wards:{name}", args=[ward.pk + 99])).status_code == 404


@pytest.mark.parametrize("name", ["request_page", "request_change"])
def test_request_pages_open_and_foreign_ones_do_not(
    name: str, ward_request: WardRequest, browser: Client
) -> None:
    """A request's pages open; those of a request there never was are not found."""
    assert browser.get(reverse(f"wards:{name}", args=[ward_request.pk])).status_code == 200
    assert browser.get(reverse(f"wards:{name}", args=[ward_request.pk + 99])).status_code == 404


@pytest.mark.parametrize("name", PAGES)
def test_volunteers_and_strangers_stay_outside(
    name: str, volunteer: Person, sign_in: SignIn, client: Client
) -> None:
    """A volunteer is refused, a stranger is asked to sign in."""
    assert sign_in(volunteer).get(reverse(f"wards:{name}")).status_code == 403
    assert client.get(reverse(f"wards:{name}")).status_code == 302


def test_the_driver_sees_a_ward_but_not_what_it_asks(
    ward: Ward, ward_request: WardRequest, driver: Person, sign_in: SignIn
) -> None:
    """A driver sees whom to meet, not the requests or the shelf, and changes nothing."""
    page = sign_in(driver).get(reverse("wards:ward_page", args=[ward.pk]))
    assert "Latest requests" not in page.content.decode()
    assert sign_in(driver).get(reverse("wards:ward_change", args=[ward.pk])).status_code == 403


def test_a_hospital_and_a_ward_are_added(size: Size, browser: Client) -> None:
    """Hospital first, then its ward, through the forms."""
    browser.post(reverse("wards:hospital_new"), {"name": "Hill Hospital", "address": ""})
    hospital = Hospital.objects.get()
    sent = {
        "hospital": hospital.pk,
        "name": "Special care",
        "sizes": [size.pk],
        "closures": ["wrap"],
        "wash_c": 60,
    }
    answer = browser.post(reverse("wards:ward_new"), sent)
    assert answer.status_code == 302
    assert [str(ward) for ward in Ward.objects.all()] == ["Special care, Hill Hospital"]


def test_a_ward_needs_a_hospital_first(browser: Client) -> None:
    """Without any hospital the page for a new ward leads to the one for a hospital."""
    assert browser.get(reverse("wards:ward_new"))["Location"] == reverse("wards:hospital_new")


def test_a_bad_ward_keeps_what_was_typed(size: Size, browser: Client) -> None:
    """A ward whose wash temperature is impossible comes back with all that was typed."""
    sent = {
        "hospital": HospitalFactory().pk,
        "name": "Special care",
        "sizes": [size.pk],
        "closures": ["wrap"],
        "wash_c": 300,
    }
    answer = browser.post(reverse("wards:ward_new"), sent)
    assert answer.status_code == 422
    assert "Special care" in answer.content.decode()
    assert "wash_c" in answer.context["form"].errors


def test_avoided_shades_are_typed_as_words(ward: Ward, size: Size, browser: Client) -> None:
    """Shades come a line each or with commas, stand on the ward's page and in the form again."""
    sent = {"name": "Ward", "sizes": [size.pk], "closures": ["wrap"], "wash_c": 60, "is_active": "on"}
    change = reverse("wards:ward_change", args=[ward.pk])
    browser.post(change, {**sent, "avoided_shades": "yellow, beige\r\n dark red"})
    ward.refresh_from_db()
    assert ward.avoided_shades == ["yellow", "beige", "dark red"]
    page = browser.get(reverse("wards:ward_page", args=[ward.pk])).content.decode()
    assert "yellow, beige, dark red" in page
    assert "yellow\nbeige\ndark red</textarea>" in browser.get(change).content.decode()


def test_a_ward_is_changed_and_put_by(ward: Ward, size: Size, browser: Client) -> None:
    """A ward taken off the list is no longer served, and is found among those."""
    sent = {"name": "Renamed", "sizes": [size.pk], "closures": ["wrap"], "wash_c": 60}
    browser.post(reverse("wards:ward_change", args=[ward.pk]), sent)
    ward.refresh_from_db()
    assert (ward.name, ward.is_active) == ("Renamed", False)
    assert "Renamed" not in browser.get(reverse("wards:ward_list")).content.decode()
    assert "Renamed" in browser.get(reverse("wards:ward_list"), {"put_by": "on"}).content.decode()


@pytest.mark.usefixtures("_march")
def test_a_pause_is_shown(ward: Ward, browser: Client) -> None:
    """A paused ward says until when."""
    browser.post(reverse("wards:ward_pause", args=[ward.pk]), {"paused_until": "2026-03-20"})
    assert "until 20 March 2026" in browser.get(reverse("wards:ward_page", args=[ward.pk])).content.decode()


def test_the_shelf_is_agreed_on_one_page(ward: Ward, size: Size, browser: Client) -> None:
    """The shelf of every size is typed into one grid; empty is none."""
    sent = {f"minimum_{size.pk}": "3", f"present_{size.pk}": ""}
    browser.post(reverse("wards:shelf_change", args=[ward.pk]), sent)
    assert [(level.minimum_count, level.present_count) for level in ShelfLevel.objects.all()] == [(3, 0)]


@pytest.mark.usefixtures("_march")
def test_a_request_is_entered_in_the_grid(ward: Ward, size: Size, browser: Client) -> None:
    """Numbers beside sizes and a matched set become one request."""
    sent = {
        "month": "2026-04-01",
        f"count_{size.pk}_worn": "4",
        f"count_{size.pk}_memorial": "1",
        "set_1_1": f"{size.pk}:worn",
        "set_1_2": f"{size.pk}:memorial",
        "is_standing": "on",
    }
    answer = browser.post(reverse("wards:request_new", args=[ward.pk]), sent)
    entered = WardRequest.objects.get()
    assert answer["Location"] == reverse("wards:request_page", args=[entered.pk])
    counts = {(line.purpose, line.gown_count, line.set_number) for line in entered.lines.all()}
    assert counts == {("worn", 4, None), ("memorial", 1, None), ("worn", 1, 1), ("memorial", 1, 1)}


@pytest.mark.usefixtures("_march")
@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({}, "This request asks for nothing yet"),
        ({"count": "-3"}, "Please type 0 or more."),
        ({"count": "9999"}, "Please type 200 or less."),
        ({"set_1_1": "worn"}, "A matched set is two or three gowns"),
        ({"other": "2"}, "is not on the list of"),
    ],
)
def test_bad_requests_come_back_with_a_sentence(
    typed: dict[str, str], sentence: str, ward: Ward, size: Size, browser: Client
) -> None:
    """Nothing asked for, impossible numbers, half a set and foreign sizes come back, and nothing is saved."""
    other = SizeFactory(lower_mass_g=3500, upper_mass_g=4500)
    names = {"count": f"count_{size.pk}_worn", "other": f"count_{other.pk}_worn"}
    sent = {
        names.get(key, key): f"{size.pk}:worn" if key.startswith("set") else value
        for key, value in typed.items()
    }
    answer = browser.post(
        reverse("wards:request_new", args=[ward.pk]), {"month": "2026-04-01", "note": "Ring first", **sent}
    )
    assert answer.status_code == 422
    assert sentence in answer.content.decode()
    assert "Ring first" in answer.content.decode()
    assert not WardRequest.objects.exists()


@pytest.mark.usefixtures("_march")
def test_an_urgent_request_shows_the_telephone(ward: Ward, size: Size, browser: Client) -> None:
    """An urgent request says which number the ward rings."""
    sent = {"month": "2026-03-01", f"count_{size.pk}_memorial": "1", "is_urgent": "on"}
    page = browser.post(reverse("wards:request_new", args=[ward.pk]), sent, follow=True)
    assert "Needed today." in page.content.decode()
    assert "01234 567890" in page.content.decode()


def test_a_request_is_changed_with_its_numbers_shown(
    ward_request: WardRequest, size: Size, browser: Client
) -> None:
    """The form of a change shows what is asked for now, and takes the new numbers."""
    address = reverse("wards:request_change", args=[ward_request.pk])
    assert 'value="3"' in browser.get(address).content.decode()
    browser.post(address, {f"count_{size.pk}_worn": "5"})
    assert [(line.purpose, line.gown_count) for line in ward_request.lines.all()] == [("worn", 5)]


def test_withdrawing_twice_is_told(ward_request: WardRequest, browser: Client) -> None:
    """Withdrawing what is withdrawn already answers 409 with a sentence; reading cannot withdraw."""
    address = reverse("wards:request_withdraw", args=[ward_request.pk])
    assert browser.get(address).status_code == 405
    assert browser.post(address).status_code == 302
    assert browser.post(address).status_code == 409


@pytest.mark.usefixtures("_march")
def test_standing_requests_are_repeated_by_a_button(
    ward_request: WardRequest, coordinator: Person, browser: Client
) -> None:
    """One button repeats the standing requests for the month chosen."""
    WardRequest.objects.filter(pk=ward_request.pk).update(is_standing=True)
    page = browser.post(reverse("wards:request_repeat"), {"month": "2026-04-01"}, follow=True)
    assert "1 request is repeated" in page.content.decode()
    assert WardRequest.objects.count() == 2


@pytest.mark.parametrize(
    ("query", "is_found"),
    [
        ({}, True),
        ({"month": "2026-03-01", "state": "open", "search": "ward"}, True),
        ({"month": "2025-01-01"}, False),
        ({"state": "met"}, False),
        ({"search": "no such ward"}, False),
        ({"month": "nonsense"}, True),
    ],
)
def test_the_list_is_searched_and_filtered(
    query: dict[str, str], is_found: bool, ward_request: WardRequest, browser: Client
) -> None:
    """Month, state and words narrow the list; nonsense narrows nothing."""
    page = browser.get(reverse("wards:request_list"), query).content.decode()
    assert (reverse("wards:request_page", args=[ward_request.pk]) in page) == is_found


def test_lists_and_counters_never_name_the_memorial_purpose(
    ward_request: WardRequest, browser: Client
) -> None:
    """The word stands neither in the list of requests nor on a request's page."""
    for address in (reverse("wards:request_list"), reverse("wards:request_page", args=[ward_request.pk])):
        assert "memorial" not in browser.get(address).content.decode().lower()


def test_a_hospital_is_renamed_and_names_are_taken_once(ward: Ward, browser: Client) -> None:
    """A hospital takes a new name, not another's, and one there never was is not found."""
    other = HospitalFactory(name="Vale Hospital")
    address = reverse("wards:hospital_change", args=[ward.hospital_id])
    taken = browser.post(address, {"name": "vale hospital", "address": ""})
    assert (taken.status_code, "name" in taken.context["form"].errors) == (409, True)
    assert browser.post(address, {"name": "Hill Hospital", "address": "Hill Road"}).status_code == 302
    assert browser.get(reverse("wards:hospital_change", args=[other.pk + 99])).status_code == 404


def test_a_size_no_database_holds_is_asked_back(ward: Ward, browser: Client) -> None:
    """An id of thirty digits gets a sentence, not a server error."""
    typed = {"hospital": ward.hospital_id, "name": "New ward", "sizes": ["9" * 30], "wash_c": "60"}
    response = browser.post(reverse("wards:ward_new"), typed)
    assert response.status_code == 422
    assert not Ward.objects.filter(name="New ward").exists()
