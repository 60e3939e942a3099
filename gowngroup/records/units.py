"""Lengths between the database's integer micrometres and what people type and read; exact both ways."""

from decimal import Decimal, InvalidOperation
from fractions import Fraction

UM_PER_UNIT = {"mm": 1_000, "cm": 10_000, "m": 1_000_000, "in": 25_400, "yd": 914_400}


class NotALength(ValueError):
    """What was typed is not a number such as 12, 12.5, 12,5 or 12 1/2."""


def parse_number(typed: str) -> Fraction:
    """The exact number in what was typed: `12`, `12.5`, `12,5`, `12 1/2`, `1/8`.

    Raises NotALength for anything else; digits other than 0–9 are not taken.
    """
    parts = typed.strip().replace(",", ".").split()
    if not parts or len(parts) > 2 or not typed.isascii():
        raise NotALength(typed)
    try:
        return sum((_part(part) for part in parts), Fraction(0))
    except (InvalidOperation, ZeroDivisionError, ValueError, OverflowError) as error:
        raise NotALength(typed) from error


def _part(text: str) -> Fraction:
    if "/" in text:
        above, below = text.split("/")
        return Fraction(int(above), int(below))
    number = Decimal(text)
    if not number.is_finite() or abs(number) > 10**9:
        raise NotALength(text)
    return Fraction(number)


def to_um(number: Fraction, unit: str) -> int:
    """Micrometres of a number in a unit, to the nearest micrometre."""
    return round(number * UM_PER_UNIT[unit])


def in_unit(length_um: int, unit: str) -> str:
    """A length in a unit, without its name and without needless zeros; inches as eighths where exact."""
    if unit in ("in", "yd"):
        return _eighths(Fraction(length_um, UM_PER_UNIT[unit]))
    places = {"mm": 1, "cm": 1, "m": 2}[unit]
    text = f"{Decimal(length_um) / UM_PER_UNIT[unit]:.{places}f}"
    return text.rstrip("0").rstrip(".")


def _eighths(number: Fraction) -> str:
    whole, rest = divmod(round(number * 8), 8)
    if not rest:
        return str(whole)
    part = str(Fraction(rest, 8))
    return f"{whole} {part}" if whole else part


def long_unit(unit: str) -> str:
    """The unit cloth and lace are sold in for a reader of centimetres or inches."""
    return "yd" if unit == "in" else "m"
