"""From a row of a chart to the card that shows how its stitch is worked."""

from django import template
from django.urls import reverse

from gowngroup.catalog import models
from gowngroup.catalog.stitch_cards import card_key
from gowngroup.planning import smocking

register = template.Library()


@register.filter
def stitch_card_url(row: models.ChartRow | smocking.ChartRow) -> str:
    """The address of the card of a row's stitch."""
    steps = row.step_count if isinstance(row, models.ChartRow) else row.steps
    return reverse("catalog:stitch_card", args=[card_key(row.stitch, steps)])
