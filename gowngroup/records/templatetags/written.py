"""Dates in every template as the reader's language writes them: Django's own filter, done over."""

from datetime import date

from django import template

from gowngroup.records.written import known, written_date

register = template.Library()
register.filter("known", known)


@register.filter(name="date", expects_localtime=True, is_safe=False)
def date_(day: date | None, pattern: str) -> str:
    """A day or a moment by one of our patterns, such as `j F Y`; empty for none."""
    return written_date(day, pattern) if day else ""
