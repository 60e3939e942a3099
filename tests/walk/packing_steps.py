"""The packer's part: the cloth is cut as it really lies, each kit filled by its list, and offered."""

import re

from tests.walk.screen import Screen

KIT_ROWS = "tbody tr"


def cut(screen: Screen) -> None:
    """Cut each lay a centimetre longer than planned, as happens."""
    screen.open("/")
    screen.look("packer-home")
    screen.open("/batches/kits/lays/")
    screen.look("lays")
    while screen.part("tbody a").count():
        screen.go(screen.part("tbody a").first)
        screen.look("lay")
        screen.follow("Cutting sheet")
        screen.look("cutting sheet")
        screen.page.go_back()
        planned = re.search(r"Length to measure off\s+([\d.]+)\s+cm", screen.text())
        assert planned, screen.text()
        screen.fill("Length really cut off", f"{float(planned[1]) + 1:g}")
        screen.press("It is cut")
        screen.says("The cloth has been booked off")
        screen.look("kits-to-pack")
        screen.open("/batches/kits/lays/")
    screen.says("Everything that is planned has been cut")


def pack(screen: Screen) -> None:
    """Tick each line of each kit and close it, then offer them all."""
    screen.open("/batches/kits/packing/")
    is_first = True
    while screen.part(KIT_ROWS).count():
        screen.go(screen.part(f"{KIT_ROWS} a").first)
        if is_first:
            screen.look("kit-packing")
        ticks = screen.page.get_by_role("button", name=re.compile("^Tick"))
        while ticks.count():
            screen.go(ticks.first)
        if is_first:
            screen.look("kit-ticked")
        screen.press("The kit is packed")
        is_first = False
    screen.look("kits-packed")
    screen.press("Offer all packed kits")
    screen.says("Every packed kit is now waiting")


def look_at_stock(screen: Screen) -> None:
    """The shelf says what is left of the cloth."""
    screen.open("/stock/")
    screen.look("shelf-of-cloth")
    screen.go(screen.part("tr", has_text="White batiste").get_by_role("link").first)
    screen.look("lot")
