"""Lengths between the database's integer micrometres and what people type and read; exact both ways."""

import re
from decimal import Decimal
from fractions import Fraction

from gowngroup.records.written import decimal_mark, written_number

UM_PER_UNIT = {"mm": 1_000, "cm": 10_000, "m": 1_000_000, "in": 25_400, "yd": 914_400}
OTHER_SIGNS = {'"': "in", "″": "in", "”": "in"}
WITH_UNIT = re.compile(r"(.*?)\s*(mm|cm|m|in|yd|[\"″”])\.?", re.IGNORECASE | re.DOTALL)
MOST_PLACES = 7  # a ten-millionth of a yard is less than a micrometre

# No exponents (1e-999999999 would fill the memory), no underscores, no signs, no digits but 0-9.
DECIMAL = re.compile(r"[0-9]{1,9}(\.[0-9]{0,9})?|\.[0-9]{1,9}")
THOUSANDS = re.compile(r"[1-9][0-9]{0,2}[.,][0-9]{3}")
WITH_FRACTION = re.compile(r"(?:([0-9]{1,9}) +)?([0-9]{1,4})/([0-9]{1,4})")
ONE_CHARACTER_FRACTIONS = {"¼": "1/4", "½": "1/2", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}


class NotALength(ValueError):
    """What was typed is not a number such as 12, 12.5, 12,5 or 12 1/2."""


class UnclearMark(NotALength):
    """A mark and three digits, as in 1,250: a thousand and more to some readers, one and a quarter to others."""


def parse_number(typed: str) -> Fraction:
    """The exact number in what was typed: `12`, `12.5`, `12,5`, `12 1/2`, `12½`, `1/8`.

    Raises NotALength for anything else, such as signs, exponents and digits other than 0–9; UnclearMark where
    a mark other than the reader's own for decimals may part thousands.
    """
    if THOUSANDS.fullmatch(typed.strip().replace(decimal_mark(), " ")):
        raise UnclearMark(typed)
    text = typed.strip().replace(",", ".")
    for character, fraction in ONE_CHARACTER_FRACTIONS.items():
        text = text.replace(character, f" {fraction}")
    text = text.strip()
    if DECIMAL.fullmatch(text):
        return Fraction(text)
    parts = WITH_FRACTION.fullmatch(text)
    if parts is None or int(parts[3]) == 0:
        raise NotALength(typed)
    return int(parts[1] or 0) + Fraction(int(parts[2]), int(parts[3]))


def number_and_unit(typed: str) -> tuple[str, str | None]:
    """What was typed, parted into the number and the unit behind it: `45 1/2 in`, `115cm`, `45.5″`; None where none is."""
    parts = WITH_UNIT.fullmatch(typed.strip())
    if parts is None:
        return typed, None
    unit = parts[2].lower()
    return parts[1], OTHER_SIGNS.get(unit, unit)


def to_um(number: Fraction, unit: str) -> int:
    """Micrometres of a number in a unit, to the nearest micrometre."""
    return round(number * UM_PER_UNIT[unit])


def in_unit(length_um: int, unit: str) -> str:
    """A length in a unit, without its name and without needless zeros; inches as eighths where exact."""
    if unit in ("in", "yd"):
        return _eighths(Fraction(length_um, UM_PER_UNIT[unit]))
    places = {"mm": 1, "cm": 1, "m": 2}[unit]
    text = f"{Decimal(length_um) / UM_PER_UNIT[unit]:.{places}f}"
    return written_number(text.rstrip("0").rstrip("."))


def exactly_in_unit(length_um: int, unit: str) -> str:
    """A length as somebody would type it: read again it gives the very same micrometre.

    Eighths where inches and yards have them, else as few decimals as do.
    """
    exact = Fraction(length_um, UM_PER_UNIT[unit])
    if unit in ("in", "yd") and (exact * 8).denominator == 1:
        return _eighths(exact)
    for places in range(MOST_PLACES):
        if to_um(rounded := round(exact, places), unit) == length_um:
            break
    else:
        rounded = round(exact, MOST_PLACES)
    text = f"{Decimal(rounded.numerator) / rounded.denominator:f}"
    return written_number(text.rstrip("0").rstrip(".") if "." in text else text)


def _eighths(number: Fraction) -> str:
    whole, rest = divmod(round(number * 8), 8)
    if not rest:
        return str(whole)
    part = str(Fraction(rest, 8))
    return f"{whole} {part}" if whole else part


def long_unit(unit: str) -> str:
    """The unit cloth and lace are sold in for a reader of centimetres or inches."""
    return "yd" if unit == "in" else "m"
