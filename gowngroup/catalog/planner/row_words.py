"""A row of a smocking chart in the reader's words, the same on screen and on paper."""

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from gowngroup.catalog import models
from gowngroup.catalog.planner.chart_words import height_words
from gowngroup.planning.smocking import ChartRow


def stitch_name(row: ChartRow) -> str:
    """A row's stitch in the reader's words, waves and trellises with their steps."""
    name = str(models.ChartRow.Stitch(row.stitch).label)
    if not row.steps:
        return name
    return ngettext("%(stitch)s of %(count)d step", "%(stitch)s of %(count)d steps", row.steps) % {
        "stitch": name,
        "count": row.steps,
    }


def row_height(row: ChartRow) -> str:
    """`row 2`, or `rows 2 to 2½`, in pleated rows from the top."""
    if row.top_row == row.bottom_row:
        return _("row %(top)s") % {"top": height_words(float(row.top_row))}
    return _("rows %(top)s to %(bottom)s") % {
        "top": height_words(float(row.top_row)),
        "bottom": height_words(float(row.bottom_row)),
    }


def start_name(row: ChartRow) -> str:
    """Where a row starts, as the chart's own page calls it."""
    return str(models.ChartRow(start=row.start).get_start_display())
