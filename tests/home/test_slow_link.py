"""Pages over a slow phone's link: seen soon, never moving, light, and no face of type waited for.

The link is 400 kbit/s with 400 ms there and back and a processor four times slower, as Chromium's DevTools slow them.
"""

import gzip
import re
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings
from django.contrib.staticfiles import finders
from django.test import Client
from playwright.sync_api import Browser, CDPSession
from pytest_django.live_server_helper import LiveServer

from gowngroup.batches.models import Kit
from gowngroup.people.models import Person
from tests.browser import PHONE, Chromium, needs_chromium
from tests.home.months import kit_in

SLOW = {"offline": False, "latency": 400, "downloadThroughput": 50_000, "uploadThroughput": 50_000}
QUICK = {"offline": False, "latency": 0, "downloadThroughput": -1, "uploadThroughput": -1}
WATCH = """window.moved = 0;
new PerformanceObserver((list) => { for (const entry of list.getEntries()) window.moved += entry.value })
  .observe({type: "layout-shift", buffered: true});"""
SEEN_MS = """() => performance.getEntriesByName("first-contentful-paint")[0]?.startTime"""
PATHS = ("/", "/batches/waiting/", "/sign-in/")
MOST_BYTES, MOST_MS, TRIES = 60_000, 2_500, 3
MOST_AWAITED_MS = (
    1_800  # of the 2.5 seconds; the rest is for the processor, which no busy machine lets us measure
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Opened:
    """How a page opened: when its first words stood there, what had to come before, how far it moved after, its faces.

    `seen_ms` is what the clock said, `awaited_ms` what the link alone takes for what had to come before.
    """

    seen_ms: float
    awaited_bytes: int
    awaited_ms: float
    moved: float
    faces: tuple[str, ...]


@pytest.fixture
def client(volunteer: Person, sign_in: Callable[[Person], Client]) -> Client:
    """A volunteer with a kit at home and others waiting, whose pages the server has written before."""
    kit_in(Kit.State.CLAIMED, holder=volunteer)
    for _kit in range(6):
        kit_in(Kit.State.WAITING)
    client = sign_in(volunteer)
    for path in PATHS:
        client.get(path)
    return client


def opened(browser: Browser, url: str, cookies: dict[str, str]) -> Opened:
    """Open a page for the first time, over the slow link until its first words stand there."""
    context = browser.new_context(viewport={"width": PHONE[0], "height": PHONE[1]})
    try:
        context.add_cookies([{"name": name, "value": value, "url": url} for name, value in cookies.items()])
        page = context.new_page()
        page.add_init_script(WATCH)
        faces: list[str] = []
        page.on("request", lambda request: faces.append(request.url) if "/fonts/" in request.url else None)
        devtools = context.new_cdp_session(page)
        awaited = Awaited(devtools)
        devtools.send("Network.enable")
        _slow_down(devtools, SLOW, times=4)
        page.goto(url, wait_until="commit")
        page.wait_for_function(SEEN_MS)
        _slow_down(devtools, QUICK, times=1)  # what comes later may come at once: it moves the page as much
        page.wait_for_load_state("load")
        page.evaluate("document.fonts.ready.then(() => null)")
        page.wait_for_timeout(300)
        return Opened(
            seen_ms=page.evaluate(SEEN_MS),
            awaited_bytes=awaited.bytes,
            awaited_ms=awaited.over_slow_link_ms(),
            moved=page.evaluate("window.moved"),
            faces=tuple(faces),
        )
    finally:
        context.close()


def _slow_down(devtools: CDPSession, link: dict[str, Any], *, times: int) -> None:
    devtools.send("Network.emulateNetworkConditions", link)
    devtools.send("Emulation.setCPUThrottlingRate", {"rate": times})


class Awaited:
    """How many bytes of page and styles, as they come over the wire, stand before a page's first words, and how many
    questions, each asked only when the one before is answered."""

    KINDS = ("Document", "Stylesheet")

    def __init__(self, devtools: CDPSession) -> None:
        self.bytes, self._asked = 0, set[str]()
        self._turns: dict[str, int] = {}  # an address, and how many questions it takes until it is there
        devtools.on("Network.requestWillBeSent", self._begins)
        devtools.on("Network.loadingFinished", self._ends)

    def over_slow_link_ms(self) -> float:
        """The time all this takes over the slow link, on a machine that does everything else at once."""
        return max(self._turns.values()) * SLOW["latency"] + self.bytes * 1000 / SLOW["downloadThroughput"]

    def _begins(self, event: dict[str, Any]) -> None:
        if event["type"] in self.KINDS:
            self._asked.add(event["requestId"])
            asked_by = self._turns.get(event["initiator"].get("url", ""), 0)
            self._turns[event["request"]["url"]] = asked_by + 1 + ("redirectResponse" in event)

    def _ends(self, event: dict[str, Any]) -> None:
        if event["requestId"] in self._asked:
            self.bytes += event["encodedDataLength"]


@needs_chromium
@pytest.mark.browser
@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize("path", PATHS)
def test_a_page_is_seen_soon_and_stays_where_it_is(
    chromium: Chromium, live_server: LiveServer, client: Client, path: str
) -> None:
    """What its first words wait for comes soon enough for 2.5 seconds, nothing moves after, and only light faces are fetched.

    What else this machine does at that moment is no fault of the page; `tests/demo/test_slow_pages.py` asks the clock.
    """
    cookies = {} if path == "/sign-in/" else {name: morsel.value for name, morsel in client.cookies.items()}
    found = chromium.run(lambda browser: opened(browser, live_server.url + path, cookies))
    assert found.moved == 0
    assert all("/fonts/web/" in face for face in found.faces)
    assert found.awaited_ms <= MOST_AWAITED_MS


@pytest.mark.django_db
@pytest.mark.parametrize("path", PATHS)
def test_a_page_is_light(client: Client, path: str) -> None:
    """With its styles and scripts, compressed as they are sent, a page is at most 60 kB."""
    answer = (Client() if path == "/sign-in/" else client).get(path, headers={"accept-encoding": "gzip"})
    page = gzip.decompress(answer.content).decode()
    parts = re.findall(r'(?:rel="stylesheet" href|script src)="([^"]+)"', page)
    files = [finders.find(part.removeprefix(settings.STATIC_URL)) for part in parts]
    weights = [len(gzip.compress(Path(file).read_bytes())) for file in files if isinstance(file, str)]
    assert len(weights) == len(parts) >= 5
    assert len(answer.content) + sum(weights) <= MOST_BYTES
