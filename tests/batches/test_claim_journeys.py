"""In a real browser: how few taps it takes, that a scan loses nothing, and that pages stay usable when narrow."""

from collections.abc import Callable, Iterator
from datetime import datetime

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.test import Client
from playwright.sync_api import Page
from pytest_django.fixtures import Settings
from pytest_django.live_server_helper import LiveServer

from gowngroup.batches.actions import claim_kit
from gowngroup.batches.models import Claim, Finish, Kit
from gowngroup.people.models import Person
from tests.browser import Chromium, Visitor, chromium_thread, needs_chromium
from tests.factories import KitFactory

pytestmark = [
    pytest.mark.browser,
    needs_chromium,
    pytest.mark.django_db(transaction=True),
]
SignIn = Callable[[Person], Client]
PHONE = (390, 800)
SMALL_TARGETS = """() => [...document.querySelectorAll("main :is(.button, button, input:not([type=hidden]), select)")]
  .filter(each => each.checkVisibility() && !each.closest(".check, .choices") && each.getBoundingClientRect().height < 44)
  .map(each => each.outerHTML)"""
SMALL_TEXT = """() => [...document.querySelectorAll("main :is(p, dd, dt, li, label, a, button)")]
  .filter(each => each.checkVisibility() && parseFloat(getComputedStyle(each).fontSize) < 17.0).map(each => each.outerHTML)"""
OVERHANG = "document.documentElement.scrollWidth - window.innerWidth"


@pytest.fixture(scope="module")
def chromium() -> Iterator[Chromium]:
    with chromium_thread() as chromium:
        yield chromium


@pytest.fixture
def server(race_database: None, settings: Settings) -> Iterator[LiveServer]:
    server = LiveServer("127.0.0.1")
    settings.SITE_ADDRESS = server.url
    yield server
    server.stop()


def faults_of(page: Page) -> list[object]:
    """What is wrong with a page: axe-core's findings, small targets or text, things sticking out at 320 pixels."""
    found: list[object] = []
    for width in (390, 1280):
        page.set_viewport_size({"width": width, "height": 800})
        result = Axe().run(page, options={"resultTypes": ["violations"]})
        found += [result.generate_report()] if result.violations_count else []
    page.set_viewport_size({"width": 320, "height": 800})
    return [
        *found,
        *page.evaluate(SMALL_TARGETS),
        *page.evaluate(SMALL_TEXT),
        *([page.url] if page.evaluate(OVERHANG) else []),
    ]


def test_two_taps_from_the_letter(
    chromium: Chromium, server: LiveServer, volunteer: Person, sign_in: SignIn
) -> None:
    """The link in the letter and one button, and the kit is hers; without any script."""
    kit = KitFactory(state=Kit.State.WAITING)

    def take(page: Page) -> str:
        with page.expect_navigation():
            page.get_by_role("button", name="I'll sew this").click()
        return page.inner_text("body")

    link = f"/batches/kits/{kit.code}/"  # the first tap, in the letter
    visitor = Visitor(server=server, client=sign_in(volunteer), size=PHONE, has_script=False)
    assert "The kit is yours" in chromium.visit(visitor, link, take)
    assert Claim.objects.get().person == volunteer


def test_three_taps_and_it_is_finished(
    chromium: Chromium, server: LiveServer, volunteer: Person, sign_in: SignIn, at: datetime
) -> None:
    """From her kits: I have finished, needles counted, send; each page is as accessible as it should be."""
    claim_kit(kit=KitFactory(state=Kit.State.WAITING), by=volunteer, at=at)
    KitFactory(state=Kit.State.WAITING, can_be_posted=True, place="Library")

    def finish(page: Page) -> list[object]:
        faults = faults_of(page)
        page.get_by_role("link", name="I have finished").click()
        faults += faults_of(page)
        page.get_by_label("Yes, I have counted them").check()
        with page.expect_navigation():
            page.get_by_role("button", name="I have finished").click()
        page.goto(f"{server.url}/batches/waiting/")
        return faults + faults_of(page)

    visitor = Visitor(server=server, client=sign_in(volunteer), size=PHONE)
    assert chromium.visit(visitor, "/batches/my-kits/", finish) == []
    assert Finish.objects.get().are_needles_counted


def test_scanning_on_loses_nothing(
    chromium: Chromium, server: LiveServer, volunteer: Person, packer: Person, sign_in: SignIn
) -> None:
    """One scan hands a kit out; two scans in a row without waiting hand out two, and the field keeps the focus."""
    first, second = KitFactory.create_batch(2, state=Kit.State.WAITING)

    def scan(page: Page) -> tuple[list[object], str]:
        for kit in (first, second):
            page.keyboard.type(kit.code)
            page.keyboard.press("Enter")
        page.locator("#said li").nth(1).wait_for()
        page.keyboard.type("typed on")
        return faults_of(page), page.input_value("[name=code]")

    visitor = Visitor(server=server, client=sign_in(packer))
    faults, typed = chromium.visit(visitor, f"/batches/kits/hand-out/?person={volunteer.pk}", scan)
    assert (faults, typed) == ([], "typed on")
    assert Claim.objects.filter(person=volunteer).count() == 2


def test_the_table_works_by_reloading_too(
    chromium: Chromium,
    server: LiveServer,
    volunteer: Person,
    inspector: Person,
    sign_in: SignIn,
    at: datetime,
) -> None:
    """Without script the page comes back with its big word and the focus in the field."""
    kit = claim_kit(kit=KitFactory(state=Kit.State.WAITING), by=volunteer, at=at).kit

    def scan(page: Page) -> str:
        page.get_by_label("I count the needles").check()
        page.locator("[name=code]").focus()
        page.keyboard.type(kit.code)
        with page.expect_navigation():
            page.keyboard.press("Enter")
        return page.inner_text("#said")

    visitor = Visitor(server=server, client=sign_in(inspector), has_script=False)
    assert "Done" in chromium.visit(visitor, "/gowns/back/table/", scan)
    kit.refresh_from_db()
    assert kit.state == Kit.State.RETURNED
