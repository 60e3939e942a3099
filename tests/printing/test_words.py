"""Counts in words and sizes as lengths."""

import pytest

from gowngroup.printing.words import in_words, size_as_length, usual_steps
from gowngroup.records.reader import Reader, reading_as


@pytest.mark.parametrize(
    ("number", "text"),
    [
        (0, "zero"),
        (12, "twelve"),
        (20, "twenty"),
        (33, "thirty-three"),
        (100, "one hundred"),
        (112, "one hundred and twelve"),
        (1000, "one thousand"),
        (1005, "one thousand and five"),
        (2345, "two thousand three hundred and forty-five"),
        (999_999, "nine hundred and ninety-nine thousand nine hundred and ninety-nine"),
    ],
)
def test_count_in_words(number: int, text: str) -> None:
    """A count is written out as it is said in English."""
    assert in_words(number) == text


@pytest.mark.parametrize(("unit", "text"), [("cm", "up to 44 cm"), ("in", "up to 17 1/2 in")])
def test_size_as_length(unit: str, text: str) -> None:
    """A size is told as a length in whole centimetres or half inches, and never as a weight."""
    with reading_as(Reader(length_unit=unit)):
        assert size_as_length(442_000).endswith(text)


@pytest.mark.parametrize(("kind", "is_smocked"), [("round-neck", True), ("yoke", True), ("wrap", False)])
def test_usual_steps_suit_the_kind(kind: str, is_smocked: bool) -> None:
    """A design without an order of work gets the usual one of its kind; nobody smocks a wrap."""
    steps = " ".join(usual_steps(kind))
    assert ("Smock" in steps) == is_smocked
