"""Dates and numbers as the reader's language writes them."""

import re
from datetime import date

from django.utils.formats import date_format, get_format
from django.utils.translation import gettext, pgettext

# Between a number and what follows it, its fraction or its unit.
WITHIN_AMOUNT = re.compile(r"(?<=\d) (?=\d+/\d|(?:cm|mm|in|m|yd|h|min)\b)")


def unbroken(words: str) -> str:
    """Words in which no line ends between a number and its unit: no-break spaces stand there."""
    return WITHIN_AMOUNT.sub("\u00a0", words)


def written_date(day: date, pattern: str) -> str:
    """A day, or a moment in the reader's time zone, by a pattern of ours such as `j F Y`: `30 de noviembre de 2026`."""
    # Translators: how a day is written before its month; keep j and F, write other letters with \ before each
    day_and_month = pgettext("date", "j F")
    # Translators: how a year is written after its month; keep F and Y, write other letters with \ before each
    month_and_year = pgettext("date", "F Y")
    return date_format(day, pattern.replace("j F", day_and_month).replace("F Y", month_and_year))


def known(words: str) -> str:
    """Words of our own that stand in data, such as a figure's name, in the reader's language; others as they are."""
    return gettext(words) if words else ""


def decimal_mark() -> str:
    """What parts whole numbers from tenths: a point, or a comma in Spanish."""
    return str(get_format("DECIMAL_SEPARATOR"))


def written_number(digits: str) -> str:
    """Digits with a point, as they read in the reader's language."""
    return digits.replace(".", decimal_mark())
