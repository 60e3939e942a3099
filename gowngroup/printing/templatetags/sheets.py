"""Filters and tags of the sheets."""

from django import template
from django.template.base import Node, NodeList, Parser, Token
from django.template.context import Context
from django.utils.html import format_html
from django.utils.safestring import SafeString

from gowngroup.printing.letters import missing_sentence
from gowngroup.records.reader import current_reader
from gowngroup.records.templatetags.gown import amount_filter
from gowngroup.records.units import in_unit

register = template.Library()


@amount_filter(register)
def fine_length(length_mm: float | None) -> str:
    """A small measure, such as a row space: in millimetres with tenths, or in eighths of an inch."""
    if length_mm is None:
        return ""
    unit = "in" if current_reader().length_unit == "in" else "mm"
    return f"{in_unit(round(length_mm * 1000), unit)} {unit}"


@register.tag
def letters_checked(parser: Parser, token: Token) -> "LettersChecked":
    """Put a word of warning before what stands inside, should it hold letters that none of our typefaces has."""
    inside = parser.parse(("endletters_checked",))
    parser.delete_first_token()
    return LettersChecked(inside)


class LettersChecked(Node):
    """What stands on a sheet, after a warning where it would print as empty boxes."""

    def __init__(self, inside: NodeList) -> None:
        self.inside = inside

    def render(self, context: Context) -> SafeString:
        """Write what stands inside first, since only then its letters are known."""
        written = self.inside.render(context)
        sentence = missing_sentence(written)
        return format_html('<p class="fault">{}</p>', sentence) + written if sentence else written
