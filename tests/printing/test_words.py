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


@pytest.mark.parametrize(
    ("number", "text"),
    [
        (0, "cero"),
        (1, "una"),
        (16, "dieciséis"),
        (21, "veintiuna"),
        (31, "treinta y una"),
        (100, "cien"),
        (101, "ciento una"),
        (500, "quinientas"),
        (999, "novecientas noventa y nueve"),
        (1000, "mil"),
        (2345, "dos mil trescientas cuarenta y cinco"),
    ],
)
def test_count_of_gowns_in_spanish_words(number: int, text: str) -> None:
    """As the Diccionario panhispánico de dudas writes cardinals before a feminine noun (from memory): 21 batitas."""
    with reading_as(Reader(language="es")):
        assert in_words(number) == text


def read_out(text: str) -> int:
    """The number English words name: units, tens and teens add up, “hundred” and “thousand” multiply."""
    ones = "one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen"
    values = {word: value for value, word in enumerate(ones.split(), start=1)}
    tens = "twenty thirty forty fifty sixty seventy eighty ninety"
    values |= {word: value for value, word in zip(range(20, 100, 10), tens.split(), strict=True)}
    thousands, rest = 0, 0
    for word in text.replace("-", " ").replace(" and ", " ").split():
        if word == "thousand":
            thousands, rest = rest * 1000, 0
        elif word == "hundred":
            rest *= 100
        else:
            rest += values[word]
    return thousands + rest


def test_every_count_below_ten_thousand_reads_back() -> None:
    """Words of each count to 9,999 name that count again, with “and” before what is left under a hundred."""
    assert in_words(0) == "zero"
    for number in range(1, 10_000):
        text = in_words(number)
        assert read_out(text) == number
        assert (" and " in text) == (number > 100 and number % 100 > 0)


@pytest.mark.parametrize("number", [-1, 1_000_000])
def test_what_cannot_be_written_out(number: int) -> None:
    """A count below nothing or of a million is refused, never written as another."""
    with pytest.raises(ValueError, match=str(number)):
        in_words(number)


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
