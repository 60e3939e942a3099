"""The switch of units beside a length: exact both ways, on the server and in the browser alike."""

import random
from collections.abc import Callable
from fractions import Fraction

import pytest
from django import forms
from django.http import QueryDict
from django.template import Context, Template
from django.test import Client
from django.urls import reverse
from hypothesis import given
from hypothesis import strategies as st
from playwright.sync_api import Page
from pytest_django.live_server_helper import LiveServer

from gowngroup.catalog.models import MaterialKind
from gowngroup.people.models import Person
from gowngroup.records.fields import LengthField
from gowngroup.records.reader import Reader, reading_as
from gowngroup.records.units import exactly_in_unit, number_and_unit, parse_number, to_um
from tests.browser import Chromium, Visitor, needs_chromium
from tests.factories import MaterialFactory

# Micrometres in one of each, by the international yard of 1959 (an inch is 25.4 mm exactly) and the SI's prefixes.
UM = {
    "mm": Fraction(1000),
    "cm": Fraction(10**4),
    "m": Fraction(10**6),
    "in": Fraction(25_400),
    "yd": Fraction(914_400),
}
LENGTHS = st.integers(0, 10**9)
UNITS = st.sampled_from(sorted(UM))


class WidthForm(forms.Form):
    """One short length."""

    width = LengthField(low_um=1, high_um=10**8)


def sent(**data: str) -> WidthForm:
    form = QueryDict(mutable=True)
    form.update(data)
    return WidthForm(form, initial={"width": 1_234_567})


@given(LENGTHS, UNITS)
def test_a_length_written_exactly_is_read_exactly(length_um: int, unit: str) -> None:
    """Whatever micrometre is written in whatever unit, it is that micrometre when read again."""
    written = exactly_in_unit(length_um, unit)
    assert to_um(parse_number(written), unit) == length_um
    assert abs(parse_number(written) * UM[unit] - length_um) <= Fraction(1, 2)


@given(LENGTHS, UNITS, UNITS)
def test_there_and_back_is_the_same_text(length_um: int, one: str, other: str) -> None:
    """Switched to another unit and back, what stands in the field stands there again."""
    typed = exactly_in_unit(length_um, one)
    switched = exactly_in_unit(to_um(parse_number(typed), one), other)
    assert exactly_in_unit(to_um(parse_number(switched), other), one) == typed


@given(st.integers(0, 10**6), st.integers(0, 63), st.sampled_from([2, 4, 8, 16, 32, 64]))
def test_fractions_of_inches_are_read_exactly(whole: int, above: int, below: int) -> None:
    """An inch typed as a fraction is what it is by exact arithmetic, to the nearest micrometre."""
    exact = (whole + Fraction(above, below)) * UM["in"]
    assert abs(WidthField.clean(f"{whole} {above}/{below} in") - exact) <= Fraction(1, 2)
    if below <= 8:
        assert WidthField.clean(f"{whole} {above}/{below} in") == exact


WidthField = LengthField(low_um=0, high_um=10**12)


@pytest.mark.parametrize(
    ("typed", "length_um"),
    [
        ("45 1/2 in", 1_155_700),
        ("45.5in", 1_155_700),
        ("45½″", 1_155_700),
        ('3 1/8"', 79_375),
        ("115.57 cm", 1_155_700),
        ("1,2 m", 1_200_000),
        ("4 MM", 4_000),
        ("1 1/4 yd.", 1_143_000),
    ],
)
def test_the_unit_may_be_typed(typed: str, length_um: int) -> None:
    """Whoever types the unit behind the number is understood, whatever unit the field is in."""
    for unit in ("cm", "in"):
        with reading_as(Reader(length_unit=unit)):
            assert WidthField.clean(typed) == length_um


@pytest.mark.parametrize("typed", ["12 ft", "in", "cm 12", "12 cm in"])
def test_other_words_are_asked_back(typed: str) -> None:
    """A unit that is none of ours, or no number before it, is asked back."""
    with pytest.raises(forms.ValidationError, match="type a number"):
        WidthField.clean(typed)


def test_the_unit_may_be_chosen_beside_the_field() -> None:
    """Without script the choice says what the number was typed in; a unit typed behind it comes first."""
    assert sent(width="45 1/2", width_unit="in").fields["width"].clean("45 1/2 in") == 1_155_700
    for data, length_um in (
        ({"width": "45 1/2", "width_unit": "in"}, 1_155_700),
        ({"width": "45.5 cm", "width_unit": "in"}, 455_000),
        ({"width": "45.5", "width_unit": "furlong"}, 455_000),
        ({"width": "45.5"}, 455_000),
    ):
        form = sent(**data)
        assert form.is_valid()
        assert form.cleaned_data["width"] == length_um


def test_what_was_typed_and_chosen_comes_back() -> None:
    """A form that comes back shows the number as typed and the unit as chosen."""
    page = Template("{% load crispy_forms_tags %}{{ form.width|as_crispy_field }}").render(
        Context({"form": sent(width="999999999", width_unit="in")})
    )
    assert 'value="999999999"' in page
    assert "<option>cm</option><option selected>in</option>" in page
    assert "lies between 0 and 3937 in" in page


def test_a_length_left_alone_stays_to_the_micrometre() -> None:
    """A length shown rounded and sent back as shown is not rounded by that."""
    for unit, shown in (("cm", "123.5"), ("in", "48 5/8")):
        with reading_as(Reader(length_unit=unit)):
            form = sent(width=shown, width_unit=unit)
            assert form.is_valid()
            assert form.cleaned_data["width"] == 1_234_567
            assert not form.has_changed()
            assert form["width"].value() == shown


def test_units_are_parted_from_numbers() -> None:
    """What follows the number is a unit or nothing."""
    assert number_and_unit("45 1/2 in") == ("45 1/2", "in")
    assert number_and_unit("45") == ("45", None)


@needs_chromium
@pytest.mark.browser
@pytest.mark.django_db(transaction=True)
def test_the_browser_converts_as_the_server_does(
    chromium: Chromium, live_server: LiveServer, packer: Person, sign_in: Callable[[Person], Client]
) -> None:
    """What the switch writes is what the server would write, for lengths typed in every way; and back again as typed.

    What is typed in the other unit counts in that unit, also where the same digits stood there at first, and where
    the browser or a draft has put the choice back without telling.
    """
    chance = random.Random(5)  # noqa: S311 - lengths, no secrets
    typed = ["45 1/2", "45.5", "3 1/8", "3⅛", "½", ".5", "5.", "0", "1,5", "45 in", "45 1/2 cm"]
    typed += [exactly_in_unit(chance.randrange(10**7), chance.choice(["cm", "in"])) for _time in range(80)]
    typed += [f"{chance.randrange(99)} {chance.randrange(1, 64)}/64" for _time in range(20)]
    unread = ["", "abc", "1,250", "-3", "1/0", "12 ft", "1e5"]

    def switched(page: Page) -> list[list[str]]:
        return page.evaluate(  # type: ignore[no-any-return]
            """(typed) => {
              const field = document.querySelector("#id_width_um"), choice = document.querySelector("[name=width_um_unit]");
              const turn = (unit) => { choice.value = unit; choice.dispatchEvent(new Event("change", {bubbles: true})); return field.value };
              const found = typed.map((text) => { field.value = text; return [turn("in"), turn("cm")] });
              field.defaultValue = field.value = "45";
              choice.dataset.exactUm = "450000";
              turn("in");
              field.value = "45";
              found.push([turn("cm")]);
              choice.value = "in";
              field.value = "45";
              dispatchEvent(new Event("pageshow"));
              return [...found, [turn("cm")]];
            }""",
            [*typed, *unread],
        )

    material = MaterialFactory(kind=MaterialKind.CLOTH)
    visitor = Visitor(server=live_server, client=sign_in(packer))
    answers = chromium.visit(visitor, reverse("stock:lot_receive", args=[material.pk]), switched)
    for text, (there, back) in zip(typed, answers, strict=False):
        number, unit = number_and_unit(text)
        assert there == exactly_in_unit(to_um(parse_number(number), unit or "cm"), "in"), text
        assert back == text
    assert answers[len(typed) : -2] == [[text, text] for text in unread]
    assert answers[-2:] == [["114.3"], ["114.3"]]
