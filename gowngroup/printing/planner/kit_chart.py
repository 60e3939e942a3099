"""The smocking chart as it stands on a kit sheet, for the right or the left hand, and what is said of it."""

from collections.abc import Callable
from dataclasses import dataclass
from itertools import groupby

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from gowngroup.catalog.drawing import (
    MOST_ROW_MM,
    ChartDrawing,
    RowLabels,
    band_count,
    chart_detail,
    whole_chart,
)
from gowngroup.catalog.planner.row_words import stitch_name
from gowngroup.planning.smocking import ChartRow, CompiledChart, mirrored
from gowngroup.printing import first_page
from gowngroup.printing.planner.pattern.words import text_width_mm, wrapped
from gowngroup.records.reader import current_reader

LABEL_SHARES = (0.29, 0.36, 0.43)  # of the width of the text, as many as keep the names beside their rows
STRIP_ROW_MM = 4.2


@dataclass(frozen=True, slots=True, kw_only=True)
class KitChart:
    """A chart turned for the hand that sews it.

    `sentences` say where rows start and on which side, `sentences_in_brief` the same in fewer words,
    `other_sentences` what lines mean that explain themselves.
    """

    compiled: CompiledChart
    labels: RowLabels
    sentences: tuple[str, ...]
    sentences_in_brief: tuple[str, ...]
    other_sentences: tuple[str, ...]
    is_left_handed: bool

    @property
    def least_mm(self) -> float:
        """Height in mm the middle of the chart needs at least for its rows and their names."""
        rows_mm = 10.0 * first_page.type_mm() / 3.9 + 3.2 * max(self.compiled.chart.row_count - 1, 1)
        return max(first_page.SMALL_CHART_MM, _labels_mm(self.labels) + 2.0, rows_mm)

    @property
    def needs_strip(self) -> bool:
        """Is there something at the sides that the middle does not show?"""
        return any(row.spare_each_side or row.row.start != "centre" for row in self.compiled.rows)

    def detail(self, height_mm: float) -> ChartDrawing:
        """The middle of the chart with the names of its rows."""
        return chart_detail(
            self.compiled,
            width_mm=first_page.text_width_mm(),
            height_mm=height_mm,
            letter_mm=round(first_page.type_mm(), 2),
            labels=self.labels,
            is_mirrored=self.is_left_handed,
        )

    @property
    def strip_mm(self) -> float:
        """Height in mm of the whole chart."""
        return self._band_count * self._band_mm

    def strip(self) -> tuple[ChartDrawing, ...]:
        """Every pleat of the chart, small."""
        return whole_chart(
            self.compiled,
            width_mm=first_page.text_width_mm(),
            height_mm=self.strip_mm,
            letter_mm=round(first_page.type_mm(), 2),
        )

    @property
    def _band_count(self) -> int:
        return band_count(
            self.compiled, width_mm=first_page.text_width_mm(), letter_mm=round(first_page.type_mm(), 2)
        )

    @property
    def _band_mm(self) -> float:
        rows_mm = STRIP_ROW_MM * max(self.compiled.chart.row_count - 1, 1)
        return rows_mm + 3.0 + 7.0 * first_page.type_mm() / 3.9


def kit_chart(compiled: CompiledChart) -> KitChart:
    """The chart for the hand the reader sews with."""
    is_left_handed = current_reader().is_left_handed
    turned = mirrored(compiled) if is_left_handed else compiled
    return KitChart(
        compiled=turned,
        labels=_labels(turned),
        sentences=(_("Black arrow: where a row starts."), *_sentences(turned, is_left_handed=is_left_handed)),
        sentences_in_brief=_sentences_in_brief(turned, is_left_handed=is_left_handed),
        other_sentences=(_("Upright: a pleat. Dotted: a pleating thread."), _repeats(turned)),
        is_left_handed=is_left_handed,
    )


def row_label(number: int, row: ChartRow) -> str:
    """A row of stitches as it is called beside the chart: `no. 3 trellis of 3 steps, B`."""
    label = _("no. %(number)s %(stitch)s, %(floss)s") % {
        "number": number,
        "stitch": stitch_name(row),
        "floss": row.floss_role,
    }
    return ", ".join((label, _("wrong side"))) if row.is_back_smocking else label


def _labels(compiled: CompiledChart) -> RowLabels:
    """The names of the rows in a column as narrow as leaves them room one under another."""
    tallest_mm = MOST_ROW_MM * max(compiled.chart.row_count - 1, 1)
    made = [_labels_in(compiled, share * first_page.text_width_mm()) for share in LABEL_SHARES]
    return next((labels for labels in made if _labels_mm(labels) <= tallest_mm), made[-1])


def _labels_in(compiled: CompiledChart, room_mm: float) -> RowLabels:
    size_mm = 0.9 * first_page.type_mm()  # running text is lighter than the widths reckon with
    lines = tuple(
        wrapped(row_label(number, row.row), room_mm - 4.0, size_mm)
        for number, row in enumerate(compiled.rows, start=1)
    )
    widest_mm = max((text_width_mm(line, size_mm) for row in lines for line in row), default=0.0)
    return RowLabels(lines=lines, width_mm=round(min(widest_mm + 4.0, room_mm), 2))


def _labels_mm(labels: RowLabels) -> float:
    """Height in mm of the names one under another."""
    return 1.1 * first_page.type_mm() * sum(len(lines) for lines in labels.lines)


def _sentences(compiled: CompiledChart, *, is_left_handed: bool) -> list[str]:
    said = [_("Drawn for the left hand.")] if is_left_handed else []
    said += _starts(compiled)
    if any(row.is_back_smocking for row in compiled.chart.rows):
        said.append(
            _("Turn the work over for a row on the wrong side; left and right are as you then see them.")
        )
    return said


def _sentences_in_brief(compiled: CompiledChart, *, is_left_handed: bool) -> tuple[str, ...]:
    """In fewer words where all rows start at the centre, as the chart shows, and none is on the wrong side."""
    rows = compiled.chart.rows
    if any(row.is_back_smocking or row.start != "centre" for row in rows):
        return (_("Black arrow: where a row starts."), *_sentences(compiled, is_left_handed=is_left_handed))
    start = _("Black arrow: where a row starts, each half with a fresh thread, first the way it points.")
    return (*((_("Drawn for the left hand."),) if is_left_handed else ()), start)


def _starts(compiled: CompiledChart) -> list[str]:
    places = {
        "centre": _(
            "at the centre: each half with a fresh thread, first the way the arrow points, then the other"
        ),
        "left": _("at the left edge"),
        "right": _("at the right edge"),
    }
    found = _by(compiled, lambda row: row.start)
    if len(found) == 1:
        return [_("Every row starts %(place)s.") % {"place": places[start]} for start in found]
    return [
        ngettext("No. %(rows)s starts %(place)s.", "Nos. %(rows)s start %(place)s.", len(numbers))
        % {"rows": _listed(numbers), "place": places[start]}
        for start, numbers in found.items()
    ]


def _repeats(compiled: CompiledChart) -> str:
    """`Pleats to a repeat: 2 in nos. 1, 5; 8 in nos. 2–3.`"""
    found = _by(compiled, lambda row: str(row.repeat_pleats))
    parts = [
        ngettext("%(count)s in no. %(rows)s", "%(count)s in nos. %(rows)s", len(numbers))
        % {"rows": _listed(numbers), "count": count}
        for count, numbers in found.items()
    ]
    return _("Pleats to a repeat: %(parts)s.") % {"parts": "; ".join(parts)}


def _by(compiled: CompiledChart, key: Callable[[ChartRow], str]) -> dict[str, list[int]]:
    found: dict[str, list[int]] = {}
    for number, row in enumerate(compiled.chart.rows, start=1):
        found.setdefault(key(row), []).append(number)
    return found


def _listed(numbers: list[int]) -> str:
    """`1, 3–5`."""
    runs = [list(run) for _key, run in groupby(numbers, key=lambda number: number - numbers.index(number))]
    return ", ".join(str(run[0]) if len(run) == 1 else f"{run[0]}–{run[-1]}" for run in runs)
