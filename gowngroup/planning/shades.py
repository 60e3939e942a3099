"""Shades wards do not want to see, told by words in the name of a shade."""

from collections.abc import Iterable


def avoided_word(shade: str, words: Iterable[str]) -> str | None:
    """The first of these words that stands in the name of a shade, large or small letters alike; None where none does.

    A part of a word counts, so that `yellow` finds `yellowish` too. That wards avoid yellow, as it makes jaundice hard
    to see, is common practice, no source.
    """
    name = shade.casefold()
    return next((word for word in words if word.casefold() in name), None)
