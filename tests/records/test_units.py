"""Lengths typed and read, exact in centimetres and inches."""

import re
from contextlib import suppress
from fractions import Fraction
from pathlib import Path

import pytest
from django import forms
from django.conf import settings
from hypothesis import given
from hypothesis import strategies as st

from gowngroup.records.fields import LengthField, NumberField, WholeNumberField
from gowngroup.records.reader import Reader, reading_as
from gowngroup.records.units import NotALength, in_unit, long_unit, parse_number, to_um


def test_an_eighth_of_an_inch_is_exact() -> None:
    """One inch is 25.4 mm exactly (the international yard and pound agreement of 1959), an eighth 3,175 µm."""
    assert to_um(parse_number("1/8"), "in") == 3175
    assert to_um(parse_number("1"), "yd") == 914_400


@given(st.integers(0, 8000))
def test_eighths_of_inches_come_back_as_typed(eighths: int) -> None:
    """Every eighth of an inch is stored and shown without loss."""
    length_um = to_um(Fraction(eighths, 8), "in")
    assert to_um(parse_number(in_unit(length_um, "in")), "in") == length_um


@given(st.integers(0, 100_000))
def test_millimetres_come_back_as_typed(millimetres: int) -> None:
    """Every whole millimetre is stored and shown in centimetres without loss."""
    length_um = millimetres * 1000
    assert to_um(parse_number(in_unit(length_um, "cm")), "cm") == length_um


@given(st.integers(0, 10**9), st.sampled_from(["mm", "cm", "m", "in", "yd"]))
def test_what_is_shown_lies_within_half_a_step(length_um: int, unit: str) -> None:
    """A shown length is never further off than half of the last place shown."""
    half_step_um = {"mm": 50, "cm": 500, "m": 5_000, "in": 1_588, "yd": 57_150}[unit]
    assert abs(to_um(parse_number(in_unit(length_um, unit)), unit) - length_um) <= half_step_um


@given(st.text(max_size=30))
def test_anything_typed_is_a_number_or_refused(typed: str) -> None:
    """Whatever is typed gives a number not below nought, or is refused; nothing else happens."""
    with suppress(NotALength):
        assert parse_number(typed) >= 0


@pytest.mark.parametrize(
    ("typed", "number"),
    [
        ("12", "12"),
        (" 12.5 ", "25/2"),
        ("12,5", "25/2"),
        ("12 1/2", "25/2"),
        ("12½", "25/2"),
        (".5", "1/2"),
        ("¼", "1/4"),
        ("5.", "5"),
    ],
)
def test_ways_of_writing_a_number(typed: str, number: str) -> None:
    """Point, comma, fraction and the half of a telephone's keyboard all count."""
    assert parse_number(typed) == Fraction(number)


@pytest.mark.parametrize(
    "typed", ["", "-3", "1e9", "1e-999999999", "1_000", "١٢", "1/0", "1 2", "12 cm", "nan", "1/2/3", "½½"]
)
def test_what_is_no_length(typed: str) -> None:
    """Signs, exponents, other digits and words are asked back, at once."""
    with pytest.raises(NotALength):
        parse_number(typed)


def test_reader_of_inches_types_inches() -> None:
    """A length field takes the reader's own unit, and yards where cloth is long."""
    with reading_as(Reader(length_unit="in")):
        assert LengthField(low_um=0, high_um=10**6).clean("4 1/8") == 104_775
        assert LengthField(low_um=0, high_um=10**7, is_long=True).clean("2") == 1_828_800
    assert long_unit("cm") == "m"


def test_unlikely_length_is_asked_back() -> None:
    """A length typed in the wrong unit is asked back with the likely range named."""
    field = LengthField(low_um=100_000, high_um=600_000)
    with pytest.raises(Exception, match="lies between 10 and 60 cm"):
        field.clean("300")


def test_form_shows_a_stored_length_unchanged() -> None:
    """A form opened and sent back without a change has not changed."""
    assert not LengthField(low_um=0, high_um=10**6).has_changed(125_000, "12.5")


def test_plain_numbers_take_a_comma() -> None:
    """A plain number is cleaned to a float, and left empty stays empty."""
    assert NumberField().clean("0,15") == 0.15
    assert NumberField(required=False).clean("") is None
    assert NumberField().prepare_value(200_000.0) == "200000"


@pytest.mark.parametrize("typed", ["2.000", "1,250", " 12.500 ", "150.000"])
def test_a_mark_for_thousands_in_a_whole_number_is_asked_back(typed: str) -> None:
    """Two thousand grams typed with a point are never taken for two, in whatever language she reads."""
    field = WholeNumberField(min_value=1, max_value=2_000_000)
    for language in ("en", "es"):
        with reading_as(Reader(language=language)), pytest.raises(forms.ValidationError, match=typed.strip()):
            field.clean(typed)
    assert [field.clean(plain) for plain in ("2000", " 12 ", "3.0")] == [2000, 12, 3]


def test_every_form_asks_for_whole_numbers_alike() -> None:
    """No form takes a whole number by a field that would read 2.000 as two."""
    found = [
        path.name
        for path in (Path(settings.BASE_DIR) / "gowngroup").rglob("*.py")
        if re.search(r"forms\.(Integer|Decimal|Float)Field\(", path.read_text(encoding="utf-8"))
    ]
    assert found == []
