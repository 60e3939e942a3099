"""The two forms that matter most, worked by keyboard alone: a ward's request, and taking a kit."""

from collections.abc import Callable

import pytest
from django.test import Client
from django.urls import reverse
from playwright.sync_api import Page
from pytest_django.live_server_helper import LiveServer

from gowngroup.batches.models import Kit
from gowngroup.people.models import Person
from gowngroup.wards.models import RequestLine, Ward
from tests.browser import Chromium, Visitor, needs_chromium
from tests.factories import KitFactory
from tests.walk.beginning import COORDINATOR

pytestmark = [
    pytest.mark.browser,
    needs_chromium,
    pytest.mark.django_db(transaction=True),
]
FOCUS = """() => { const here = document.activeElement;
  return [here.closest("label")?.textContent ?? here.labels?.[0]?.textContent ?? here.textContent, here.value ?? ""]
    .join(" ").trim(); }"""
MOST_TABS = 80


def tab_to(page: Page, words: str) -> None:
    """Press Tab until what has the focus bears these words and shows it."""
    for _press in range(MOST_TABS):
        page.keyboard.press("Tab")
        if words in page.evaluate(FOCUS):
            break
    assert words in page.evaluate(FOCUS), page.evaluate(FOCUS)
    assert page.evaluate("getComputedStyle(document.activeElement).outlineStyle") != "none"


def test_a_request_is_entered_by_keyboard(
    chromium: Chromium, server: LiveServer, month: None, sign_in: Callable[[Person], Client]
) -> None:
    """Tab, figures and Enter are enough to write down what a ward asks for."""
    client = sign_in(Person.objects.get(name=COORDINATOR))

    def enter(page: Page) -> str:
        tab_to(page, "2000–2500 g, to wear")
        page.keyboard.type("3")
        tab_to(page, "Urgent")
        page.keyboard.press("Space")
        tab_to(page, "Enter the request")
        page.keyboard.press("Enter")
        page.wait_for_url("**/wards/requests/*/")
        return page.inner_text("main")

    path = reverse("wards:request_new", args=[Ward.objects.get().pk])
    assert "Needed today" in chromium.visit(Visitor(server=server, client=client), path, enter)
    assert RequestLine.objects.get().gown_count == 3


def test_a_kit_is_taken_by_keyboard(
    chromium: Chromium, server: LiveServer, volunteer: Person, sign_in: Callable[[Person], Client]
) -> None:
    """Tab to “I'll sew this” and Enter take a kit."""
    kit = KitFactory(state=Kit.State.WAITING)

    def take(page: Page) -> str:
        tab_to(page, "I'll sew this")
        page.keyboard.press("Enter")
        page.wait_for_url("**/my-kits/")
        return page.inner_text("body")

    visitor = Visitor(server=server, client=sign_in(volunteer))
    assert "The kit is yours" in chromium.visit(visitor, reverse("batches:kits_waiting"), take)
    kit.refresh_from_db()
    assert kit.holder == volunteer
