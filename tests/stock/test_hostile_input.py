"""Whatever is typed or sent, the shelf answers with a sentence, never with an error of its own."""

from collections.abc import Callable
from datetime import datetime

import pytest
from django.test import Client
from django.urls import reverse
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from gowngroup.people.models import Person
from gowngroup.stock.actions import receive_lot
from gowngroup.stock.models import Lot
from gowngroup.stock.queries import violations
from tests.factories import MaterialFactory

pytestmark = pytest.mark.django_db

NASTY = [
    "-3",
    "0",
    "1e9",
    "1e-999999999",
    "١٢",
    "NaN",
    "inf",
    "9" * 30,
    "½",
    "1/0",
    "\0",
    "<b>",
    "=1+1",
    "2 1/2",
]
TYPED = st.one_of(st.sampled_from(NASTY), st.text(max_size=30))


@pytest.fixture
def client(sign_in: Callable[[Person], Client], packer: Person) -> Client:
    """The packer's browser."""
    return sign_in(packer)


@pytest.fixture
def cloth(packer: Person, at: datetime) -> Lot:
    """Three metres of cloth."""
    return receive_lot(material=MaterialFactory(), amount=3_000_000, width_um=1_120_000, by=packer, at=at)


@pytest.mark.parametrize(
    ("name", "fields"),
    [
        ("lot_count", ["counted_amount", "reason"]),
        ("lot_measure", ["length_um", "width_um"]),
        ("lot_take", ["amount", "reason"]),
        ("lot_put_back", ["amount", "reason"]),
        ("lot_move", ["place", "donor"]),
        ("lot_flaws", ["from_um", "to_um"]),
    ],
)
def test_forms_stand_anything(name: str, fields: list[str], client: Client, cloth: Lot) -> None:
    """Any text in any field is booked, asked back or refused, and the books still agree."""

    @settings(max_examples=12, deadline=None, suppress_health_check=list(HealthCheck), database=None)
    @given(typed=st.fixed_dictionaries(dict.fromkeys(fields, TYPED)))
    def send(typed: dict[str, str]) -> None:
        answer = client.post(reverse(f"stock:{name}", args=[cloth.code]), typed)
        assert answer.status_code in (302, 409, 422)
        assert violations() == []

    send()


@pytest.mark.parametrize(
    "query", ["kind=x", "state=x", "search=" + "x" * 500, "page=-1", "page=x", "page=9e9"]
)
def test_lists_stand_any_address(query: str, client: Client, cloth: Lot) -> None:
    """A filter or page nobody offered shows the list all the same."""
    for name in ("lot_list", "material_list", "donor_list"):
        assert client.get(f"{reverse(f'stock:{name}')}?{query}").status_code == 200


def test_numbers_no_database_holds_are_not_found(client: Client) -> None:
    """An id too large for the database is not found."""
    for name in ("material_change", "lot_receive", "donor_change"):
        assert client.get(reverse(f"stock:{name}", args=[10**30])).status_code == 404
