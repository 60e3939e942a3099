"""Every page of the demo as axe-core sees it (WCAG 2.2 AA), for every role, phone and desk, day and night, text twice as large."""

import os
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from itertools import islice, product
from pathlib import Path

import pytest
import time_machine
from axe_playwright_python.sync_playwright import Axe
from django.conf import settings
from django.db import transaction
from django.test import Client
from django.urls import reverse
from playwright.sync_api import Page
from pytest_django import DjangoDbBlocker
from pytest_django.live_server_helper import LiveServer

from gowngroup.people.models import Role
from gowngroup.people.queries import roles_of
from tests.browser import DESK, Chromium, Size, Visitor, chromium_thread, needs_chromium
from tests.demo.built import Rows, lay_out
from tests.demo.conftest import NOW
from tests.demo.whole_site import DETAILS, LISTS, ONE_TIME_LINKS, address_of, member, values_of
from tests.race import database_in_a_file

pytestmark = [pytest.mark.browser, needs_chromium]
NARROW: Size = (320, 740)
LETTERS_PX = 19
AXE = {"resultTypes": ["violations"]}
SHOTS = os.environ.get("GOWNGROUP_SHOTS", "")
OVERHANG = """() => document.documentElement.scrollWidth <= innerWidth ? [] : [...document.querySelectorAll("body *")]
  .filter(part => part.getBoundingClientRect().right > innerWidth + 0.5)
  .map(part => part.outerHTML.slice(0, 120)).slice(-3)"""
LETTERS = """px => { document.documentElement.style.fontSize = `${px}px`;
  return new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done))) }"""
ROLES = [None, *Role.values]


@dataclass(frozen=True, slots=True, kw_only=True)
class Sight:
    """One way of looking at a page."""

    size: Size
    is_dark: bool
    text_share: int

    def __str__(self) -> str:
        return f"{self.size[0]} px, {'dark' if self.is_dark else 'light'}, text × {self.text_share}"


SightsOf = Callable[[int], list[Sight]]
EVERY_SIGHT = [
    Sight(size=size, is_dark=is_dark, text_share=text_share)
    for size, is_dark, text_share in product((NARROW, DESK), (False, True), (1, 2))
]


def two_sights(place: int) -> list[Sight]:
    """Two opposite sights: with those of the next page they make every pair of size, scheme and size of text."""
    return [EVERY_SIGHT[place % 4], EVERY_SIGHT[7 - place % 4]]


@pytest.fixture(scope="module")
def chromium() -> Iterator[Chromium]:
    with chromium_thread() as chromium:
        yield chromium


@pytest.fixture(scope="module")
def server(
    built_demo: Rows, django_db_blocker: DjangoDbBlocker, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[LiveServer]:
    """The demo on a real port, on a database of its own that every thread sees."""
    file = tmp_path_factory.mktemp("access") / "demo.sqlite3"
    with (
        django_db_blocker.unblock(),
        database_in_a_file(file),
        time_machine.travel(NOW, tick=True),
        pytest.MonkeyPatch.context() as patch,
    ):
        with transaction.atomic():
            lay_out(built_demo)
        server = LiveServer("127.0.0.1")
        patch.setattr(settings, "SITE_ADDRESS", server.url)
        yield server
        server.stop()


def pages_of(role: str | None, *, most: int) -> dict[str, Client]:
    """The addresses that somebody of this role may open, at most so many of a kind, and her browser's session."""
    client = Client(raise_request_exception=False)  # what breaks is told by the tests of each page
    if role:
        client.force_login(member(role))
    may = roles_of(member(role)) if role else set()
    found: dict[str, Client] = {}
    for name in [*LISTS, *DETAILS]:
        roles = {*(address_of(name).roles() or [])}
        if name in ONE_TIME_LINKS or name.endswith(("_pdf", "_svg", "_css")) or (role and not roles & may):
            continue
        values = values_of(name) if name in DETAILS else iter([{}])
        paths = (reverse(name, kwargs=value) for value in values)
        found |= dict.fromkeys(islice((path for path in paths if _is_a_page(client, path)), most), client)
    return found


def _is_a_page(client: Client, path: str) -> bool:
    answer = client.get(path)
    return answer.status_code in (200, 409, 422) and answer["Content-Type"].startswith("text/html")


def faults(chromium: Chromium, server: LiveServer, pages: dict[str, Client], sights: SightsOf) -> list[str]:
    """What is wrong with pages, each seen in the ways that `sights` gives for its place in the list."""
    return [
        fault
        for place, (path, client) in enumerate(pages.items())
        for fault in chromium.visit(
            Visitor(server=server, client=client), path, partial(_faults_of, path=path, sights=sights(place))
        )
    ]


def _faults_of(page: Page, *, path: str, sights: list[Sight]) -> list[str]:
    return [f"{path} ({sight}): {fault}" for sight in sights for fault in _faults_seen(page, sight, path)]


def _faults_seen(page: Page, sight: Sight, path: str) -> Iterator[str]:
    zoom = (
        sight.text_share if sight.size == DESK else 1
    )  # a desk zooms the page, a phone enlarges its letters
    page.set_viewport_size({"width": sight.size[0] // zoom, "height": sight.size[1] // zoom})
    page.emulate_media(color_scheme="dark" if sight.is_dark else "light", reduced_motion="reduce")
    page.evaluate(LETTERS, LETTERS_PX * sight.text_share // zoom)
    for violation in Axe().run(page, options=AXE).response["violations"]:
        nodes = "; ".join(node["html"][:120] for node in violation["nodes"][:3])
        yield f"{violation['id']} × {len(violation['nodes'])}: {nodes}"
    if overhang := page.evaluate(OVERHANG):
        yield f"sticks out sideways: {'; '.join(overhang)}"
    if SHOTS:
        name = f"{path.strip('/').replace('/', '-') or 'home'}-{sight.size[0]}-{'dark' if sight.is_dark else 'light'}-{sight.text_share}.png"
        page.screenshot(path=Path(SHOTS, name), full_page=True)


@pytest.mark.matrix
@pytest.mark.parametrize("role", ROLES)
def test_every_page_for_every_role(chromium: Chromium, server: LiveServer, role: str | None) -> None:
    """Every page in each of its states, in all eight ways of looking, has nothing that axe-core finds."""
    found = faults(chromium, server, pages_of(role, most=3), lambda _: EVERY_SIGHT)
    assert not found, "\n".join(found)


@pytest.mark.matrix
def test_every_page_in_two_ways(chromium: Chromium, server: LiveServer) -> None:
    """Every page once, in two opposite ways, so that each pair of width, scheme and size of text comes up."""
    pages: dict[str, Client] = {}
    for role in ROLES:
        pages = pages_of(role, most=1) | pages
    found = faults(chromium, server, pages, two_sights)
    assert not found, "\n".join(found)
