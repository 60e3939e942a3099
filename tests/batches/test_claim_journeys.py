"""In a real browser: how few taps it takes, that a scan loses nothing, and that pages stay usable when narrow."""

import re
from collections.abc import Callable, Iterator
from datetime import datetime

import pytest
from django.core import mail
from django.test import Client
from playwright.sync_api import Page
from pytest_django.fixtures import Settings
from pytest_django.live_server_helper import LiveServer

from gowngroup.batches.actions import WishDetails, ask_to_be_told, claim_kit, tell_those_waiting
from gowngroup.batches.models import Claim, Finish, Kit
from gowngroup.people.models import Person
from tests.access import axe_faults
from tests.browser import Chromium, Visitor, needs_chromium
from tests.factories import KitFactory
from tests.printing.conftest import MAKE_KIT, make_kit, revision  # noqa: F401 - fixtures

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
STITCH_WIDTH = """() => { const lines = document.querySelector(".chart-pleat"), box = lines.getBoundingClientRect();
  return box.width / (lines.getAttribute("d").split("M").length - 2) }"""
PUSHED = "document.querySelector('.chart-scroller').scrollLeft"
START_IN_SIGHT = """() => { const at = document.querySelector("#start").getBoundingClientRect();
  return at.left > 0 && at.right < innerWidth }"""
OVERHANG = "document.documentElement.scrollWidth - window.innerWidth"


@pytest.fixture
def server(race_database: None, settings: Settings) -> Iterator[LiveServer]:
    server = LiveServer("127.0.0.1")
    settings.SITE_ADDRESS = server.url
    yield server
    server.stop()


class Taps:
    """Counts what a hand does on a page: each touch of the screen and each Enter, told by the browser, not by the test."""

    SEEN = """(() => { for (const kind of ["pointerdown", "keydown"]) addEventListener(kind, (event) =>
      event.isTrusted && (kind === "pointerdown" || event.key === "Enter") && window.tapped(), true) })()"""

    def __init__(self, page: Page) -> None:
        self.count = 0
        page.expose_function("tapped", self._tapped)
        page.add_init_script(self.SEEN)
        page.evaluate(self.SEEN)

    def _tapped(self) -> None:
        self.count += 1


def link_in_the_letter(server: LiveServer, kit: Kit) -> str:
    """Where the link in the newest letter leads, as it stands there."""
    text = str(mail.outbox[-1].body)
    found = re.search(rf"{re.escape(server.url)}(\S+{kit.code}\S+)", text)
    assert found, text
    return found[1]


def faults_of(page: Page) -> list[object]:
    """What is wrong with a page: axe-core's findings, small targets or text, things sticking out at 320 pixels."""
    page.set_viewport_size({"width": 320, "height": 800})
    return [
        *axe_faults(page),
        *page.evaluate(SMALL_TARGETS),
        *page.evaluate(SMALL_TEXT),
        *([page.url] if page.evaluate(OVERHANG) else []),
    ]


def test_two_taps_from_the_letter(
    chromium: Chromium, server: LiveServer, volunteer: Person, sign_in: SignIn, at: datetime
) -> None:
    """The link in the letter that was really sent and one button, and the kit is hers."""
    Person.objects.filter(pk=volunteer.pk).update(email="vera@example.org")
    kit = KitFactory(state=Kit.State.WAITING)
    sewer = Person.objects.get(pk=volunteer.pk)
    ask_to_be_told(details=WishDetails(), person=sewer, by=sewer, at=at)
    tell_those_waiting(at=at)

    def take(page: Page) -> tuple[str, int]:
        taps = Taps(page)
        with page.expect_navigation():
            page.get_by_role("button", name="I'll sew this").tap()
        return page.inner_text("body"), taps.count

    visitor = Visitor(server=server, client=sign_in(volunteer), size=PHONE, has_touch=True)
    said, tap_count = chromium.visit(visitor, link_in_the_letter(server, kit), take)
    assert "The kit is yours" in said
    assert 1 + tap_count == 2  # the first one in the letter
    assert Claim.objects.get().person == volunteer


def test_three_taps_and_it_is_finished(
    chromium: Chromium, server: LiveServer, volunteer: Person, sign_in: SignIn, at: datetime
) -> None:
    """From her kits: I have finished, needles counted, send; each page is as accessible as it should be."""
    claim_kit(kit=KitFactory(state=Kit.State.WAITING), by=volunteer, at=at)
    KitFactory.create_batch(2, state=Kit.State.WAITING, can_be_posted=True, place="Library")

    def finish(page: Page) -> tuple[list[object], int]:
        taps = Taps(page)
        faults = faults_of(page)
        with page.expect_navigation():
            page.get_by_role("link", name="I have finished").tap()
        faults += faults_of(page)
        page.get_by_text("Yes, I have counted them").tap()
        with page.expect_navigation():
            page.get_by_role("button", name="I have finished").tap()
        tap_count = taps.count
        page.goto(f"{server.url}/batches/waiting/")
        page.get_by_text("Show me only some of them").click()
        return faults + faults_of(page), tap_count

    visitor = Visitor(server=server, client=sign_in(volunteer), size=PHONE, has_touch=True)
    assert chromium.visit(visitor, "/batches/my-kits/", finish) == ([], 3)
    assert Finish.objects.get().are_needles_counted


def test_scanning_on_loses_nothing(
    chromium: Chromium, server: LiveServer, volunteer: Person, packer: Person, sign_in: SignIn
) -> None:
    """One scan hands a kit out; two scans in a row without waiting hand out two, and the field keeps the focus."""
    first, second = KitFactory.create_batch(2, state=Kit.State.WAITING)

    def scan(page: Page) -> tuple[list[object], str, int]:
        taps = Taps(page)
        for kit in (first, second):
            page.keyboard.type(kit.code)
            page.keyboard.press("Enter")
        page.locator("#said li").nth(1).wait_for()
        page.keyboard.type("typed on")
        return faults_of(page), page.input_value("[name=code]"), taps.count

    visitor = Visitor(server=server, client=sign_in(packer))
    found = chromium.visit(visitor, f"/batches/kits/hand-out/?person={volunteer.pk}", scan)
    assert found == ([], "typed on", 2)  # one for each kit
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


def test_smocking_row_by_row_on_a_phone(
    chromium: Chromium,
    server: LiveServer,
    make_kit: MAKE_KIT,  # noqa: F811
    volunteer: Person,
    sign_in: SignIn,
    at: datetime,
) -> None:
    """Rows come without a reload, the address keeps the row, a stitch is 24 pixels wide, and keys push the drawing."""
    kit = claim_kit(kit=make_kit(state=Kit.State.WAITING), by=volunteer, at=at).kit
    chart = f"/batches/kits/{kit.code}/chart/"

    def follow(page: Page) -> dict[str, object]:
        faults = faults_of(page)
        page.set_viewport_size({"width": 390, "height": 800})
        page.get_by_role("link", name="Start with row 1").click()
        page.wait_for_url(f"**{chart}1/")
        page.get_by_role("heading", name="Row 1 of 3").wait_for()
        page.evaluate("window.isTheSame = true")
        found: dict[str, object] = {"stitch": page.evaluate(STITCH_WIDTH)}
        page.get_by_role("button", name="I've finished row 1").click()
        page.wait_for_url(f"**{chart}2/")
        _wait_until_told(page, "Row 2 of 3")
        page.locator("#row-after").focus()
        page.keyboard.press("Enter")
        page.wait_for_url(f"**{chart}3/")
        _wait_until_told(page, "Row 3 of 3")
        found |= {
            "reloaded": not page.evaluate("window.isTheSame === true"),
            "focus": page.evaluate("document.activeElement.id"),
            "told": page.inner_text("[data-row-said]").split(":")[0],
            "title": page.title().split(",")[0],
            "start": page.evaluate(START_IN_SIGHT),
        }
        page.get_by_role("region", name="Drawing").focus()
        before = page.evaluate(PUSHED)
        page.keyboard.press("ArrowRight")
        for _ in range(50):  # asked from outside: the page's own policy forbids a waiting script
            if float(page.evaluate(PUSHED)) > float(before):
                break
            page.wait_for_timeout(100)
        else:
            faults = [*faults, "keys do not push the drawing"]
        page.go_back()
        page.get_by_role("heading", name="Row 2 of 3").wait_for()
        return found | {"faults": faults + faults_of(page)}

    visitor = Visitor(server=server, client=sign_in(volunteer), size=PHONE)
    found = chromium.visit(visitor, chart, follow)
    assert float(str(found.pop("stitch"))) >= 24
    assert found == {
        "reloaded": False,
        "focus": "row-after",
        "told": "Row 3 of 3",
        "title": "Row 3",
        "start": True,
        "faults": [],
    }


def _wait_until_told(page: Page, row: str) -> None:
    """Until the row stands there ready to be used, which a screen reader is then told."""
    page.locator("[data-row-said]", has_text=row).wait_for(state="attached")
