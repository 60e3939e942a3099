"""The pages of drop-offs through the browser's eyes: who sees what, and what bad input gets."""

import re
from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from gowngroup.deliveries.actions import fill_drop_off, send_drop_off
from gowngroup.deliveries.models import DropOff
from gowngroup.gowns.models import Gown
from gowngroup.people.models import Person
from gowngroup.wards.models import RequestLine, Ward
from tests.factories import PersonFactory, RequestLineFactory

pytestmark = pytest.mark.django_db
Shelf = Callable[..., list[Gown]]
SignIn = Callable[[Person], Client]


@pytest.fixture
def client(sign_in: SignIn, packer: Person) -> Client:
    return sign_in(packer)


@pytest.fixture
def sent(drop_off: DropOff, line: RequestLine, shelf: Shelf, packer: Person, at: datetime) -> DropOff:
    """Four gowns on their way."""
    shelf(4)
    fill_drop_off(drop_off=drop_off, by=packer, at=at)
    return send_drop_off(drop_off=drop_off, by=packer, at=at)


def without_tokens(response: Any) -> str:
    """The page without what differs each time, and without the address that was asked for."""
    page = response.content.decode().replace(response.request["PATH_INFO"], "")
    return re.sub(r"(csrf\w*|request_key)[^>]*", "", page, flags=re.IGNORECASE)


def url(page: str, *args: object) -> str:
    return reverse(f"deliveries:{page}", args=args)


def test_a_whole_drop_off_by_pages(
    client: Client, drop_off: DropOff, line: RequestLine, shelf: Shelf, sign_in: SignIn, driver: Person
) -> None:
    """Filled, sent with a number, and signed for by the driver with what really came."""
    shelf(5)
    client.post(url("drop_off_fill", drop_off.pk), {"request_key": "a"})
    client.post(url("drop_off_send", drop_off.pk), {"request_key": "b"})
    driving = sign_in(driver)
    drop_off.refresh_from_db()
    number = str(drop_off.receipt_number)
    assert re.fullmatch(r"\d{4}-0001", number)
    assert number in driving.get(url("drop_off_page", drop_off.pk)).content.decode()
    of_size = f"for a baby up to {line.size.length_cm} cm, {line.size.band}, to wear: "
    assert (
        f"4 gowns {of_size}how many came?"
        in driving.get(url("drop_off_signed", drop_off.pk)).content.decode()
    )
    driving.post(url("drop_off_signed", drop_off.pk), {"signed_name": "A. Nurse", "came_0": "3"})
    drop_off.refresh_from_db()
    assert (drop_off.state, drop_off.differences[0]["came"]) == (DropOff.State.RECEIVED, 3)
    shown = driving.get(url("drop_off_page", drop_off.pk)).content.decode()
    assert f"{of_size}4 written, 3 came" in shown.replace("For a", "for a").replace("\u00a0", " ")


def test_a_drop_off_is_started_by_page(client: Client, ward: Ward, driver: Person) -> None:
    """The day given, the ward chosen, the next page is the drop-off's own."""
    day = timezone.localdate() + timedelta(days=1)
    response = client.post(
        url("drop_off_start"), {"ward": ward.pk, "planned_on": day.isoformat(), "driver": driver.pk}
    )
    assert response.headers["Location"] == url("drop_off_page", DropOff.objects.get().pk)


def test_a_past_day_keeps_what_was_typed(client: Client, ward: Ward) -> None:
    """An impossible day is asked back beside its field; the note typed is still there."""
    response = client.post(
        url("drop_off_start"), {"ward": ward.pk, "planned_on": "2020-01-01", "note": "side door"}
    )
    assert response.status_code == 422
    assert b"between today" in response.content
    assert b"side door" in response.content
    assert not DropOff.objects.exists()


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [("G34", "There is a slip"), ("", "required"), ("https://x/gowns/G34/", "There is a slip")],
)
def test_a_wrong_code_gets_a_sentence(client: Client, drop_off: DropOff, typed: str, sentence: str) -> None:
    """A code with a slip is told so, and nothing is packed."""
    response = client.post(url("gown_pack", drop_off.pk), {"code": typed})
    assert response.status_code == 422
    assert sentence in response.content.decode()


def test_scanning_packs_once(client: Client, drop_off: DropOff, shelf: Shelf) -> None:
    """A scanned gown is packed; the same form sent again has no second effect; another form is told so."""
    gown = shelf(1)[0]
    typed = {"code": f"https://gowns.example.org/gowns/{gown.code}/", "request_key": "once"}
    first, again = (client.post(url("gown_pack", drop_off.pk), typed) for _ in range(2))
    late = client.post(url("gown_pack", drop_off.pk), {"code": gown.code, "request_key": "other"})
    assert (first.status_code, again.status_code, late.status_code) == (302, 302, 409)
    assert "packed for a ward already" in late.content.decode()


def test_a_gown_is_taken_out_by_page(
    client: Client, drop_off: DropOff, line: RequestLine, shelf: Shelf
) -> None:
    """What was packed by mistake is back on the shelf by one button."""
    gown = shelf(1)[0]
    client.post(url("drop_off_fill", drop_off.pk))
    client.post(url("gown_unpack", drop_off.pk, gown.code))
    assert not drop_off.gown_rows.filter(is_removed=False).exists()


def test_sending_nothing_gets_a_page(client: Client, drop_off: DropOff) -> None:
    """An empty drop-off is refused with what to do and the way back."""
    response = client.post(url("drop_off_send", drop_off.pk))
    assert response.status_code == 422
    assert "Fill it from the shelf" in response.content.decode()


def test_sending_twice_is_told_where_it_is(client: Client, sent: DropOff) -> None:
    """A late button answers 409 with the state by now."""
    response = client.post(url("drop_off_send", sent.pk), {"request_key": "late"})
    assert response.status_code == 409
    assert "on the way" in response.content.decode()


def test_nobody_there(sign_in: SignIn, driver: Person, sent: DropOff) -> None:
    """The driver brings everything back with a reason."""
    client = sign_in(driver)
    assert client.post(url("drop_off_back", sent.pk), {"reason": ""}).status_code == 422
    client.post(url("drop_off_back", sent.pk), {"reason": "nobody there"})
    sent.refresh_from_db()
    assert sent.state == DropOff.State.CALLED_OFF


def test_calling_off_by_page(client: Client, drop_off: DropOff) -> None:
    """A drop-off that has not left is called off by one button."""
    client.post(url("drop_off_call_off", drop_off.pk))
    drop_off.refresh_from_db()
    assert drop_off.state == DropOff.State.CALLED_OFF


def test_urgent_requests_stand_on_the_list(
    client: Client, ward: Ward, line: RequestLine, shelf: Shelf
) -> None:
    """An urgent request is served from the list by one button, with what lies on the shelf."""
    urgent = RequestLineFactory(request__ward=ward, request__is_urgent=True, size=line.size, gown_count=2)
    shelf(1)
    assert b"needed today" in client.get(url("drop_off_list")).content
    response = client.post(url("urgent_serve", urgent.request_id))
    assert response.headers["Location"] == url("drop_off_page", DropOff.objects.get().pk)


def test_an_urgent_request_without_gowns_says_to_telephone(client: Client, line: RequestLine) -> None:
    """Where nothing suits, the page says what to do instead."""
    line.request.is_urgent = True
    line.request.save()
    response = client.post(url("urgent_serve", line.request_id))
    assert response.status_code == 422
    assert "telephone" in response.content.decode()
    assert client.post(url("urgent_serve", 0)).status_code == 404


def test_a_driver_sees_her_own_drop_offs(sign_in: SignIn, driver: Person, drop_off: DropOff) -> None:
    """Another driver's drop-off is not found, exactly as one that never was."""
    other = sign_in(PersonFactory(roles=["driver"]))
    foreign = other.get(url("drop_off_page", drop_off.pk))
    never = other.get(url("drop_off_page", 0))
    assert (foreign.status_code, without_tokens(foreign)) == (404, without_tokens(never))
    assert sign_in(driver).get(url("drop_off_page", drop_off.pk)).status_code == 200


def test_who_packs(sign_in: SignIn, driver: Person, volunteer: Person, drop_off: DropOff) -> None:
    """Drivers do not pack, volunteers see no drop-offs at all."""
    assert sign_in(driver).post(url("drop_off_fill", drop_off.pk)).status_code == 403
    assert sign_in(volunteer).get(url("drop_off_list")).status_code == 403


def test_the_list_is_searched(client: Client, sent: DropOff) -> None:
    """A drop-off is found by ward or receipt number; nothing found says so."""
    assert str(sent.ward) in client.get(url("drop_off_list"), {"search": "2026-0001"}).content.decode()
    assert b"No drop-off looks like this" in client.get(url("drop_off_list"), {"search": "zzz"}).content


def test_the_empty_list_says_what_to_do(client: Client) -> None:
    """Before the first drop-off the list says how one begins."""
    assert b"Nothing is being packed" in client.get(url("drop_off_list")).content
