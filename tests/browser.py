"""A real headless Chromium for tests, in a thread of its own.

Playwright keeps an event loop running where it is started, and Django gives code beside a running loop another
database connection; so the browser never runs in the test's thread.
"""

import os
import shutil
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass
from typing import TypeVar

import pytest
from django.test import Client
from playwright.sync_api import Browser, Page, sync_playwright
from pytest_django.live_server_helper import LiveServer

T = TypeVar("T")
Size = tuple[int, int]
PHONE: Size = (360, 740)
DESK: Size = (1280, 900)
# The headless shell first: the same engine without a desktop, which starts and runs at about half the cost.
NAMES = ("chromium-headless-shell", "chromium", "chromium-browser", "google-chrome")
CHROMIUM = next(filter(None, map(shutil.which, NAMES)), None)
IS_REQUIRED = os.environ.get("GOWNGROUP_BROWSER_REQUIRED") == "1"  # then a missing browser fails the test
needs_chromium = pytest.mark.skipif(
    CHROMIUM is None and not IS_REQUIRED, reason="no Chromium on this machine"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Visitor:
    """Who looks, with what window: the session of a test client, a size, day or night, script or none, a screen to touch."""

    server: LiveServer
    client: Client
    size: Size = DESK
    is_dark: bool = False
    has_script: bool = True
    has_touch: bool = False


class Chromium:
    """A browser in its own thread; `visit` runs a function on a page there and gives back what it returns."""

    def __init__(self, thread: ThreadPoolExecutor, browser: Browser) -> None:
        self._thread, self._browser = thread, browser

    def visit(self, visitor: Visitor, path: str, look: Callable[[Page], T]) -> T:
        cookies = {name: morsel.value for name, morsel in visitor.client.cookies.items()}
        return self._thread.submit(self._visit, visitor, cookies, path, look).result(timeout=600)

    def run(self, job: Callable[[Browser], T]) -> T:
        """What a job that opens its own windows gives back; it runs in the browser's thread, without our database."""
        return self._thread.submit(job, self._browser).result(timeout=600)

    def _visit(self, visitor: Visitor, cookies: dict[str, str], path: str, look: Callable[[Page], T]) -> T:
        context = self._browser.new_context(
            viewport={"width": visitor.size[0], "height": visitor.size[1]},
            color_scheme="dark" if visitor.is_dark else "light",
            java_script_enabled=visitor.has_script,
            has_touch=visitor.has_touch,
        )
        context.set_default_timeout(60_000)  # both cores may be busy
        try:
            for name, value in cookies.items():
                context.add_cookies([{"name": name, "value": value, "url": visitor.server.url}])
            page = context.new_page()
            page.goto(visitor.server.url + path)
            return look(page)
        finally:
            context.close()


@contextmanager
def chromium_thread() -> Iterator[Chromium]:
    """Start Chromium in a thread and stop it afterwards."""
    with ThreadPoolExecutor(max_workers=1) as thread:
        playwright = thread.submit(lambda: sync_playwright().start()).result()
        try:
            browser = thread.submit(
                lambda: playwright.chromium.launch(executable_path=CHROMIUM, chromium_sandbox=False)
            ).result()
            yield Chromium(thread, browser)
            thread.submit(browser.close).result()
        finally:
            thread.submit(playwright.stop).result()
