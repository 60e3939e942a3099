"""A compiled smocking chart as lines to draw: one path for each floss and side of the needle."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil

from django.utils.translation import gettext as _

from gowngroup.catalog.drawing.chart_frame import (
    BOTTOM_MM,
    LEAST_PLEAT_MM,
    LETTER_MM,
    MARGIN_MM,
    MOST_PLEAT_MM,
    TOP_MM,
    ChartFrame,
    below_mm,
    chart_frame,
    in_mm,
)
from gowngroup.catalog.drawing.chart_labels import (
    Repeat,
    RowLabels,
    StitchLabel,
    longest_repeat,
    row_labels,
)
from gowngroup.planning.figures import default_values
from gowngroup.planning.smocking import (
    Chart,
    ChartPath,
    CompiledChart,
    CompiledRow,
    PleaterProfile,
    chart_faults,
    compile_chart,
    nearest_pleat_counts,
    shade_paths,
)

LARGE_BEFORE, LARGE_AFTER = 8, 18
SCREEN_WIDTH_MM, SCREEN_HEIGHT_MM = 182.0, 160.0
# Dash patterns in tenths of a millimetre, told apart without colour; a fifth floss starts again with its letter.
DASHES = ("none", "2.2 1.1", "0.7 0.7", "3.6 0.8 0.7 0.8")
ABOVE_MM, BELOW_MM, HOLLOW_MM = 0.8, 0.45, 0.4
NO_LABELS = RowLabels()


@dataclass(frozen=True, slots=True, kw_only=True)
class ChartLine:
    """All stitches of one floss with the thread on one side, as SVG path data in mm.

    A line of the wrong side is hollow: drawn again in white, `hollow_mm` wide.
    """

    floss_role: str
    thread: str
    is_back_smocking: bool
    path: str
    width_mm: float
    hollow_mm: float
    dash: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RowMark:
    """The number of a pleated row and its height in mm."""

    number: int
    y_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class FlossKey:
    """A floss by its letter and the look of its line in words."""

    role: str
    drawn_as: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ChartDrawing:
    """What an SVG of a chart, or of a band of it, needs, in mm; `pleat_count` is the whole chart's."""

    width_mm: float
    height_mm: float
    letter_mm: float
    pleat_count: int
    pleats: str
    rows: str
    starts: str
    centre_x_mm: float | None
    bottom_mm: float
    pleat_width_mm: float
    marks: tuple[RowMark, ...]
    lines: tuple[ChartLine, ...]
    labels: tuple[StitchLabel, ...] = ()
    leaders: str = ""
    repeat: Repeat | None = None

    @property
    def flosses(self) -> tuple[FlossKey, ...]:
        """How each floss is drawn."""
        roles = dict.fromkeys(line.floss_role for line in self.lines)
        return tuple(FlossKey(role=role, drawn_as=dash_name(dash_of(role))) for role in roles)

    @property
    def has_wrong_side(self) -> bool:
        """Is any row sewn on the wrong side?"""
        return any(line.is_back_smocking for line in self.lines)

    @property
    def label_anchor(self) -> str:
        """Which end of the word “centre” stands at the centre, so that it stays inside the drawing."""
        room_mm = 2.1 * self.letter_mm
        if self.centre_x_mm is None or room_mm < self.centre_x_mm < self.width_mm - room_mm:
            return "middle"
        return "start" if self.centre_x_mm <= room_mm else "end"

    @property
    def label_y_mm(self) -> float:
        """Baseline of the words under the chart."""
        return round(self.bottom_mm - 1 + (BOTTOM_MM / LETTER_MM - 0.36) * self.letter_mm, 2)

    @property
    def number_x_mm(self) -> float:
        """Where the numbers of the pleated rows end."""
        return round(1.64 * self.letter_mm, 2)

    @property
    def middle_mm(self) -> float:
        """How far below its middle a line of text has its baseline."""
        return round(self.letter_mm / 3, 2)


def whole_chart(
    compiled: CompiledChart, *, width_mm: float, height_mm: float, letter_mm: float = LETTER_MM
) -> tuple[ChartDrawing, ...]:
    """Every pleat of the chart, in as many bands one under another as keep the pleats apart.

    `height_mm` is what all the bands may take together; the middle pleats stand in both bands of a pair.
    """
    count = band_count(compiled, width_mm=width_mm, letter_mm=letter_mm)
    share = ceil(compiled.pleat_count / count)
    firsts = [max(0, band * share - (1 if band else 0)) for band in range(count)]
    return tuple(
        _drawing(
            compiled,
            pleats=(first, min((band + 1) * share, compiled.pleat_count - 1)),
            width_mm=width_mm,
            height_mm=height_mm / count,
            letter_mm=letter_mm,
        )
        for band, first in enumerate(firsts)
    )


def band_count(compiled: CompiledChart, *, width_mm: float, letter_mm: float = LETTER_MM) -> int:
    """In how many bands one under another the whole chart is drawn."""
    return ceil(compiled.pleat_count * LEAST_PLEAT_MM / (width_mm - MARGIN_MM * letter_mm / LETTER_MM))


def screen_chart(compiled: CompiledChart) -> tuple[ChartDrawing, ...]:
    """Every pleat of the chart in bands, for a page on a screen."""
    return whole_chart(compiled, width_mm=SCREEN_WIDTH_MM, height_mm=SCREEN_HEIGHT_MM)


def sample_chart(chart: Chart, *, pleat_count: int = 50) -> tuple[ChartDrawing, ...]:
    """A chart over the nearest number of pleats that suits every row; no drawing where it cannot be worked."""
    if not chart.rows:
        return ()
    suitable = nearest_pleat_counts(chart, pleat_count).at_or_above
    if chart_faults(chart, suitable):
        return ()
    return screen_chart(compile_chart(chart, suitable, PleaterProfile.from_figures(default_values())))


def chart_detail(
    compiled: CompiledChart,
    *,
    width_mm: float,
    height_mm: float,
    letter_mm: float = LETTER_MM,
    labels: RowLabels = NO_LABELS,
    is_mirrored: bool = False,
) -> ChartDrawing:
    """The middle of the chart, where most rows start, large enough to count stitches; more of the side sewn first."""
    before, after = (LARGE_AFTER, LARGE_BEFORE) if is_mirrored else (LARGE_BEFORE, LARGE_AFTER)
    centre = compiled.pleat_count // 2 - (1 if is_mirrored else 0)
    return _drawing(
        compiled,
        pleats=(max(0, centre - before), min(compiled.pleat_count - 1, centre + after)),
        width_mm=width_mm,
        height_mm=height_mm,
        letter_mm=letter_mm,
        labels=labels,
        repeat_way=-1 if is_mirrored else 1,
    )


def dash_of(role: str) -> str:
    """The dash pattern of a floss by its letter."""
    return DASHES[(ord(role[:1].upper() or "A") - ord("A")) % len(DASHES)]


def dash_name(dash: str) -> str:
    """How a dash pattern looks, in words."""
    names = (_("a whole line"), _("a dashed line"), _("a dotted line"), _("dash and dot"))
    return dict(zip(DASHES, names, strict=True))[dash]


def _drawing(
    compiled: CompiledChart,
    *,
    pleats: tuple[int, int],
    width_mm: float,
    height_mm: float,
    letter_mm: float,
    labels: RowLabels = NO_LABELS,
    repeat_way: int = 0,
) -> ChartDrawing:
    frame = chart_frame(compiled, pleats, (width_mm - labels.width_mm, height_mm), letter_mm)
    centre = compiled.pleat_count / 2 - 0.5
    placed = list(row_labels(compiled, frame, labels))
    lowest_mm = max((label.y_mm + 0.3 * letter_mm for label, _leader in placed), default=0.0)
    return ChartDrawing(
        width_mm=round(frame.right_mm + labels.width_mm, 2),
        height_mm=round(max(frame.bottom_mm + below_mm(letter_mm), lowest_mm), 2),
        letter_mm=letter_mm,
        pleat_count=compiled.pleat_count,
        pleats=_pleats(frame),
        rows=_rows(frame),
        starts=_starts(compiled, frame),
        centre_x_mm=round(frame.x(centre), 2) if frame.first < centre < frame.last else None,
        bottom_mm=round(frame.bottom_mm + 1, 2),
        pleat_width_mm=0.1 if frame.pleat_mm > MOST_PLEAT_MM / 2 else 0.05,
        marks=tuple(
            RowMark(number=index + 1, y_mm=round(frame.y(index), 2))
            for index in range(0, frame.row_count, 1 if frame.row_mm > letter_mm else 2)
        ),
        lines=tuple(_lines(compiled, frame)),
        labels=tuple(label for label, _leader in placed),
        leaders="".join(leader for _label, leader in placed),
        repeat=longest_repeat(compiled, frame, repeat_way) if repeat_way else None,
    )


def _pleats(frame: ChartFrame) -> str:
    height = frame.bottom_mm - TOP_MM + 2
    return "".join(
        f"M{in_mm(frame.x(pleat))} {in_mm(TOP_MM - 1)}v{in_mm(height)}"
        for pleat in range(frame.first, frame.last + 1)
    )


def _rows(frame: ChartFrame) -> str:
    length = frame.pleat_count * frame.pleat_mm
    return "".join(
        f"M{in_mm(frame.margin_mm)} {in_mm(frame.y(index))}h{in_mm(length)}"
        for index in range(frame.row_count)
    )


def _starts(compiled: CompiledChart, frame: ChartFrame) -> str:
    """A small triangle at each row's first stitch, pointing the way it is worked."""
    return "".join(mark for row in compiled.rows for mark in _start_mark(row, frame))


def _start_mark(row: CompiledRow, frame: ChartFrame) -> Iterator[str]:
    first = next(iter(row.moves), None)
    if first is None or not frame.first <= first.from_pleat <= frame.last:
        return
    way = 1 if first.to_pleat > first.from_pleat else -1
    reach = min(0.35 * frame.pleat_mm, 1.6)
    x, y, half = frame.x(first.from_pleat), frame.y(first.from_row - 1), reach
    yield f"M{in_mm(x)} {in_mm(y)}l{in_mm(-way * reach * 1.4)} {in_mm(-half)}v{in_mm(2 * half)}z"


def _lines(compiled: CompiledChart, frame: ChartFrame) -> Iterator[ChartLine]:
    for shade in shade_paths(compiled):
        for thread in ("above", "below"):
            runs = [_run(path, frame) for path in shade.paths if path.thread == thread]
            if data := "".join(runs):
                width_mm = _width_mm(thread, frame)
                hollow_mm = HOLLOW_MM if shade.is_back_smocking else 0.0
                yield ChartLine(
                    floss_role=shade.floss_role,
                    thread=thread,
                    is_back_smocking=shade.is_back_smocking,
                    path=data,
                    width_mm=round(width_mm + hollow_mm, 2),
                    hollow_mm=hollow_mm,
                    dash=dash_of(shade.floss_role),
                )


def _run(path: ChartPath, frame: ChartFrame) -> str:
    points = [point for point in path.points if frame.first <= point[0] <= frame.last]
    if len(points) < 2:
        return ""
    lift = min(0.13 * frame.pleat_mm, 0.5) * (-1 if path.thread == "above" else 1)
    return "M" + "L".join(f"{in_mm(frame.x(x))} {in_mm(frame.y(y) + lift)}" for x, y in points)


def _width_mm(thread: str, frame: ChartFrame) -> float:
    width = ABOVE_MM if thread == "above" else BELOW_MM
    return round(width * min(1.0, 0.4 + frame.pleat_mm / MOST_PLEAT_MM), 2)
