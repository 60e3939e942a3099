"""Every page of the demo as axe-core sees it (WCAG 2.2 AA), for every role, phone and desk, day and night, text twice as large."""

import os
import re
from collections.abc import Iterable, Iterator
from itertools import islice
from pathlib import Path
from typing import Any

import pytest
import time_machine
from axe_playwright_python.base import AXE_SCRIPT
from django.db import transaction
from django.test import Client
from django.urls import reverse
from playwright.sync_api import Browser, Page
from pytest_django.fixtures import Settings
from pytest_django.live_server_helper import LiveServer

from gowngroup.people.models import Role
from gowngroup.people.queries import roles_of
from tests.access import axe_faults, contrast_faults, faults_but_contrast, overhang
from tests.browser import DESK, Chromium, needs_chromium
from tests.demo.built import Rows, lay_out
from tests.demo.conftest import NOW
from tests.demo.looks import (
    EVERY_SIGHT,
    LANGUAGES,
    NARROW,
    TIGHTEST,
    Look,
    Sight,
    Variant,
    enough_looks,
    pairs_seen,
    pairs_wanted,
)
from tests.demo.whole_site import DETAILS, LISTS, ONE_TIME_LINKS, address_of, member, values_of

pytestmark = [pytest.mark.browser, needs_chromium, pytest.mark.django_db(transaction=True)]
LETTERS_PX = 19
TIMEOUT_MS = 120_000  # both cores may be busy for long
SHOTS = os.environ.get("GOWNGROUP_SHOTS", "")
LETTERS = """px => { document.documentElement.style.fontSize = `${px}px`;
  document.querySelectorAll("details").forEach(part => part.open = true);
  return new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done))) }"""
SHEETS = "/print/"  # in the language of whom they are for
SPOKEN = "() => document.documentElement.lang"
OPEN_MENU = "() => document.querySelector('#site-nav[popover]')?.showPopover()"
CLOSE_MENU = "() => document.querySelector('#site-nav[popover]')?.hidePopover()"
VISITOR = "visitor"
ROLES = [VISITOR, *Role.values]
PAGES = [name for name in [*LISTS, *DETAILS] if not name.endswith(("_pdf", "_svg", "_css", "_data"))]
PARTS, MATRIX_PARTS, MOST_STATES = 3, 8, 3
# Whoever opens whichever page gets it, another page to begin with, a sentence, or a plain no.
PLAIN_ANSWERS = (200, 302, 403, 404, 409, 410, 422)
# What differs between two people who see the same page: hidden fields, who she is, and the entries of her menu.
HERS = re.compile(
    r'<input type="hidden"[^>]*>| hx-headers=\'[^\']*\'| data-person="\d*"|<nav class="site-nav".*?</nav>'
    r'|<button class="button menu-button".*?</button>|(?<=<div class="account">).*?</a>',
    re.DOTALL,
)
MENU = re.compile(r'<nav class="site-nav".*?</nav>', re.DOTALL)
ENTRY = re.compile(r'<li><a href="[^"]*"(?: aria-current="page")?>[^<]*</a></li>')
TAG = re.compile(r"<(\w+)")
Clients = dict[str, Client]
Known = dict[bool, set[str]]  # texts' looks by day and by night that axe-core has been asked about


@pytest.fixture
def server(race_database: None, built_demo: Rows, settings: Settings) -> Iterator[LiveServer]:
    """The demo on a real port, on a database that every thread sees."""
    with time_machine.travel(NOW, tick=True):
        with transaction.atomic():
            lay_out(built_demo)
        server = LiveServer("127.0.0.1")
        settings.SITE_ADDRESS = server.url
        yield server
        server.stop()


@pytest.fixture
def clients(server: LiveServer) -> Clients:
    """Somebody of each role, signed in, and a visitor."""
    found = {role: Client(raise_request_exception=False) for role in ROLES}
    for role in Role.values:
        found[role].force_login(member(role))
    return found


def variants_of(name: str, clients: Clients, *, most: int) -> list[Variant]:
    """A page in at most so many of its states, in each form in which somebody gets it."""
    values = list(values_of(name)) if name in DETAILS else [{}]
    alike: dict[tuple[str, str], list[str]] = {}
    for role in ROLES:
        pages = pages_for(role, name, values, clients[role])
        for path, html in islice(pages, most):
            alike.setdefault((path, _but_for_hers(html)), []).append(role)
    return [Variant(page=name, path=path, roles=tuple(roles)) for (path, _), roles in alike.items()]


def _but_for_hers(html: str) -> str:
    """A page without what is its reader's own; her menu may differ in plain links only, which no other part answers to."""
    for menu in MENU.findall(html):
        assert {*TAG.findall(ENTRY.sub("", menu))} == {"nav", "ul"}, menu
    return HERS.sub("", html)


def pages_for(
    role: str, name: str, values: Iterable[dict[str, object]], client: Client
) -> Iterator[tuple[str, str]]:
    """The addresses of this name that open as a page for this role, and their text."""
    roles = {*(address_of(name).roles() or [])}
    if roles and role != VISITOR and not roles & roles_of(member(role)):
        return
    for value in values:
        path = reverse(name, kwargs=value)
        answer = client.get(path)
        assert answer.status_code in PLAIN_ANSWERS, f"{path} answered {answer.status_code} to a {role}"
        if _is_a_page(answer, name):
            yield path, answer.content.decode()


def _is_a_page(answer: Any, name: str) -> bool:
    """Whether there is something to look at; a link for one use that is unknown leads to a page of its own, too."""
    is_seen = answer.status_code in (200, 409, 422) or name in ONE_TIME_LINKS
    return is_seen and answer["Content-Type"].startswith("text/html")


class Windows:
    """A window for each role, open as long as the looks go on; all is done in the browser's thread."""

    def __init__(self, chromium: Chromium, server: LiveServer, clients: Clients) -> None:
        self._chromium, self._url = chromium, server.url
        self._cookies = {
            role: [
                {"name": name, "value": morsel.value, "url": server.url}
                for name, morsel in client.cookies.items()
            ]
            for role, client in clients.items()
        }
        self._pages: dict[str, Page] = {}
        self._known: Known = {False: set(), True: set()}

    def faults(self, role: str, path: str, language: str, sights: Iterable[Sight]) -> list[str]:
        """What is wrong with a page, opened once in a language and seen in several ways."""
        return self._chromium.run(
            lambda browser: self._faults(self._page(browser, role), path, language, [*sights])
        )

    def faults_told_once(self, role: str, path: str, language: str, sights: Iterable[Sight]) -> list[str]:
        """The same, but for contrast only texts that look like no other before, at their ordinary size, by day and by night."""
        return self._chromium.run(
            lambda browser: self._faults(self._page(browser, role), path, language, [*sights], self._known)
        )

    def close(self) -> None:
        def close(_browser: Browser) -> None:
            for page in self._pages.values():
                page.context.close()

        self._chromium.run(close)

    def _page(self, browser: Browser, role: str) -> Page:
        if role not in self._pages:
            context = browser.new_context(reduced_motion="reduce")
            context.set_default_timeout(TIMEOUT_MS)
            context.add_cookies(self._cookies[role])  # type: ignore[arg-type]
            context.add_init_script(AXE_SCRIPT)
            self._pages[role] = context.new_page()
        return self._pages[role]

    def _faults(
        self, page: Page, path: str, language: str, sights: list[Sight], known: Known | None = None
    ) -> list[str]:
        page.set_extra_http_headers({"accept-language": language})
        page.goto(self._url + path)
        where = f"{path} in {language}"
        follows_its_reader = path.startswith(SHEETS) or page.evaluate(SPOKEN) == language
        found = [] if follows_its_reader else [f"{where}: is in another language"]
        return found + [
            f"{where}, {sight}: {fault}" for sight in sights for fault in _seen(page, path, sight, known)
        ]


def _seen(page: Page, path: str, sight: Sight, known: Known | None) -> list[str]:
    """What is wrong with an open page in one way of looking; a desk zooms the page, a phone enlarges its letters."""
    zoom = sight.text_share if sight.size == DESK else 1
    page.set_viewport_size({"width": sight.size[0] // zoom, "height": sight.size[1] // zoom})
    page.emulate_media(color_scheme="dark" if sight.is_dark else "light")
    found: list[str] = []
    if known is not None:
        page.evaluate(LETTERS, LETTERS_PX)  # large letters may be paler
        found += contrast_faults(page, known[sight.is_dark])
    page.evaluate(LETTERS, LETTERS_PX * sight.text_share // zoom)
    found += (axe_faults(page) if known is None else faults_but_contrast(page)) + overhang(page)
    if path == "/" and sight.size == NARROW:
        page.evaluate(OPEN_MENU)
        found += [f"menu: {fault}" for fault in axe_faults(page)]
        page.evaluate(CLOSE_MENU)
    if SHOTS:
        name = f"{path.strip('/').replace('/', '-') or 'home'}-{sight.size[0]}-{'dark' if sight.is_dark else 'light'}-{sight.text_share}.png"
        page.screenshot(path=Path(SHOTS, name), full_page=True)
    return found


@pytest.fixture
def windows(chromium: Chromium, server: LiveServer, clients: Clients) -> Iterator[Windows]:
    windows = Windows(chromium, server, clients)
    yield windows
    windows.close()


@pytest.mark.slow
@pytest.mark.parametrize("part", range(PARTS))
def test_every_pair_of_page_and_role_and_way_of_looking(
    windows: Windows, clients: Clients, part: int
) -> None:
    """Each page in each form in which a role gets it, in two opposite ways at least: every pair comes up, and nothing is wrong."""
    variants = [page for name in PAGES[part::PARTS] for page in variants_of(name, clients, most=1)]
    looks = enough_looks(variants)
    assert pairs_wanted(variants) - pairs_seen(looks) == set()
    found = [fault for group in _by_opening(looks) for fault in windows.faults_told_once(*group)]
    assert not found, "\n".join(found)


def _by_opening(looks: list[Look]) -> Iterator[tuple[str, str, str, list[Sight]]]:
    """The looks that one opening of a page is enough for."""
    together: dict[tuple[str, str, str], list[Sight]] = {}
    for look in looks:
        together.setdefault((look.role, look.variant.path, look.language), []).append(look.sight)
    for (role, path, language), sights in together.items():
        yield role, path, language, sights


@pytest.mark.matrix
@pytest.mark.parametrize("part", range(MATRIX_PARTS))
def test_every_page_for_every_role_in_every_way(windows: Windows, clients: Clients, part: int) -> None:
    """Every page in each of its states, in all eight ways of looking and in Spanish where room is least, has nothing that axe-core finds."""
    english, spanish = LANGUAGES
    variants = [
        variant
        for name in PAGES[part::MATRIX_PARTS]
        for variant in variants_of(name, clients, most=MOST_STATES)
    ]
    found = [
        fault
        for place, variant in enumerate(variants)
        for language, sights in ((english, EVERY_SIGHT), (spanish, [TIGHTEST]))
        for fault in windows.faults(variant.roles[place % len(variant.roles)], variant.path, language, sights)
    ]
    assert not found, "\n".join(found)
