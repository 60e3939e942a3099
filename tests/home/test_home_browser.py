"""The first page in a real browser: by phone and by keyboard."""

from collections.abc import Callable
from datetime import timedelta
from itertools import product

import pytest
from django.test import Client
from django.utils import timezone
from playwright.sync_api import Page
from pytest_django.live_server_helper import LiveServer

from gowngroup.batches.models import Kit
from gowngroup.people.models import Person, PersonRole
from tests.browser import PHONE, Chromium, Visitor, needs_chromium
from tests.factories import RequestLineFactory, WardFactory
from tests.home.months import drop_off_for, gown_in, kit_in

pytestmark = [
    pytest.mark.browser,
    needs_chromium,
    pytest.mark.django_db(transaction=True),
]
VisitorOf = Callable[..., Visitor]
SMALL_TARGETS = """() => [...document.querySelectorAll("a, button, input:not([type=hidden]), select, summary")]
  .filter(e => e.checkVisibility() && !e.classList.contains("skip"))
  .filter(e => [...e.closest("p")?.childNodes ?? []].every(n => n.nodeName == "A" || !n.textContent.match(/[^\\s·]/)))
  .filter(e => e.getBoundingClientRect().height < 44)
  .map(e => e.textContent.trim())"""
SMALL_TEXT = """() => [...document.querySelectorAll("body *")]
  .filter(e => [...e.childNodes].some(n => n.nodeType == 3 && n.data.trim()))
  .filter(e => parseFloat(getComputedStyle(e).fontSize) < 18)
  .map(e => e.textContent.trim())"""


@pytest.fixture
def visitor(live_server: LiveServer, coordinator: Person, sign_in: Callable[[Person], Client]) -> VisitorOf:
    """A coordinator who also sews and drives, with something in every part of her first page."""
    for role in ("volunteer", "driver"):
        PersonRole.objects.create(person=coordinator, role=role)
    today = timezone.localdate()
    kit_in(Kit.State.CLAIMED, holder=coordinator, due_on=today - timedelta(days=3))
    kit_in(Kit.State.CUT)
    gown_in("back")
    drop_off_for(coordinator)
    WardFactory(paused_until=today)
    RequestLineFactory(request__month=today.replace(day=1))
    client = sign_in(coordinator)
    return lambda **window: Visitor(server=live_server, client=client, **window)


def test_a_phone_needs_no_sideways_scrolling(chromium: Chromium, visitor: VisitorOf) -> None:
    """On a narrow phone nothing sticks out sideways, nor with text twice as large (WCAG 2.2, 1.4.4, 1.4.10)."""

    def overhangs_px(page: Page) -> dict[tuple[int, int], object]:
        found = {}
        for width, text_px in product((320, 360), (19, 38)):
            page.set_viewport_size({"width": width, "height": 740})
            page.evaluate(f"document.documentElement.style.fontSize = '{text_px}px'")
            found[width, text_px] = page.evaluate("document.documentElement.scrollWidth - window.innerWidth")
        return found

    found = chromium.visit(visitor(size=PHONE), "/", overhangs_px)
    assert found == dict.fromkeys(found, 0)


def test_everything_to_touch_is_large_enough(chromium: Chromium, visitor: VisitorOf) -> None:
    """Buttons and links outside sentences, also alone in a line, are at least 44 pixels high, those of the menu too."""

    def small_targets(page: Page) -> object:
        page.click(".menu-button")
        return page.evaluate(SMALL_TARGETS)

    assert chromium.visit(visitor(size=PHONE), "/", small_targets) == []


def test_all_text_is_large_enough(chromium: Chromium, visitor: VisitorOf) -> None:
    """No text is smaller than 18 pixels."""
    assert chromium.visit(visitor(), "/", lambda page: page.evaluate(SMALL_TEXT)) == []


def test_the_keyboard_passes_the_navigation(chromium: Chromium, visitor: VisitorOf) -> None:
    """Tab, Enter, Tab stands on the first thing of the page itself."""

    def is_in_main(page: Page) -> object:
        for key in ("Tab", "Enter", "Tab"):
            page.keyboard.press(key)
        return page.evaluate("document.activeElement.closest('main') !== null")

    assert chromium.visit(visitor(), "/", is_in_main) is True


def test_the_menu_needs_no_script(chromium: Chromium, visitor: VisitorOf) -> None:
    """On a phone without JavaScript the menu opens and leads on."""

    def follow(page: Page) -> tuple[bool, str]:
        link = page.get_by_role("link", name="Kits", exact=True)
        was_visible = link.is_visible()
        page.click(".menu-button")
        with page.expect_navigation():
            link.click()
        return was_visible, page.url

    was_visible, url = chromium.visit(visitor(size=PHONE, has_script=False), "/", follow)
    assert not was_visible
    assert url.endswith("/batches/kits/")
