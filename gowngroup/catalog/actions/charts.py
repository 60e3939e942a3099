"""Smocking charts: a chart that a gown has used stays as it is, and a change becomes its next number."""

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from datetime import datetime

from django.db.models import Max
from django.utils.translation import gettext as _

from gowngroup.catalog.models import Chart, ChartRow
from gowngroup.catalog.planner import fault_sentences, planning_chart
from gowngroup.catalog.queries import is_chart_used
from gowngroup.people.models import Person
from gowngroup.planning.smocking import chart_faults, nearest_pleat_counts
from gowngroup.records.actions import action, record
from gowngroup.records.errors import Refusal, Taken


class ChartNameTaken(Taken):
    """Another chart has this name."""


class ChartCannotBeWorked(Refusal):
    """A row of the chart cannot be stitched."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RowEntry:
    """One row of a chart as typed, from the top."""

    stitch: str
    step_count: int = 0
    top_half_space: int = 0
    rise_half_spaces: int = 0
    floss_role: str = "A"
    strand_count: int = 3
    start: str = "centre"
    centre_at: str = "bottom"
    is_back_smocking: bool = False
    meets_row_above: bool = False


@action
def add_chart(
    *, name: str, note: str, rows: Sequence[RowEntry], by: Person, at: datetime, request_key: str = ""
) -> Chart:
    """Add a chart with its rows from the top."""
    if Chart.objects.filter(name__iexact=name.strip()).exists():
        raise ChartNameTaken(
            _("There is a chart called “%(name)s” already; please choose another name.") % {"name": name},
            field="name",
        )
    chart = Chart.objects.create(name=name.strip(), number=1, note=note)
    _put_rows(chart, rows)
    record(by=by, at=at, did="add_chart", subject=chart)
    return chart


@action
def change_chart(
    *,
    chart: Chart,
    note: str,
    rows: Sequence[RowEntry],
    by: Person,
    at: datetime,
    request_key: str = "",
) -> Chart:
    """Change a chart; one that a gown has used stays and the change becomes the next number of its name."""
    kept = Chart.objects.select_for_update().get(pk=chart.pk)
    if is_chart_used(kept):
        last = Chart.objects.filter(name=kept.name).aggregate(last=Max("number"))["last"]
        kept = Chart.objects.create(name=kept.name, number=last + 1, note=note)
    else:
        kept.note = note
        kept.save(update_fields=["note"])
        kept.rows.all().delete()
    _put_rows(kept, rows)
    record(by=by, at=at, did="change_chart", subject=kept, changes={"from": [chart.pk, kept.pk]})
    return kept


def _put_rows(chart: Chart, rows: Sequence[RowEntry]) -> None:
    if not rows:
        raise ChartCannotBeWorked(_("A chart needs at least one row."))
    ChartRow.objects.bulk_create(
        ChartRow(chart=chart, position=position, **asdict(row)) for position, row in enumerate(rows, start=1)
    )
    planned = planning_chart(Chart.objects.prefetch_related("rows").get(pk=chart.pk))
    faults = chart_faults(planned, nearest_pleat_counts(planned, 50).at_or_above)
    if faults:
        raise ChartCannotBeWorked(" ".join(fault_sentences(faults)))
