"""The last part: gowns are packed for the ward, sent with a receipt, and the ward signs for what came."""

from tests.walk.papers import pdf_words
from tests.walk.screen import Screen


def pack(screen: Screen, gowns: list[str]) -> None:
    """A drop-off is filled from the shelf with what the ward asked for."""
    screen.open("/deliveries/")
    screen.look("drop-offs-none")
    screen.follow("Pack for a ward")
    screen.choose("Ward", "Newborn ward, St Alder")
    screen.choose("Driver", "Tove Marsh")
    screen.look("drop-off-start")
    screen.press("Begin to pack")
    screen.look("drop-off-empty")
    screen.press("Fill it from the shelf")
    screen.look("drop-off-filled")
    for gown in gowns:
        screen.says(gown)


def send(screen: Screen, gowns: list[str]) -> None:
    """It gets its receipt number, and the receipt lists each gown by its code in two copies."""
    screen.press("The boxes are packed")
    screen.look("drop-off-sent")
    for paper in ("Packing list", "Driver’s sheet"):
        screen.follow(paper)
        screen.look(f"drop-off {paper}")
        screen.page.go_back()
    screen.follow("Print the receipt")
    screen.look("receipt")
    words = pdf_words(screen, "Receipt as a PDF", "receipt")
    for part in (*gowns, "Newborn ward", "In all: two", "Received by"):
        assert part in words, (part, words)


def sign(screen: Screen) -> None:
    """The driver brings back what the ward signed: one gown fewer came than was written."""
    screen.open("/")
    screen.look("driver-home")
    screen.open("/deliveries/")
    screen.look("driver-drop-offs")
    screen.follow("Newborn ward, St Alder")
    screen.follow("The ward has signed")
    screen.fill("Name of who signed", "M. WREN, ward sister")
    screen.fill("how many came", "1")
    screen.look("signing")
    screen.press("Save what was signed")
    screen.says("2 written, 1 came")
    screen.look("drop-off-signed")


def look_back(screen: Screen) -> None:
    """At the end the coordinator's first page tells the month."""
    screen.open("/")
    screen.look("home-at-the-end")
    screen.open("/batches/kits/late/")
    screen.look("kits-late")
