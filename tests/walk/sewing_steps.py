"""The volunteers' part: two want the same kit, one gets it, gives it back, takes it again and opens its sheet."""

import re

from playwright.sync_api import Response

from tests.walk.papers import code_on_page, pdf_words
from tests.walk.screen import Screen

CARD = "article.card"
PRESS_SOON = """([title, at]) => setTimeout(() => [...document.querySelectorAll("article.card")]
  .find(card => card.textContent.includes(title)).querySelector("button").click(), at - Date.now())"""
HALF_A_SECOND_MS = 500


def claim_at_once(ada: Screen, bea: Screen) -> tuple[Screen, Screen, str]:
    """Both have the page open and press at the same moment; gives who has it, who was late, and the code."""
    for screen in (ada, bea):
        screen.open("/batches/waiting/")
    bea.look("kits-waiting")
    card = bea.page.locator(CARD, has_text="2 gowns").first
    kit = re.search(r"Kit (\w{3}.\w{3})", card.inner_text())
    assert kit
    ada_came, bea_came = press_at_once(ada, bea, f"Kit {kit[1]}")
    assert {ada_came.status, bea_came.status} == {200, 409}
    first, late = (ada, bea) if ada_came.status == 200 else (bea, ada)
    return first, late, kit[1]


def press_at_once(ada: Screen, bea: Screen, title: str) -> tuple[Response, Response]:
    """Press the button of the same card on both pages by the same clock."""
    at = ada.page.evaluate("Date.now()") + HALF_A_SECOND_MS
    with ada.page.expect_navigation() as ada_goes, bea.page.expect_navigation() as bea_goes:
        for screen in (ada, bea):
            screen.page.evaluate(PRESS_SOON, [title, at])
    return ada_goes.value, bea_goes.value


def read_refusal(late: Screen) -> None:
    """Who was late reads a kind sentence and finds the way back."""
    late.look("claimed-too-late")
    late.says("Nothing has been changed.")
    late.follow("See the kits waiting")
    assert late.page.url.endswith("/waiting/")


def give_back_and_claim_again(screen: Screen, code: str) -> None:
    """She gives the kit back without a reason, and takes it again."""
    screen.look("my-kits")
    screen.follow("Give it back")
    screen.look("give-back")
    screen.press("Yes, I give it back")
    screen.says("The kit is waiting for somebody else now")
    screen.look("my-kits-none")
    screen.open("/batches/waiting/")
    screen.go(screen.page.locator(CARD, has_text=code).get_by_role("button"))
    screen.says("The kit is yours")


def open_sheet(screen: Screen, code: str) -> None:
    """The kit sheet as a page and as a PDF; its code leads to the kit's own page."""
    screen.follow("Open the kit sheet")
    screen.look("kit-sheet")
    words = pdf_words(screen, "Kit sheet as a PDF", "kit-sheet")
    for part in (code, "01234 567890", "Order of work", "Please mind", "2 gowns"):
        assert part in words, (part, words)
    address = code_on_page(screen, "svg.qr")
    assert address.startswith(screen.url)
    screen.page.goto(address)
    screen.look("kit-page")
    screen.says(code)


def look_without_having_agreed(screen: Screen) -> None:
    """Kits for babies who die are shown only to those who said yes to them, and gently."""
    screen.open("/batches/waiting/")
    assert "babies who die" not in screen.text()
