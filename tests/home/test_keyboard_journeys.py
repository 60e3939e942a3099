"""The main task of each role from the first page to its end, by Tab, Space and Enter alone (WCAG 2.2, 2.1.1, 2.4.7)."""

from collections.abc import Callable
from datetime import datetime

import pytest
from django.test import Client
from django.utils import timezone
from playwright.sync_api import Page
from pytest_django.live_server_helper import LiveServer

from gowngroup.batches.actions import claim_kit
from gowngroup.batches.models import Claim, Finish, Kit, Lay, Reservation
from gowngroup.deliveries.models import DropOffGown, ReceiptFile
from gowngroup.gowns.models import Gown, GownCheck
from gowngroup.people.models import Person
from gowngroup.stock.actions import receive_lot, reserve_amount
from gowngroup.stock.models import Lot
from tests.browser import Chromium, Visitor, needs_chromium
from tests.factories import KitFactory, LayFactory, MaterialFactory
from tests.home.months import drop_off_for, gown_in

pytestmark = [
    pytest.mark.browser,
    needs_chromium,
    pytest.mark.django_db(transaction=True),
]
MOST_STOPS = 60
# The words of what has the focus, what kind it is, and whether anybody could see that it has the focus.
STOP = """() => { const here = document.activeElement, style = getComputedStyle(here), box = here.getBoundingClientRect();
  return {
    words: [here.closest("label")?.textContent ?? here.labels?.[0]?.textContent ?? here.textContent, here.value ?? ""].join(" ").trim(),
    kind: here.type ?? "",
    isSeen: style.outlineStyle !== "none" && parseFloat(style.outlineWidth) > 0 && box.width > 0
      && box.bottom > 0 && box.top < innerHeight,
  }; }"""


class Keys:
    """Somebody without a mouse: counts her stops, and keeps those at which nothing showed where she was."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.unseen: list[str] = []
        self.stop_count = 0

    def to(self, words: str, *, ticks: bool = False) -> None:
        """Tab on until what has the focus bears these words, ticking every box on the way where asked to."""
        for _stop in range(MOST_STOPS):
            self.page.keyboard.press("Tab")
            self.stop_count += 1
            stop = self.page.evaluate(STOP)
            if not stop["isSeen"]:
                self.unseen.append(stop["words"])
            if words in stop["words"]:
                return
            if ticks and stop["kind"] in ("checkbox", "radio"):
                self.page.keyboard.press("Space")
        pytest.fail(f"no stop bears the words {words}")

    def enter(self, words: str, *, ticks: bool = False) -> None:
        """Tab on to these words and press Enter."""
        self.to(words, ticks=ticks)
        with self.page.expect_navigation():
            self.page.keyboard.press("Enter")


Walk = Callable[[Person, Callable[[Keys], None]], int]


@pytest.fixture
def walk(chromium: Chromium, live_server: LiveServer, sign_in: Callable[[Person], Client]) -> Walk:
    """Let a person walk from her first page; gives back how many stops she made, each of them seen."""

    def run(person: Person, steps: Callable[[Keys], None]) -> int:
        def look(page: Page) -> Keys:
            keys = Keys(page)
            steps(keys)
            return keys

        keys = chromium.visit(Visitor(server=live_server, client=sign_in(person)), "/", look)
        assert keys.unseen == []
        return keys.stop_count

    return run


def test_a_kit_goes_out_and_comes_back(
    walk: Walk, packer: Person, volunteer: Person, colleague: Person, at: datetime
) -> None:
    """The packer hands out the kit that is kept; she who sews says of hers that it is finished."""
    kept = KitFactory(state=Kit.State.WAITING, kept_for=colleague)
    claim_kit(kit=KitFactory(state=Kit.State.WAITING), by=volunteer, at=at)

    def hand_out(keys: Keys) -> None:
        keys.page.goto(f"{keys.page.url}batches/kits/hand-out/")
        keys.page.keyboard.type(kept.code)  # the field has the focus
        keys.page.keyboard.press("Shift+Tab")
        keys.page.keyboard.type(colleague.name)
        keys.page.keyboard.press("Tab")
        keys.page.keyboard.press("Enter")
        keys.page.locator("#said li").first.wait_for()

    def finish(keys: Keys) -> None:
        keys.enter("Open the kit")
        keys.enter("I have finished")
        keys.enter("I have finished", ticks=True)

    assert walk(packer, hand_out) < MOST_STOPS
    assert walk(volunteer, finish) < MOST_STOPS
    assert Claim.objects.get(kit=kept).person == colleague
    assert Finish.objects.get().are_needles_counted


def test_a_gown_is_checked(walk: Walk, inspector: Person) -> None:
    """The inspector ticks her way through a first check, and it is noted as passed."""
    gown = gown_in("back")

    def check(keys: Keys) -> None:
        keys.enter("Check")
        keys.enter("Check")
        keys.enter("Note this check", ticks=True)

    assert walk(inspector, check) < MOST_STOPS
    assert GownCheck.objects.get().outcome == GownCheck.Outcome.PASS
    gown.refresh_from_db()
    assert gown.state == Gown.State.TO_WASH


def test_a_lay_is_marked_as_cut_and_a_receipt_put_on_file(
    walk: Walk, packer: Person, coordinator: Person, at: datetime
) -> None:
    """The packer marks a lay as cut; the coordinator puts a signed receipt on file."""
    lay = _lay_to_cut(packer, at)
    signed = drop_off_for(
        None,
        state="received",
        receipt_number="2026-0001",
        planned_on=timezone.localdate(),
        left_at=timezone.now(),
        received_at=timezone.now(),
        signed_name="A. Nurse",
    )
    DropOffGown.objects.create(drop_off=signed, gown=gown_in("left"))

    def cut(keys: Keys) -> None:
        keys.enter("Cut")
        keys.to("Length really cut off")
        keys.page.keyboard.type("181.5")
        keys.enter("It is cut")

    def file_it(keys: Keys) -> None:
        keys.enter("Put on file")
        keys.to("Put the signed receipt on file")
        with keys.page.expect_response(lambda answer: answer.request.method == "POST"):
            keys.page.keyboard.press("Enter")

    assert walk(packer, cut) < MOST_STOPS
    assert walk(coordinator, file_it) < MOST_STOPS
    lay.refresh_from_db()
    assert lay.cut_length_um == 1_815_000
    assert ReceiptFile.objects.get().drop_off == signed


def _lay_to_cut(by: Person, at: datetime) -> Lay:
    lot = receive_lot(
        material=MaterialFactory(),
        amount=3_000_000,
        width_um=1_120_000,
        state=Lot.State.MEASURED,
        by=by,
        at=at,
    )
    lay = LayFactory(lot=lot, length_um=1_800_000)
    reserve_amount(lot=lot, amount=lay.length_um, reference="plan", by=by, at=at)
    Reservation.objects.create(
        plan=lay.plan, lot=lot, lay=lay, amount=lay.length_um, open_amount=lay.length_um
    )
    KitFactory(lay=lay)
    return lay
