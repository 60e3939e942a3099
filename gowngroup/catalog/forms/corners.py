"""Corners of an outline, typed a line each in the reader's unit."""

import re
from decimal import Decimal
from fractions import Fraction
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from gowngroup.records.reader import current_reader
from gowngroup.records.units import UM_PER_UNIT, NotALength, parse_number, to_um
from gowngroup.records.written import written_number

Corner = tuple[int, int, int]
LEAST_CORNERS, MOST_CORNERS = 3, 200
LARGEST_UM = 1_520_000
PLACES = {"cm": 2, "in": 3}


class CornersField(forms.CharField):
    """Corners as `across down` or `across down bow`, cleaned to micrometres; errors name the line."""

    widget = forms.Textarea

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(max_length=6000, **kwargs)
        self.widget.attrs |= {"rows": 7, "spellcheck": "false"}

    def prepare_value(self, value: object) -> object:
        if not isinstance(value, list | tuple):
            return value
        return "\n".join(_line(corner, current_reader().length_unit) for corner in value)

    def clean(self, value: object) -> Any:
        typed = super().clean(value)
        unit = current_reader().length_unit
        lines = [(number, line) for number, line in enumerate(typed.splitlines(), start=1) if line.strip()]
        found: list[Corner] = []
        wrong: list[ValidationError] = []
        for number, line in lines:
            try:
                found.append(_corner(line, unit))
            except NotALength:
                wrong.append(_wrong_line(number, line, unit))
        if wrong:
            raise ValidationError(wrong)
        if not LEAST_CORNERS <= len(found) <= MOST_CORNERS:
            raise ValidationError(
                _("A piece has at least three corners, each on a line of its own, and at most %(most)d."),
                params={"most": MOST_CORNERS},
            )
        return tuple(found)

    def has_changed(self, initial: object, data: object) -> bool:
        return super().has_changed(self.prepare_value(initial), str(data or "").replace("\r\n", "\n"))


def _corner(line: str, unit: str) -> Corner:
    """Two numbers, or three; raises NotALength."""
    words = [word.rstrip(",") for word in re.split(r"[\s;]+", line.strip())]
    if not 2 <= len(words) <= 3:
        raise NotALength(line)
    across_um, down_um = (to_um(parse_number(word), unit) for word in words[:2])
    bow_um = _signed_um(words[2], unit) if len(words) > 2 else 0
    if max(across_um, down_um, abs(bow_um)) > LARGEST_UM:
        raise NotALength(line)
    return across_um, down_um, bow_um


def _signed_um(word: str, unit: str) -> int:
    sign = -1 if word[:1] in ("-", "−") else 1
    return sign * to_um(parse_number(word.lstrip("-−")), unit)


def _wrong_line(number: int, line: str, unit: str) -> ValidationError:
    return ValidationError(
        _(
            "Line %(number)d, “%(line)s”: type two numbers in %(unit)s, such as 12.5 30, of at most %(most)s."
            " Fractions stay together: 12½ or 12.5."
        ),
        params={
            "number": number,
            "line": line.strip()[:40],
            "unit": unit,
            "most": f"{LARGEST_UM / UM_PER_UNIT[unit]:.0f}",
        },
    )


def _line(corner: Any, unit: str) -> str:
    across_um, down_um, bow_um = corner
    words = [_plain(across_um, unit), _plain(down_um, unit)]
    return " ".join([*words, _plain(bow_um, unit)] if bow_um else words)


def _plain(length_um: int, unit: str) -> str:
    number = Fraction(length_um, UM_PER_UNIT[unit])
    text = f"{Decimal(number.numerator) / Decimal(number.denominator):.{PLACES[unit]}f}"
    return written_number(text.rstrip("0").rstrip("."))
