"""The inspector's part: gowns come back, are checked, mended, washed, checked again, boxed and labelled."""

import re

from tests.walk.papers import pdf_words
from tests.walk.screen import Screen


def take_back(screen: Screen, kit: str, *, remarks: str) -> str:
    """One of the kit's gowns comes back; gives the gown's own code."""
    screen.open("/gowns/back/")
    screen.look("take-back")
    screen.fill("Kit code", kit)
    screen.press("Find the kit")
    screen.fill("Gowns that came back", "1")
    screen.answer("needles", "Yes")
    screen.fill("Hours spent", "6.5")
    screen.fill("What she said about it", remarks)
    screen.look("take-back-gowns")
    screen.press("They are back")
    screen.look("came-back")
    return screen.part(".task-list .code").first.inner_text()


def check(screen: Screen, gown: str, *, outcome: str, reason: str = "", place: str = "") -> None:
    """A check of a gown: all in order, or to be mended."""
    _open_gown(screen, gown)
    screen.go(screen.page.get_by_role("link", name=re.compile("^Check it")))
    for box in screen.page.get_by_role("checkbox").all():
        box.check()
    screen.answer("Magnet", "Yes")
    screen.tick(outcome)
    if reason:
        screen.fill("Why, if it does not pass", reason)
    if place:
        screen.fill("Box or shelf", place)
    screen.look(f"check-{outcome}-{place}")
    screen.press("Note this check")
    screen.says(f"{gown}: {'to be mended' if outcome == 'Mend' else 'passed'}")


def mend(screen: Screen, gown: str, reason: str) -> None:
    """A gown sent to mending stands there with its reason, until it is mended."""
    screen.open("/gowns/mending/")
    screen.look("mending")
    screen.says(reason)
    screen.press("It is mended")
    screen.says(f"{gown} is mended and waits for its first check")


def wash(screen: Screen, gowns: list[str]) -> None:
    """The gowns that passed are washed together, dried and steamed."""
    screen.open("/gowns/wash/")
    for gown in gowns:
        screen.tick(gown)
    screen.tick("They are bone dry")
    screen.tick("They were steamed")
    screen.look("wash")
    screen.go(screen.part("main form button").last)
    screen.look("second-checks")


def see_shelf(screen: Screen, gown: str) -> None:
    """The shelf counts what has passed, and each gown tells its story."""
    screen.open("/gowns/shelf/")
    screen.look("gowns-on-shelf")
    _open_gown(screen, gown)
    screen.look("gown")
    screen.says("Box 3")
    screen.says("mend")


def print_labels(screen: Screen, gowns: list[str]) -> None:
    """The label sheet carries one label for each gown, with its size, its wash and its code."""
    screen.open("/print/labels/")
    for gown in gowns:
        screen.tick(gown)
    screen.look("labels-choose")
    screen.press("Show the labels")
    screen.look("labels")
    words = pdf_words(screen, "Labels as a PDF", "labels")
    for part in (*gowns, "46 cm", "wash at 71 °C"):
        assert part in words, (part, words)


def _open_gown(screen: Screen, gown: str) -> None:
    screen.open(f"/gowns/gown/{re.sub(r'[^A-Z0-9]', '', gown)}/")
