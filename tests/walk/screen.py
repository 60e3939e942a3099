"""Somebody at her screen: what she opens, types and presses, and what a page must never show."""

import os
import re
from dataclasses import dataclass, field
from pathlib import Path

from django.core import mail
from playwright.sync_api import Browser, ConsoleMessage, Locator, Page

from gowngroup.people.actions.post import letters_gone
from tests.access import axe_faults
from tests.browser import DESK, PHONE
from tests.walk.beginning import address_of

SHOTS = os.environ.get("GOWNGROUP_SHOTS", "")
OVERHANG = "document.documentElement.scrollWidth - window.innerWidth"
# Letters' subjects, waiting lists, counters and what is past its day never bear this word.
HUSHED = "memorial"
# States that no page of the demo is in; tests/demo/test_access.py looks at all others in every way.
ONLY_HERE = {
    "requests-none",
    "batches-none",
    "batch-empty",
    "drop-offs-none",
    "drop-off-empty",
    "my-kits-none",
    "claimed-too-late",
    "kit-ticked",
    "home-at-the-end",
}
QUIET = {
    "home",
    "home-at-the-end",
    "packer-home",
    "driver-home",
    "kits-waiting",
    "my-kits",
    "kits-late",
    "gowns-on-shelf",
}
MAIN_BUTTONS = """() => [...new Set([...document.querySelectorAll("main .button.main")]
  .filter(button => button.checkVisibility())
  .map(button => button.firstChild.textContent.trim()))]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Watch:
    """Which kinds of pages have been looked at on the walk, and what was wrong with them."""

    looked: set[str] = field(default_factory=set)
    faults: list[str] = field(default_factory=list)


class Screen:
    """One person's window."""

    def __init__(self, browser: Browser, url: str, name: str, watch: Watch) -> None:
        self.url, self.name, self.watch = url, name, watch
        self.context = browser.new_context(viewport={"width": DESK[0], "height": DESK[1]})
        self.context.set_default_timeout(60_000)  # both cores may be busy
        self.page: Page = self.context.new_page()
        self.page.on("console", self._hear)
        self.page.on("pageerror", lambda error: self._note(f"{self.page.url}: {error}"))
        self._sign_in()

    def _hear(self, message: ConsoleMessage) -> None:
        if message.type in ("error", "warning") and "status of 409" not in message.text:
            self._note(f"{self.page.url}: {message.text}")

    def _note(self, fault: str) -> None:
        self.watch.faults.append(fault)

    def _sign_in(self) -> None:
        """By the emailed code, read from the letter that was really sent."""
        self.open("/")
        self.look("sign-in")
        self.fill("Your email address", address_of(self.name))
        self.press("Send me a code")
        self.look("sign-in-code")
        assert letters_gone()
        letter = next(each for each in reversed(mail.outbox) if address_of(self.name) in each.to)
        found = re.search(r"^ +(\w{3}-\w{3}-\w{3})$", str(letter.body), re.MULTILINE)
        assert found, letter.body
        self.fill("The code from the letter", found[1])
        self.press("Sign in")

    def open(self, path: str) -> None:
        """Open a page of the app."""
        self.page.goto(self.url + path)

    def press(self, name: str) -> None:
        """Press the first button of this name."""
        self.go(self.page.get_by_role("button", name=name).first)

    def follow(self, name: str) -> None:
        """Follow the first link of this name inside the page."""
        self.go(self.page.locator("main").get_by_role("link", name=name).first)

    def go(self, what: Locator) -> None:
        """Click what leads to another page, and be there: a click alone does not wait for the page it asks for."""
        with self.page.expect_navigation():
            what.click()

    def fill(self, label: str, text: str) -> None:
        """Type into the field of this name."""
        self.page.get_by_label(label).first.fill(text)

    def choose(self, label: str, option: str) -> None:
        """Choose from the list of this name."""
        self.page.get_by_label(label).first.select_option(label=option)

    def tick(self, label: str) -> None:
        """Tick the box, or take the choice, of this name."""
        self.page.get_by_label(label).first.check()

    def answer(self, question: str, answer: str) -> None:
        """Answer a question that has its choices below it."""
        self.part("fieldset", has_text=question).get_by_label(answer, exact=True).check()

    def text(self, part: str = "main") -> str:
        """What a part of the page says."""
        return self.page.locator(part).first.inner_text()

    def part(self, selector: str, *, has_text: str | None = None) -> Locator:
        """The parts of the page that fit a selector, and hold a text."""
        return self.page.locator(selector, has_text=has_text)

    def says(self, words: str) -> None:
        """The page says these words."""
        assert words in self.text("body"), (words, self.text("body"))

    def look(self, name: str) -> None:
        """Look at the page: axe-core on a phone where only this walk comes by (WCAG 2.2 AA), no sideways scroll, one main button."""
        if name in self.watch.looked:
            return
        self.watch.looked.add(name)
        for width, height in (PHONE, DESK):
            self.page.set_viewport_size({"width": width, "height": height})
            self._look_at_width(name, width)
        if name in QUIET and HUSHED in self.text("body").lower():
            self._note(f"{name}: says “{HUSHED}”")
        main = self.page.evaluate(MAIN_BUTTONS)
        if len(main) > 1:
            self._note(f"{name}: more than one main button: {main}")

    def _look_at_width(self, name: str, width: int) -> None:
        if width == PHONE[0] and name in ONLY_HERE:
            for fault in axe_faults(self.page):
                self._note(f"{name}, {width}: {fault}")
        if SHOTS:
            self.page.screenshot(path=Path(SHOTS, f"{name}-{width}.png"), full_page=True)
        if overhang := self.page.evaluate(OVERHANG):
            self._note(f"{name}, {width}: {overhang} pixels stick out sideways")
