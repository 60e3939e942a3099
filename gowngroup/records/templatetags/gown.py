"""Filters and tags every page uses: lengths in the reader's unit, codes in groups, the request key."""

import uuid

from django import template
from django.utils.html import format_html
from django.utils.safestring import SafeString

from gowngroup.records import codes, units, written
from gowngroup.records.reader import current_reader
from gowngroup.records.written import written_number

register = template.Library()


@register.filter
def short_length(length_um: int | None) -> str:
    """A length in the reader's unit, such as `12.5 cm`; empty for none."""
    if length_um is None:
        return ""
    unit = current_reader().length_unit
    return f"{units.in_unit(length_um, unit)} {unit}"


@register.filter
def long_length(length_um: int | None) -> str:
    """A length of cloth or lace in metres or yards."""
    if length_um is None:
        return ""
    unit = units.long_unit(current_reader().length_unit)
    return f"{units.in_unit(length_um, unit)} {unit}"


@register.filter
def mm_length(length_mm: float | None) -> str:
    """A planner's length in the reader's unit."""
    return "" if length_mm is None else short_length(round(length_mm * 1000))


@register.filter
def spaced(code: str) -> str:
    """A code in two groups."""
    return codes.spaced(code)


@register.filter
def hours(duration_min: int | None) -> str:
    """Minutes as hours and minutes: `3 h 20 min`."""
    if duration_min is None:
        return ""
    whole, rest = divmod(int(duration_min), 60)
    return (
        " ".join(part for part in (f"{whole} h" if whole else "", f"{rest} min" if rest else "") if part)
        or "0 min"
    )


@register.filter
def plain_number(value: float) -> str:
    """A planner's figure without needless zeros."""
    return written_number(f"{value:.10g}")


@register.simple_tag
def request_key() -> SafeString:
    """The hidden field that makes sending a form twice count once."""
    return format_html('<input type="hidden" name="request_key" value="{}">', uuid.uuid4().hex)


@register.simple_tag
def decimal_mark() -> str:
    """What parts whole numbers from tenths, for the script that converts what is typed."""
    return written.decimal_mark()
