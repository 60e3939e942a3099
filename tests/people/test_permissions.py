"""The permission table against what every address really answers to every actor, and what protects each answer."""

import json
from collections.abc import Iterator
from copy import deepcopy
from io import StringIO
from typing import Any

import pytest
from django.core.management import call_command
from django.test import Client, override_settings
from django.urls import reverse
from pytest_django import DjangoDbBlocker

from gowngroup.home.management.commands.url_roles import Address, addresses
from tests.demo.built import rolled_back
from tests.factories import GroupFactory, PersonFactory
from tests.people.permission_table import ANYBODY, MEMBERS, TABLE, Row

# What these open is covered by each page's own tests.
ADDRESSES = {address.name: address for address in addresses()}
DECLARED = [pytest.param(ADDRESSES[name], row, id=name) for name, row in TABLE.items() if name in ADDRESSES]
VERBS = {"GET", "POST"}
STRICT = {
    "default-src 'none'", "script-src 'self'", "style-src 'self'", "img-src 'self'", "font-src 'self'",
    "connect-src 'self'", "form-action 'self'", "base-uri 'none'", "frame-ancestors 'none'", "manifest-src 'self'",
}  # fmt: skip
HEADERS = {
    "Referrer-Policy": "same-origin",
    "X-Frame-Options": "DENY",
    "X-Content-Type-Options": "nosniff",
}
UNKNOWN = {"int": 0, "string": "X", "slug": "x", "path": "x", "uuid": "00000000-0000-0000-0000-000000000000"}


def url_of(address: Address) -> str:
    """The address with values nothing in the database has."""
    return reverse(address.name, kwargs={name: UNKNOWN[kind] for name, kind in address.values.items()})


@pytest.fixture(scope="module")
def cast(_own_database: None, django_db_blocker: DjangoDbBlocker) -> Iterator[dict[str, Client]]:
    """A browser of everybody who could stand before a page, signed in once; nothing of it stays."""
    plain = override_settings(ROOT_URLCONF="tests.people.plain_refusals")
    with django_db_blocker.unblock(), rolled_back(), plain:
        GroupFactory()
        cast = {"visitor": Client(), "with token": Client(enforce_csrf_checks=True)}
        for role in sorted(MEMBERS):
            cast[role] = Client()
            cast[role].force_login(PersonFactory(roles=[role]))
        cast["with token"].cookies = deepcopy(cast["coordinator"].cookies)
        yield cast


@pytest.fixture
def actors(cast: dict[str, Client], db: None) -> Iterator[dict[str, Client]]:
    """The cast as it began: signed in, whatever a page before has answered."""
    cookies = {actor: deepcopy(client.cookies) for actor, client in cast.items()}
    yield cast
    for actor, client in cast.items():
        client.cookies = cookies[actor]


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
    """Each actor who opens the page or sends its form, empty, meets what the table says, in a protected answer."""
    url, real, said, bare = url_of(address), {}, {}, []
    for actor in sorted(ANYBODY):
        answers = [actors[actor].get(url), actors[actor].post(url)]
        real[actor] = tuple(kind_of(answer) for answer in answers)
        said[actor] = (expected(actor, row.get, row), expected(actor, row.post, row))
        bare += [(actor, missing) for answer in answers for missing in unprotected(answer)]
    assert real == said
    assert bare == []


def unprotected(answer: Any) -> list[str]:
    """What an answer does not say: own scripts and styles only, no frames, no address told to other sites, no sniffing, for no other site, in which letters."""
    policy = {part.strip() for part in answer.headers.get("Content-Security-Policy", "").split(";")}
    wrong = [name for name, value in HEADERS.items() if answer.headers.get(name) != value]
    kind = answer.headers.get("Content-Type", "")
    wrong += [f"kind: {kind}"] if kind.startswith("text/") and "charset=utf-8" not in kind else []
    wrong += ["for other sites"] if "Access-Control-Allow-Origin" in answer.headers else []
    return wrong if policy == STRICT else [*wrong, f"policy: {policy ^ STRICT}"]


@pytest.mark.parametrize("name", ADDRESSES)
def test_other_sites_and_other_verbs_are_refused(name: str, actors: dict[str, Client]) -> None:
    """A form without this site's token and any verb but reading and sending are refused, whoever comes."""
    url, verbs = url_of(ADDRESSES[name]), set(ADDRESSES[name].methods() or ())
    assert actors["with token"].post(url).status_code in (403, 405)
    assert verbs <= VERBS
    other = ("put", "patch", "delete")[len(name) % 3]  # the guard answers all that are not declared alike
    assert getattr(actors["coordinator"], other)(url).status_code == 405


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
