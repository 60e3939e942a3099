"""Every page of the site opens on the demo, for whomever it is."""

import re
from collections import Counter
from collections.abc import Callable, Iterator, Set
from contextlib import contextmanager
from html import unescape
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.urls import resolve, reverse

from gowngroup.batches.models import Call
from gowngroup.people.models import Person, Role
from gowngroup.people.queries import roles_of
from tests.demo.drawings import wrong_numbers
from tests.demo.whole_site import DETAILS, LISTS, ONE_TIME_LINKS, Values, address_of, member, values_of

pytestmark = pytest.mark.usefixtures("demo")
SignIn = Callable[[Person], Client]
DRAWN, MOST_DRAWN = ("printing:cutting", "printing:pattern", "printing:pattern_svg"), 5  # these take long
IN_SPANISH = {"accept-language": "es"}
LINK = re.compile(r'<a\b[^>]*? href="(/[^"#?]*)')
FULL_OF_LINKS = ("batches:kit_page", "batches:call_page", "deliveries:drop_off_page", "gowns:gown_page")
FOLLOWED_OF_A_KIND = 2
DEAR = re.compile(
    r"_(pdf|svg|css)$|catalog:|people:figure|batches:(plan|lay|batch)|printing:(print|pattern|cutting|stitch)"
)


@pytest.mark.parametrize("role", Role.values)
def test_lists_open_for_those_they_are_for_and_lead_nobody_astray(role: str, sign_in: SignIn) -> None:
    """Only those with the role see a list; whatever it or the page of a thing links to, its reader may open."""
    client, may = sign_in(member(role)), roles_of(member(role))
    links: dict[str, str] = {}
    for name in LISTS:
        answer = client.get(reverse(name))
        # 422: a page that prints what was chosen, and nothing has been.
        expected = (200, 302, 422) if _is_for(name, may) else (403,)
        assert answer.status_code in expected, f"{name} answered {answer.status_code}"
        links |= _links_of(answer, name)
    for name in FULL_OF_LINKS:
        for values in _things(name) if _is_for(name, may) else ():
            links |= _links_of(client.get(reverse(name, kwargs=values)), f"{name} {values}")
    assert _astray(links, client, may) == []


def _is_for(name: str, may: Set[str]) -> bool:
    return bool(may & {*(address_of(name).roles() or [])})


def _things(name: str) -> Iterator[Values]:
    """One thing of each state; of kits also those whose sewers ask for help."""
    yield from values_of(name)
    if name == "batches:kit_page":
        for call in Call.objects.filter(kind=Call.Kind.HELP)[:2]:
            yield {"code": call.kit.code}


def _links_of(answer: Any, place: str) -> dict[str, str]:
    """Where a page leads, and the page."""
    is_page = answer.status_code == 200 and answer["Content-Type"].startswith("text/html")
    return {unescape(link): place for link in LINK.findall(answer.content.decode())} if is_page else {}


def _astray(links: dict[str, str], client: Client, may: Set[str]) -> list[str]:
    """Links to what their reader may not open, or to nothing; a few of each kind are followed."""
    found, followed = [], Counter[str]()
    for link, place in sorted(links.items()):
        name = resolve(link).view_name
        status = 200 if _is_for(name, may) else 403
        if (
            status == 200
            and name in DETAILS
            and not DEAR.search(name)
            and followed[name] < FOLLOWED_OF_A_KIND
        ):
            followed[name] += 1
            status = client.get(link).status_code
        if status not in (200, 302, 409):
            found.append(f"{place} leads to {link}: {status}")
    return found


@pytest.mark.parametrize("role", Role.values)
def test_the_first_page_shows_what_needs_her_today(role: str, sign_in: SignIn) -> None:
    """Everybody's first page has something to do on it."""
    page = sign_in(member(role)).get("/").content.decode()
    assert "main" in page
    shown = {
        "coordinator": "past their day",
        "packer": "to be packed",
        "inspector": "first check",
        "driver": "Newborn Intensive Care",
        "volunteer": "kits",
    }
    assert shown[role] in page


@contextmanager
def writing_noted() -> Iterator[list[str]]:
    """Whatever is written to the database inside; of sessions Django keeps account itself."""
    noted: list[str] = []

    def look(execute: Callable[..., object], sql: str, *rest: object) -> object:
        if sql.startswith(("INSERT", "UPDATE", "DELETE")) and "django_session" not in sql:
            noted.append(sql[:200])
        return execute(sql, *rest)

    with connection.execute_wrapper(look):
        yield noted


@pytest.mark.parametrize(
    "name", [name for name in DETAILS if not name.endswith("_pdf") and name not in ONE_TIME_LINKS]
)
def test_pages_of_single_things_open(name: str, sign_in: SignIn) -> None:
    """The coordinator opens every page of a thing in each of its states, in Spanish; what is past answers kindly; nothing changes by it."""
    client = sign_in(member(Role.COORDINATOR))
    found = list(values_of(name))
    if name in DRAWN:
        found = found[:: -(-len(found) // MOST_DRAWN)]
    with writing_noted() as written:
        answers = [client.get(reverse(name, kwargs=values), headers=IN_SPANISH) for values in found]
    assert written == []
    statuses = {answer.status_code for answer in answers}
    assert not {
        wrong for answer in answers for wrong in wrong_numbers(answer.content.decode(errors="replace"))
    }
    assert statuses & {200, 302}, f"{name} opened for none: {statuses}"
    assert statuses <= {200, 302, 404, 409}, f"{name} answered {statuses}"


@pytest.mark.parametrize(
    "drawing", ['x="1,5"', 'viewBox="0 0 1,5 2"', 'd="M1,5 2"', 'points="1,5,2"', 'width="12,5mm"']
)
def test_a_comma_in_a_drawing_is_seen(drawing: str) -> None:
    """The look above finds a number written as one reads it, where a browser would draw something else."""
    assert wrong_numbers(f"<svg {drawing}></svg>")
    assert not wrong_numbers(f"<svg {drawing.replace(',', '.', 1)}></svg>")


@pytest.mark.parametrize("name", [name for name in DETAILS if name.endswith("_pdf")])
def test_sheets_of_paper_open(name: str, sign_in: SignIn) -> None:
    """A PDF is made for a thing that has one."""
    client = sign_in(member(Role.COORDINATOR))
    answers = [client.get(reverse(name, kwargs=values)) for values in list(values_of(name))[:2]]
    assert any(answer.headers["Content-Type"] == "application/pdf" for answer in answers)
