"""Dates and numbers in each language, held against the Unicode Common Locale Data Repository as Babel ships it."""

from datetime import UTC, date, datetime

import pytest
from babel.dates import format_date
from babel.numbers import format_decimal
from django.core.exceptions import ValidationError
from django.template import Context, Template
from hypothesis import given, settings
from hypothesis import strategies as st

from gowngroup.records.fields import LengthField, NumberField
from gowngroup.records.reader import Reader, reading_as
from gowngroup.records.units import in_unit
from gowngroup.records.written import known, written_date, written_number

LOCALES = {"en": "en_GB", "es": "es"}
DAYS = st.dates(date(2000, 1, 1), date(2099, 12, 31))


@pytest.mark.parametrize("language", LOCALES)
@settings(max_examples=25)
@given(day=DAYS)
def test_days_are_written_as_cldr_writes_them(language: str, day: date) -> None:
    """CLDR's long dates, en_GB and es: `30 November 2026`, `30 de noviembre de 2026`; its month with year alike."""
    with reading_as(Reader(language=language)):
        assert written_date(day, "j F Y") == format_date(day, "long", LOCALES[language])
        assert written_date(day, "F Y") == format_date(
            day, {"en": "MMMM y", "es": "MMMM 'de' y"}[language], LOCALES[language]
        )


def test_a_day_of_the_week_stands_before_it() -> None:
    """CLDR's full date in Spanish, `lunes, 30 de noviembre de 2026`, and ours without the year."""
    day = date(2026, 11, 30)
    with reading_as(Reader(language="es")):
        assert written_date(day, "l, j F Y") == format_date(day, "full", "es")
        assert written_date(day, "l, j F") == "lunes, 30 de noviembre"


def test_templates_write_dates_alike() -> None:
    """The filter of every template writes as the function does, a moment in the reader's zone, nothing for none."""
    template = Template(
        '{{ day|date:"j F Y" }}|{{ at|date:"j F Y, H:i" }}|{{ none|date:"j F" }}|{{ day|date:"Y-m-d" }}'
    )
    shown = Context({"day": date(2026, 1, 2), "at": datetime(2026, 5, 3, 9, 5, tzinfo=UTC), "none": None})
    with reading_as(Reader(language="es")):
        assert template.render(shown) == "2 de enero de 2026|3 de mayo de 2026, 09:05||2026-01-02"


@pytest.mark.parametrize("language", LOCALES)
@settings(max_examples=25)
@given(tenths=st.integers(0, 9_999))
def test_decimals_are_written_as_cldr_writes_them(language: str, tenths: int) -> None:
    """CLDR's decimal mark: a point in English, a comma in Spanish."""
    with reading_as(Reader(language=language)):
        expected = format_decimal(tenths / 10, "0.#", LOCALES[language])
        assert written_number(f"{tenths / 10:.10g}") == in_unit(tenths * 1000, "cm") == expected


@pytest.mark.parametrize("language", LOCALES)
@settings(max_examples=25)
@given(value_um=st.integers(100, 9_000_000))
def test_what_a_form_shows_comes_back_as_it_was(language: str, value_um: int) -> None:
    """A length or figure shown in a form and sent again unchanged is no other, in either language."""
    length, number = LengthField(low_um=0, high_um=10**9), NumberField()
    with reading_as(Reader(language=language)):
        shown = length.prepare_value(value_um)
        assert abs(length.clean(shown) - value_um) <= 500
        figure = value_um / 1000
        assert number.clean(number.prepare_value(figure)) == pytest.approx(figure, rel=1e-9)


@pytest.mark.parametrize("typed", ["1,5", "1.5"])
@pytest.mark.parametrize("language", LOCALES)
def test_point_and_comma_are_taken_alike(language: str, typed: str) -> None:
    """Telephones show one key or the other, so both are read in both languages."""
    with reading_as(Reader(language=language)):
        assert LengthField(low_um=0, high_um=10**6).clean(typed) == 15_000
        assert NumberField().clean(typed) == 1.5


@pytest.mark.parametrize(("language", "typed"), [("en", "1,250"), ("es", "1.250")])
def test_a_mark_for_thousands_is_asked_back(language: str, typed: str) -> None:
    """What would be a thousand and more to its writer is never taken for one and a quarter."""
    with reading_as(Reader(language=language)), pytest.raises(ValidationError, match="1250"):
        NumberField().clean(typed)


def test_known_words_are_said_in_her_language() -> None:
    """Our own words that stand in data are translated, the group's own are left as they were typed."""
    with reading_as(Reader(language="es")):
        assert known("Flat cloth per pleat") != "Flat cloth per pleat"
        assert (known("Betty's own pleater"), known("")) == ("Betty's own pleater", "")
