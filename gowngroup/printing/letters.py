"""Which letters our typefaces have: what is in none of them prints as an empty box, and that is told before."""

import unicodedata
from functools import cache
from pathlib import Path

import font_source_sans_pro
import fontpkg_rubik
from django.utils.translation import gettext as _
from fontTools.ttLib import TTFont

FACES = (
    Path(font_source_sans_pro.__file__).parent / "files" / "SourceSansPro-Regular.ttf",
    fontpkg_rubik.ROOT / "files" / "Rubik[wght].ttf",
)
# What is never drawn (breaks, joiners, marks of direction, variations), by its Unicode category.
UNDRAWN = ("Cc", "Cf", "Zl", "Zp", "Zs")
MOST_NAMED = 3


@cache
def our_letters() -> frozenset[str]:
    """Every character that one of the typefaces of pages and PDFs has a picture of."""
    return frozenset(chr(code) for face in FACES for code in _codes(face))


@cache
def letter_widths() -> dict[str, float]:
    """Widths of the letters of our first face, in shares of the size of its type, as its file tells them."""
    with TTFont(FACES[0], lazy=True) as font:
        widths, per_size = font["hmtx"].metrics, font["head"].unitsPerEm
        return {chr(code): widths[name][0] / per_size for code, name in font.getBestCmap().items()}


def _codes(face: Path) -> tuple[int, ...]:
    with TTFont(face, lazy=True) as font:
        return tuple(font.getBestCmap())


def missing_letters(text: str) -> tuple[str, ...]:
    """The characters of a text that none of our typefaces has, each once, in the order they come."""
    strange = dict.fromkeys(unicodedata.normalize("NFC", text))
    return tuple(
        letter
        for letter in strange
        if letter not in our_letters()
        and unicodedata.category(letter) not in UNDRAWN
        and not "\ufe00" <= letter <= "\ufe0f"
    )


def missing_sentence(text: str) -> str:
    """What to do about letters that would print as empty boxes; empty where there are none."""
    missing = missing_letters(text)
    if not missing:
        return ""
    named = [unicodedata.name(letter, f"U+{ord(letter):04X}").lower() for letter in missing[:MOST_NAMED]]
    more = ", …" if len(missing) > MOST_NAMED else ""
    return _(
        "Some characters here are in none of our typefaces and may print as empty boxes: %(names)s. Please write these words with other letters, for example as they sound, and print again."
    ) % {"names": ", ".join(named) + more}
