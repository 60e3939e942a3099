"""Words for finished gowns on pages."""

from django import template

from gowngroup.gowns.words import WHAT_HAPPENED, gown_words, outcome_words, purpose_words

register = template.Library()
register.filter("purpose_words", purpose_words)
register.filter("outcome_words", outcome_words)
register.filter("gown_words", gown_words)


@register.filter
def what_happened(did: str) -> str:
    """A line of the trail in the words of the trade."""
    return str(WHAT_HAPPENED.get(did, did))
