"""Whether a shade is one a ward does not want to see."""

import pytest

from gowngroup.planning.shades import avoided_word


@pytest.mark.parametrize(
    ("shade", "found"),
    [("pale Yellow", "yellow"), ("yellowish", "yellow"), ("dark red", "Red"), ("white", None), ("", None)],
)
def test_a_shade_is_avoided_by_a_word_in_its_name(shade: str, found: str | None) -> None:
    """A word anywhere in the name counts, large or small letters alike."""
    assert avoided_word(shade, ("yellow", "Red")) == found


def test_without_words_no_shade_is_avoided() -> None:
    """A ward that names no shade takes them all."""
    assert avoided_word("yellow", ()) is None
