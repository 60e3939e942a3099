"""Amounts and swatches on pages."""

from django import template
from django.utils.html import format_html
from django.utils.safestring import SafeString

from gowngroup.stock.amounts import amount_text
from gowngroup.stock.models import Material

register = template.Library()


@register.filter
def amount(value: int, material: Material) -> str:
    """An amount of a material in the reader's words."""
    return amount_text(value, material)


@register.filter
def signed_amount(value: int, material: Material) -> str:
    """A change of an amount with its sign; empty for none."""
    if not value:
        return ""
    return f"{'+' if value > 0 else '−'} {amount_text(abs(value), material)}"


@register.simple_tag
def swatch(material: Material) -> SafeString | str:
    """The colour of a material as a small square; its words stand beside it."""
    if not material.swatch:
        return ""
    return format_html(
        '<svg class="swatch" viewBox="0 0 10 10" aria-hidden="true" focusable="false">'
        '<rect width="10" height="10" fill="{}"/></svg>',
        material.swatch,
    )
