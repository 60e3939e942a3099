"""What has arrived from the shopping list, filled in where it is booked in."""

from collections.abc import Callable
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from gowngroup.people.models import Person
from gowngroup.stock.forms.arrivals import Arrival, arrival_in
from tests.factories import MaterialFactory

pytestmark = pytest.mark.django_db
METRE = 1_000_000
SignIn = Callable[[Person], Client]


@pytest.mark.parametrize(
    ("material", "arrival", "fields", "form_count"),
    [
        ({"kind": "cloth"}, (23, 100_000, 1_120_000), {"amount": 2_300_000, "width_um": 1_120_000}, 1),
        ({"kind": "floss", "package_amount": 8 * METRE}, (3, 8 * METRE, None), {"package_count": 3, "package_amount": 8 * METRE}, 1),
        ({"kind": "lace", "package_amount": 5 * METRE}, (2, 7 * METRE, None), {"package_count": 2, "package_amount": 7 * METRE}, 1),
        ({"kind": "lace"}, (2, 10 * METRE, None), {"amount": 10 * METRE}, 2),
        ({"kind": "thread"}, (1, 200 * METRE, None), {"amount": 200 * METRE}, 1),
        ({"kind": "notion", "is_counted": True, "package_amount": 10}, (4, 10, None), {"package_count": 4, "package_amount": 10}, 1),
        ({"kind": "notion", "is_counted": True, "package_amount": 10}, (4, 1, None), {"amount": 4, "width_um": None}, 1),
        ({"kind": "notion", "is_counted": True}, (4, 10, None), {"amount": 40, "width_um": None}, 1),
    ],
)  # fmt: skip
def test_packages_lengths_and_pieces(
    material: dict[str, Any], arrival: tuple[int, int, int | None], fields: dict[str, Any], form_count: int
) -> None:
    """Cloth is one length with its width, packages are counted, loose cards take a form each, pieces are summed."""
    count, each, width = arrival
    arrived = Arrival(count=count, each_amount=each, width_um=width)
    row = MaterialFactory(**material)
    assert arrived.initial(row) == fields
    assert arrived.form_count(row) == form_count


@pytest.mark.parametrize(
    "query",
    [{}, {"count": "2"}, {"count": "0", "each": "5"}, {"count": "-3", "each": "5"}, {"count": "x", "each": "\u0665"},
     {"count": "1e9", "each": "5"}, {"count": "2", "each": "\x00"}, {"count": "2", "each": "9" * 13}],
)  # fmt: skip
def test_an_address_that_says_nothing_fills_in_nothing(query: dict[str, str]) -> None:
    """Whatever else stands in the address is left aside."""
    assert arrival_in(query) is None


def test_the_readers_unit_is_filled_in_and_may_be_changed(packer: Person, sign_in: SignIn) -> None:
    """Cloth bought by the yard stands there in yards and inches; what came shorter is booked as it came."""
    packer.length_unit = "in"
    packer.save()
    cloth = MaterialFactory(kind="cloth")
    address = reverse("stock:lot_receive", args=[cloth.pk]) + "?count=10&each=114300&width=1143000"
    html = sign_in(packer).get(address).content.decode()
    assert 'value="1 1/4"' in html
    assert 'value="45"' in html
    typed = {"amount": "1 1/8", "width_um": "44", "state": "as given"}
    assert sign_in(packer).post(address, typed).status_code == 302
    assert cloth.lots.get().on_hand_amount == 1_028_700


def test_loose_cards_are_asked_for_one_by_one(packer: Person, sign_in: SignIn) -> None:
    """Two cards of a lace without packages are two lots: the page says so."""
    lace = MaterialFactory(kind="lace")
    page = sign_in(packer).get(reverse("stock:lot_receive", args=[lace.pk]), {"count": 2, "each": 10 * METRE})
    assert "The list asks for 2 of these: send one form for each." in page.content.decode()
