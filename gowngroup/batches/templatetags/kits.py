"""What a kit's card shows: its gown, stitches and hours."""

from collections.abc import Mapping

from django import template
from django.utils.translation import gettext as _

from gowngroup.batches.models import Kit
from gowngroup.catalog.drawing import GownDrawing
from gowngroup.catalog.models import TRIM_KINDS
from gowngroup.records.templatetags.gown import hours
from gowngroup.stock.models import Lot

register = template.Library()


@register.filter
def stitches(kit: Kit) -> str:
    """The stitches of a kit's chart, each named once: `cable, wave`."""
    chart = kit.design_revision.chart
    names = [] if chart is None else [str(row.get_stitch_display()) for row in chart.rows.all()]
    return ", ".join(dict.fromkeys(names))


@register.filter
def usual_hours(kit: Kit) -> str:
    """How long such a kit usually takes, as a range in quarter hours: `4 h to 6 h 30 min`."""
    low, high = (15 * max(1, round(minutes / 15)) for minutes in (kit.minutes_low, kit.minutes_high))
    if not kit.minutes_high:
        return ""
    if low == high:
        return hours(low)
    return _("%(low)s to %(high)s") % {"low": hours(low), "high": hours(high)}


@register.filter
def is_unwashed_trim(lot: Lot) -> bool:
    """Must lace, ribbon or another trim still be washed and measured before it is cut?"""
    return lot.state == Lot.State.AS_GIVEN and lot.material.kind in TRIM_KINDS and not lot.material.is_counted


@register.filter
def of_kit(drawings: Mapping[int, GownDrawing | None], kit: Kit) -> GownDrawing | None:
    """The drawing of a kit's gown among those a view has worked out."""
    return drawings.get(kit.pk)
