"""Filters and tags every page uses: lengths in the reader's unit, codes in groups, the request key."""

import re
import uuid
from collections.abc import Callable
from functools import wraps
from typing import TypeVar

from django import template
from django.utils.html import format_html
from django.utils.safestring import SafeString

from gowngroup.records import codes, units, written
from gowngroup.records.reader import current_reader

register = template.Library()
Amount = TypeVar("Amount")
SIZE_STEP_UM = {"cm": 10_000, "in": 12_700}
DIALLED = re.compile(r"\+?[\d\s()./-]{5,}")


def amount_filter(library: template.Library) -> Callable[[Callable[[Amount], str]], Callable[[Amount], str]]:
    """Make a function a filter in whose words no line ends between a number and its unit; called by itself it stays as it is."""

    def made(function: Callable[[Amount], str]) -> Callable[[Amount], str]:
        @wraps(function)
        def kept_together(amount: Amount) -> str:
            return written.unbroken(function(amount))

        library.filter(function.__name__, kept_together)
        return function

    return made


@amount_filter(register)
def short_length(length_um: int | None) -> str:
    """A length in the reader's unit, such as `12.5 cm`; empty for none."""
    if length_um is None:
        return ""
    unit = current_reader().length_unit
    return f"{units.in_unit(length_um, unit)} {unit}"


@amount_filter(register)
def size_length(length_um: int) -> str:
    """A size by the length of baby it fits up to, in whole centimetres or half inches, as parents may see it: `36 cm`."""
    step_um = SIZE_STEP_UM[current_reader().length_unit]
    return short_length((length_um + step_um // 2) // step_um * step_um)


@amount_filter(register)
def long_length(length_um: int | None) -> str:
    """A length of cloth or lace in metres or yards."""
    if length_um is None:
        return ""
    unit = units.long_unit(current_reader().length_unit)
    return f"{units.in_unit(length_um, unit)} {unit}"


@amount_filter(register)
def mm_length(length_mm: float | None) -> str:
    """A planner's length in the reader's unit."""
    return "" if length_mm is None else short_length(round(length_mm * 1000))


@register.filter
def spaced(code: str) -> str:
    """A code in two groups."""
    return codes.spaced(code)


@register.filter
def to_ring(telephone: str) -> str:
    """A telephone number that a phone dials at a touch (RFC 3966); one with words in it stays as it is."""
    if not DIALLED.fullmatch(telephone):
        return telephone
    digits = re.sub(r"[^\d+]", "", telephone.replace("(0)", "") if telephone.startswith("+") else telephone)
    return format_html('<a class="nowrap" href="tel:{}">{}</a>', digits, telephone)


@amount_filter(register)
def hours(duration_min: int | None) -> str:
    """Minutes as hours and minutes: `3 h 20 min`."""
    if duration_min is None:
        return ""
    whole, rest = divmod(int(duration_min), 60)
    return (
        " ".join(part for part in (f"{whole} h" if whole else "", f"{rest} min" if rest else "") if part)
        or "0 min"
    )


@register.simple_tag
def request_key() -> SafeString:
    """The hidden field that makes sending a form twice count once."""
    return format_html('<input type="hidden" name="request_key" value="{}">', uuid.uuid4().hex)


@register.simple_tag
def decimal_mark() -> str:
    """What parts whole numbers from tenths, for the script that converts what is typed."""
    return written.decimal_mark()
