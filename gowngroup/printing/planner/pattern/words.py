"""Words set inside drawings, where no browser and no PDF engine breaks lines: how wide they run, and in lines."""

import re
import unicodedata

POINT_MM = 25.4 / 72
USUAL_MM, LARGE_MM = 11.05 * POINT_MM, 14.05 * POINT_MM
LINE_SHARE = 1.2

# Widths in shares of the type size, at or above those of Source Sans Pro Semibold, measured in its file.
_NARROW, _DIGIT, _LOWER, _UPPER, _WIDE = 0.37, 0.52, 0.57, 0.68, 0.95
_WIDE_LETTERS = frozenset("mwMWÆŒæœ@%½¼¾⅛⅜⅝⅞…—&")
_NARROW_LETTERS = frozenset(" \u00a0ijltfrI.,:;'|!()[]{}-/\\")
_DIGIT_LETTERS = frozenset("0123456789+<=>^_~#$")


SPACES = re.compile("[ \t\r\n\f\v]+")


def text_width_mm(text: str, type_mm: float) -> float:
    """How wide a line runs at most, in mm."""
    return type_mm * sum(_share(character) for character in text)


def _share(character: str) -> float:
    if character in _WIDE_LETTERS:
        return _WIDE
    if character in _NARROW_LETTERS:
        return _NARROW
    if character in _DIGIT_LETTERS:
        return _DIGIT
    return _unusual_share(character)


def _unusual_share(character: str) -> float:
    name = unicodedata.name(character, "")
    if unicodedata.combining(character):
        return 0.0
    if not name.startswith("LATIN"):
        return _WIDE if name.startswith(("CYRILLIC", "GREEK")) or character.isascii() else 1.05
    return _UPPER if character.isupper() else _LOWER


def wrapped(text: str, width_mm: float, type_mm: float) -> tuple[str, ...]:
    """The text in lines no wider than this; a word that is wider by itself is broken, a hard space never."""
    lines: list[str] = []
    for word in SPACES.split(text.strip()):
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and text_width_mm(longer, type_mm) <= width_mm:
            lines[-1] = longer
        else:
            lines.extend(_broken(word, width_mm, type_mm))
    return tuple(lines)


def _broken(word: str, width_mm: float, type_mm: float) -> list[str]:
    parts = [""]
    for character in word:
        if parts[-1] and text_width_mm(parts[-1] + character, type_mm) > width_mm:
            parts.append("")
        parts[-1] += character
    return parts
