"""Filters of the catalog pages: measures of a gown, heights of a chart's rows, stages of the work."""

from django import template
from django.utils.translation import gettext as _

from gowngroup.catalog.models import ChartRow
from gowngroup.catalog.planner import GownNeed
from gowngroup.catalog.planner.overrides import OwnMeasure
from gowngroup.records.templatetags.gown import amount_filter, hours, long_length, mm_length
from gowngroup.records.written import written_number

register = template.Library()


@register.filter
def measure(need: GownNeed, key: str) -> str:
    """A finished measure of a gown in the reader's unit, empty where it has none."""
    return mm_length(need.measure_mm(key))


@register.filter
def usual_values(measure: OwnMeasure) -> list[str]:
    """What is worked out for a measure, told apart where gowns to wear and memorial gowns differ."""
    words = [f"{value:g}" if measure.is_count else mm_length(value) for value in measure.usual]
    if len(words) > 1:
        return [
            _("%(length)s to wear") % {"length": words[0]},
            _("%(length)s memorial") % {"length": words[1]},
        ]
    return words or ["–"]


@amount_filter(register)
def mm_long(length_mm: float | None) -> str:
    """A planner's length of thread in metres or yards."""
    return "" if length_mm is None else long_length(round(length_mm * 1000))


@amount_filter(register)
def millimetres(length_um: int) -> str:
    """A pleater's measure, in which hundredths of a millimetre count."""
    return written_number(f"{length_um / 1000:g} mm")


@register.filter
def heights(row: ChartRow) -> str:
    """Where a row of stitches lies: `2`, or `2 to 2½`."""
    top, bottom = row.top_half_space, row.top_half_space + row.rise_half_spaces
    if top == bottom:
        return _row_number(top)
    return _("%(top)s to %(bottom)s") % {"top": _row_number(top), "bottom": _row_number(bottom)}


def _row_number(half_spaces: int) -> str:
    return f"{half_spaces // 2 + 1}{'½' if half_spaces % 2 else ''}"


@register.filter
def stitch_label(stitch: str) -> str:
    """A stitch of a chart in words."""
    return str(ChartRow.Stitch(stitch).label)


@register.filter
def thread_label(thread: str) -> str:
    """On which side of the needle the thread lies."""
    return _("above the needle") if thread == "above" else _("below the needle")


@register.filter
def stage_label(stage: str) -> str:
    """A stage of the work in words."""
    labels = {
        "cut": _("cutting, in a batch"),
        "pleat": _("pleating"),
        "smock": _("smocking"),
        "make_up": _("making up"),
        "lace": _("sewing lace on"),
        "finish": _("finishing"),
        "companions": _("sewing what goes along with it"),
    }
    return labels.get(stage, stage)


@register.filter
def whole_hours(duration_min: float) -> str:
    """Minutes to the nearest five, as hours and minutes."""
    return hours(max(5, 5 * round(duration_min / 5)))
