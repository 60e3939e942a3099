"""Filters of the sheets."""

from django import template

from gowngroup.records.reader import current_reader
from gowngroup.records.units import in_unit

register = template.Library()


@register.filter
def fine_length(length_mm: float | None) -> str:
    """A small measure, such as a row space: in millimetres with tenths, or in eighths of an inch."""
    if length_mm is None:
        return ""
    unit = "in" if current_reader().length_unit == "in" else "mm"
    return f"{in_unit(round(length_mm * 1000), unit)} {unit}"
