"""The permission table against what every address really answers to every actor."""

import json
from collections.abc import Callable
from io import StringIO
from typing import Any

import pytest
from django.core.management import call_command
from django.test import Client
from django.urls import reverse

from gowngroup.home.management.commands.url_roles import Address, addresses
from gowngroup.people.models import Person
from tests.factories import PersonFactory
from tests.people.permission_table import ANYBODY, MEMBERS, TABLE, Row

pytestmark = [
    pytest.mark.django_db,
]  # what these open is covered by each page's own tests
ADDRESSES = {address.name: address for address in addresses()}
DECLARED = [pytest.param(ADDRESSES[name], row, id=name) for name, row in TABLE.items() if name in ADDRESSES]
UNKNOWN = {"int": 0, "string": "X", "slug": "x", "path": "x", "uuid": "00000000-0000-0000-0000-000000000000"}


def url_of(address: Address) -> str:
    """The address with values nothing in the database has."""
    return reverse(address.name, kwargs={name: UNKNOWN[kind] for name, kind in address.values.items()})


@pytest.fixture
def actors(group: object, sign_in: Callable[[Person], Client]) -> dict[str, Client]:
    """A browser of everybody who could stand before a page."""
    members = {role: sign_in(PersonFactory(roles=[role])) for role in sorted(MEMBERS)}
    return {"visitor": Client(), **members}


def kind_of(answer: Any) -> str:
    """What an answer means for permission; a page past the guard may still not find its object."""
    if answer.status_code == 302 and answer["Location"].startswith(f"{reverse('people:sign_in')}?next="):
        return "sign in first"
    if answer.status_code >= 500:
        return f"broken ({answer.status_code})"
    return {403: "forbidden", 405: "no such verb"}.get(answer.status_code, "open")


def expected(actor: str, who: frozenset[str], row: Row) -> str:
    """What the table says this actor meets."""
    if actor in who:
        return "open"
    if actor in row.get | row.post:
        return "no such verb"
    return "sign in first" if actor == "visitor" else "forbidden"


def test_every_address_stands_in_the_table() -> None:
    """Each address of the resolver is declared by hand, and the table names no address that is not there."""
    undeclared, gone = sorted(ADDRESSES.keys() - TABLE.keys()), sorted(TABLE.keys() - ADDRESSES.keys())
    assert not undeclared, f"add to tests/people/permission_table.py, by hand, who may open: {undeclared}"
    assert not gone, f"in tests/people/permission_table.py, but no such address: {gone}"


def test_no_two_addresses_share_a_name() -> None:
    """Every address has a name of its own, so that the table speaks of each."""
    assert len(ADDRESSES) == len(addresses())
    assert all(not name.endswith(":") for name in ADDRESSES)


@pytest.mark.parametrize(("address", "row"), DECLARED)
def test_answers_are_as_the_table_says(address: Address, row: Row, actors: dict[str, Client]) -> None:
    """Each actor who opens the page or sends its form, empty, meets what the table says."""
    url, real, said = url_of(address), {}, {}
    for actor, client in actors.items():
        real[actor] = (kind_of(client.get(url)), kind_of(client.post(url)))
        said[actor] = (expected(actor, row.get, row), expected(actor, row.post, row))
    assert real == said


@pytest.mark.parametrize("name", ADDRESSES)
def test_other_sites_and_other_verbs_are_refused(name: str, coordinator: Person) -> None:
    """A form without this site's token and any verb but reading and sending are refused, whoever comes."""
    careful, usual = Client(enforce_csrf_checks=True), Client()
    for client in (careful, usual):
        client.force_login(coordinator)
    url = url_of(ADDRESSES[name])
    assert careful.post(url).status_code in (403, 405)
    assert [getattr(usual, verb)(url).status_code for verb in ("put", "patch", "delete")] == [405] * 3


def test_command_prints_every_address_guarded() -> None:
    """`url_roles --json` names every address, and each view says itself who may open it."""
    out = StringIO()
    call_command("url_roles", "--json", stdout=out)
    rows = json.loads(out.getvalue())
    assert {row["name"] for row in rows} == set(ADDRESSES)
    assert [row["name"] for row in rows if not row["roles"] or not row["methods"]] == []


def test_command_prints_the_demonstrations_visitors() -> None:
    """Without `--json` it prints a line for each address to read."""
    out = StringIO()
    call_command("url_roles", stdout=out)
    line = next(row for row in out.getvalue().splitlines() if row.startswith("people:sign_in_help"))
    assert all(actor in line for actor in ANYBODY)
