"""In a real browser: what is typed survives a lapsed sign-in, a refused form, a server that does not answer, and going back."""

import re
from collections.abc import Callable, Iterator
from datetime import datetime

import pytest
from django.core import mail
from django.test import Client
from django.urls import reverse
from playwright.sync_api import Page
from pytest_django.live_server_helper import LiveServer

from gowngroup.batches.actions import claim_kit
from gowngroup.batches.models import Call, Kit
from gowngroup.people.actions.post import letters_gone
from gowngroup.people.models import Person
from tests.browser import Chromium, Visitor, needs_chromium
from tests.factories import KitFactory

pytestmark = [pytest.mark.browser, needs_chromium, pytest.mark.django_db(transaction=True)]
SignIn = Callable[[Person], Client]
ADDRESS = "vera@example.org"
WORDS = "The third row pulls in."
KEPT = "Object.keys(sessionStorage).filter((key) => key.startsWith('draft:')).length"
SHOWN_AGAIN = """sessionStorage.setItem("signed-out-at", Date.now() + 1);
dispatchEvent(new PageTransitionEvent("pageshow", {persisted: true}))"""
FORM = "What would you like help with, or until when would you like to keep it?"
SEND = "Send it"


@pytest.fixture
def server(race_database: None) -> Iterator[LiveServer]:
    server = LiveServer("127.0.0.1")
    yield server
    server.stop()


@pytest.fixture
def path(server: LiveServer, volunteer: Person, at: datetime) -> str:
    """The page on which the volunteer asks for help with her kit."""
    Person.objects.filter(pk=volunteer.pk).update(email=ADDRESS)
    kit = claim_kit(kit=KitFactory(state=Kit.State.WAITING), by=volunteer, at=at).kit
    return reverse("batches:kit_help", args=[kit.code])


def send(page: Page) -> None:
    with page.expect_navigation():
        page.get_by_role("button", name=SEND).click()


def sign_in_again(page: Page) -> None:
    """By the code in the letter, in the tab that was sent to the sign-in page."""
    page.get_by_label("Your email address").fill(ADDRESS)
    page.get_by_role("button", name="Send me a code").click()
    page.get_by_label("The code from the letter").wait_for()
    assert letters_gone()
    found = re.search(r"\S{3}-\S{3}-\S{3}", str(mail.outbox[-1].body))
    assert found
    page.get_by_label("The code from the letter").fill(found[0])
    with page.expect_navigation():
        page.get_by_role("button", name="Sign in").click()


def test_a_lapsed_sign_in_loses_nothing(
    chromium: Chromium, server: LiveServer, path: str, volunteer: Person, sign_in: SignIn
) -> None:
    """Signed out meanwhile, she signs in by code, finds her words where she wrote them, sends them, and none stay behind."""

    def write(page: Page) -> tuple[str, str, bool, int]:
        page.get_by_label(FORM).fill(WORDS)
        page.context.clear_cookies(name="session")
        send(page)
        sign_in_again(page)
        where, words = page.url, page.get_by_label(FORM).input_value()
        is_told = page.get_by_text("has not been sent yet").is_visible()
        send(page)
        return where, words, is_told, page.evaluate(KEPT)

    found = chromium.visit(Visitor(server=server, client=sign_in(volunteer)), path, write)
    assert found == (server.url + path, WORDS, True, 0)
    assert Call.objects.get().words == WORDS


def test_a_form_that_did_not_arrive_is_still_there(
    chromium: Chromium, server: LiveServer, path: str, volunteer: Person, sign_in: SignIn
) -> None:
    """After a refused form, and after a server that does not answer, going back or opening the page anew shows the words."""

    def write(page: Page) -> list[str]:
        page.get_by_label(FORM).fill(WORDS)
        page.context.add_cookies([{"name": "csrf", "value": "x" * 32, "url": server.url}])
        send(page)
        found = [page.inner_text("h1")]
        page.go_back()
        page.reload()
        found.append(page.get_by_label(FORM).input_value())
        page.route(
            "**/help/", lambda route: route.abort() if route.request.method == "POST" else route.continue_()
        )
        with page.expect_event("requestfailed"):
            page.get_by_role("button", name=SEND).click(no_wait_after=True)
        page.unroute("**/help/")
        page.goto(server.url + path)
        found.append(page.get_by_label(FORM).input_value())
        page.get_by_role("button", name="Start afresh").click()
        return [*found, page.get_by_label(FORM).input_value(), str(page.evaluate(KEPT))]

    found = chromium.visit(Visitor(server=server, client=sign_in(volunteer)), path, write)
    assert found == ["Please send it again", WORDS, WORDS, "", "0"]


def test_nobody_else_sees_what_was_typed(
    chromium: Chromium, server: LiveServer, path: str, volunteer: Person, packer: Person, sign_in: SignIn
) -> None:
    """Who comes after a signing out and goes back sees no page that was kept; another person on the same tab finds an empty form."""
    other = sign_in(packer).cookies["session"].value

    def write(page: Page) -> list[object]:
        page.get_by_label(FORM).fill(WORDS)
        with page.expect_navigation():
            page.get_by_role("button", name="Sign out").click()
        found = [page.evaluate(KEPT)]
        page.go_back()
        page.get_by_label("Your email address").wait_for()
        with page.expect_navigation():  # asked for anew, where the browser shows the page it has kept itself
            page.evaluate(SHOWN_AGAIN)
        page.context.add_cookies([{"name": "session", "value": mine, "url": server.url}])
        page.goto(server.url + path)
        page.get_by_label(FORM).fill(WORDS)
        page.context.add_cookies([{"name": "session", "value": other, "url": server.url}])
        page.goto(server.url + path)  # where the question speaks of the volunteer by her name
        return [*found, page.locator("form[data-draft] textarea").input_value(), page.evaluate(KEPT)]

    mine = sign_in(volunteer).cookies["session"].value
    found = chromium.visit(Visitor(server=server, client=sign_in(volunteer)), path, write)
    assert found == [0, "", 0]
