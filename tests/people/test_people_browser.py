"""The pages of people and signing in, in a real browser: touch, size of text, keyboard, no script."""

from collections.abc import Callable

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone
from playwright.sync_api import Page
from pytest_django.live_server_helper import LiveServer

from gowngroup.people.actions import JoinDetails, ask_to_join, make_sign_in_letter
from gowngroup.people.models import Person
from tests.access import axe_faults
from tests.browser import DESK, PHONE, Chromium, Visitor, needs_chromium

pytestmark = [pytest.mark.browser, needs_chromium, pytest.mark.django_db(transaction=True)]
SMALL_TARGETS = """() => [...document.querySelectorAll("a, button, input:not([type=hidden]), select, summary, textarea")]
  .filter(e => e.checkVisibility() && !e.closest("p, li, .skip") && !e.matches("[type=checkbox], [type=radio], .skip"))
  .filter(e => e.getBoundingClientRect().height < 44)
  .map(e => e.outerHTML.slice(0, 80))"""
SMALL_TEXT = """() => [...document.querySelectorAll("body *")]
  .filter(e => e.checkVisibility() && [...e.childNodes].some(n => n.nodeType == 3 && n.data.trim()))
  .filter(e => parseFloat(getComputedStyle(e).fontSize) < 18)
  .map(e => e.textContent.trim())"""
OVERHANG = "document.documentElement.scrollWidth - window.innerWidth"


@pytest.fixture
def volunteers_pages(volunteer: Person, coordinator: Person) -> list[str]:
    """Pages that visitors and volunteers see, with a letter that waits to be used."""
    link = make_sign_in_letter(person=volunteer, by=coordinator, at=timezone.now())
    names = ["sign_in_code", "sign_in_help", "sign_in_letter", "join", "join_thanks"]
    names += ["my_page", "my_leave", "my_forget"]
    letter = reverse("people:sign_in_link", args=[link.secret])
    return [letter, f"{letter}x/", *(reverse(f"people:{name}") for name in names)]


@pytest.fixture
def offices_pages(volunteer: Person) -> list[str]:
    """Pages that only the coordinator sees, with somebody who asks to join."""
    asked = ask_to_join(details=JoinDetails(name="Nora", telephone="01234 999"), at=timezone.now())
    assert asked
    hers = ("person_page", "person_change", "person_forget")
    return [
        reverse("people:person_list"),
        reverse("people:join_list"),
        reverse("people:join_answer", args=[asked.pk]),
        *(reverse(f"people:{name}", args=[volunteer.pk]) for name in hers),
    ]


def faults_of(page: Page, url: str, *, is_volunteers: bool) -> list[object]:
    """What is wrong with a page for a thumb, weak eyes, a narrow screen; for axe-core where the demo has no such page."""
    page.goto(url)
    page.evaluate("document.querySelectorAll('details').forEach(e => e.open = true)")
    found: list[object] = [
        *(axe_faults(page) if "/sign-in/link/" in url else []),
        *page.evaluate(SMALL_TARGETS),
    ]
    found += page.evaluate(SMALL_TEXT) if is_volunteers else []
    overhang = page.evaluate(OVERHANG)
    return [*found, *([f"{overhang} px stick out"] if overhang else [])]


def test_volunteers_pages_have_no_fault_on_a_phone(
    chromium: Chromium,
    live_server: LiveServer,
    sign_in: Callable[[Person], Client],
    volunteer: Person,
    volunteers_pages: list[str],
) -> None:
    """By phone at night nothing is too small, too pale or too wide, and no text has less than 18 pixels."""
    visitor = Visitor(server=live_server, client=sign_in(volunteer), size=PHONE, is_dark=True)
    assert faults(chromium, visitor, volunteers_pages, is_volunteers=True) == {}


def test_the_offices_pages_have_no_fault_at_a_desk(
    chromium: Chromium,
    live_server: LiveServer,
    sign_in: Callable[[Person], Client],
    coordinator: Person,
    offices_pages: list[str],
) -> None:
    """At a desk by day nothing is too small, too pale or too wide."""
    visitor = Visitor(server=live_server, client=sign_in(coordinator), size=DESK)
    assert faults(chromium, visitor, offices_pages, is_volunteers=False) == {}


def faults(
    chromium: Chromium, visitor: Visitor, paths: list[str], *, is_volunteers: bool
) -> dict[str, list[object]]:
    """The pages that have faults, with these."""

    def look(page: Page) -> dict[str, list[object]]:
        root = visitor.server.url
        return {path: faults_of(page, root + path, is_volunteers=is_volunteers) for path in paths}

    return {path: found for path, found in chromium.visit(visitor, "/healthz", look).items() if found}


def test_a_letter_signs_in_by_two_touches_without_script(
    chromium: Chromium, live_server: LiveServer, volunteer: Person, coordinator: Person
) -> None:
    """From the square in the letter it is one tick and one button, on a phone without any script."""
    link = make_sign_in_letter(person=volunteer, by=coordinator, at=timezone.now())
    visitor = Visitor(server=live_server, client=Client(), size=PHONE, has_script=False)

    def touch(page: Page) -> str:
        page.get_by_label("Remember me on this device for 90 days").check()
        with page.expect_navigation():
            page.get_by_role("button", name="Sign in as Volunteer").click()
        return page.get_by_role("banner").inner_text()

    assert "Volunteer" in chromium.visit(visitor, reverse("people:sign_in_link", args=[link.secret]), touch)


def test_somebody_is_found_as_her_name_is_typed(
    chromium: Chromium,
    live_server: LiveServer,
    sign_in: Callable[[Person], Client],
    coordinator: Person,
    volunteer: Person,
) -> None:
    """The list narrows while one types, and the same words in the address find the same without script."""
    visitor = Visitor(server=live_server, client=sign_in(coordinator))

    def typed(page: Page) -> tuple[str, str, bool]:
        page.get_by_label("Name, address or number").press_sequentially("volunt")
        page.wait_for_url("**words=volunt**")
        narrowed = page.locator("#found").inner_text()
        return (
            narrowed,
            page.url,
            page.get_by_label("Name, address or number").evaluate("e => e === document.activeElement"),
        )

    narrowed, address, keeps_focus = chromium.visit(visitor, reverse("people:person_list"), typed)
    assert ("Volunteer" in narrowed, "Coordinator" in narrowed, keeps_focus) == (True, False, True)
    plain = Visitor(server=live_server, client=visitor.client, has_script=False)
    path = address.removeprefix(live_server.url)
    assert chromium.visit(plain, path, lambda page: page.locator("#found").inner_text()) == narrowed


def test_somebody_on_paper_is_added_by_keyboard_alone(
    chromium: Chromium, live_server: LiveServer, sign_in: Callable[[Person], Client], coordinator: Person
) -> None:
    """Name, number, Enter: nothing else is typed or pressed once the fields are open."""
    visitor = Visitor(server=live_server, client=sign_in(coordinator))

    def type_in(page: Page) -> str:
        page.locator("summary").focus()
        for key in ("Enter", "Tab"):
            page.keyboard.press(key)
        page.keyboard.type("Agnes Paper")
        page.keyboard.press("Tab")
        page.keyboard.type("01234 777")
        with page.expect_navigation():
            page.keyboard.press("Enter")
        return page.locator("h1").inner_text()

    assert chromium.visit(visitor, reverse("people:person_list"), type_in) == "Agnes Paper"
