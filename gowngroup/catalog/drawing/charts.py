"""A compiled smocking chart as lines to draw: one path for each floss and side of the needle."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil

from django.utils.translation import gettext as _

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

MARGIN_MM = 9.0  # room for the row numbers
NUMBER_MM = 4.0  # rows closer than this show every second number
TOP_MM, BOTTOM_MM = 3.0, 6.5
LEAST_ROW_MM, MOST_ROW_MM = 3.2, 9.0
LEAST_PLEAT_MM, MOST_PLEAT_MM = 1.7, 6.4
DETAIL_BEFORE, DETAIL_AFTER = 8, 18
SCREEN_WIDTH_MM, SCREEN_HEIGHT_MM = 182.0, 160.0
# Dash patterns in tenths of a millimetre, told apart without colour; a fifth floss starts again with its letter.
DASHES = ("none", "2.2 1.1", "0.7 0.7", "3.6 0.8 0.7 0.8")
ABOVE_MM, BELOW_MM, BACK_MM = 0.8, 0.45, 0.25


@dataclass(frozen=True, slots=True, kw_only=True)
class ChartLine:
    """All stitches of one floss with the thread on one side, as SVG path data in mm."""

    floss_role: str
    thread: str
    is_back_smocking: bool
    path: str
    width_mm: float
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
    pleat_count: int
    pleats: str
    rows: str
    starts: str
    centre_x_mm: float | None
    pleat_width_mm: float
    marks: tuple[RowMark, ...]
    lines: tuple[ChartLine, ...]

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
    def bottom_mm(self) -> float:
        """Where the pleats end."""
        return round(self.height_mm - BOTTOM_MM + 1, 2)

    @property
    def label_anchor(self) -> str:
        """Which end of the word “centre” stands at the centre, so that it stays inside the drawing."""
        room_mm = 8.0
        if self.centre_x_mm is None or room_mm < self.centre_x_mm < self.width_mm - room_mm:
            return "middle"
        return "start" if self.centre_x_mm <= room_mm else "end"

    @property
    def label_y_mm(self) -> float:
        """Baseline of the words under the chart."""
        return round(self.height_mm - 1.4, 2)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Frame:
    first: int
    last: int
    pleat_mm: float
    row_mm: float
    row_count: int

    def x(self, pleat: float) -> float:
        return MARGIN_MM + (pleat - self.first + 0.5) * self.pleat_mm

    def y(self, spaces: float) -> float:
        return TOP_MM + spaces * self.row_mm

    @property
    def pleat_count(self) -> int:
        return self.last - self.first + 1


def whole_chart(compiled: CompiledChart, *, width_mm: float, height_mm: float) -> tuple[ChartDrawing, ...]:
    """Every pleat of the chart, in as many bands one under another as keep the pleats apart.

    `height_mm` is what all the bands may take together; the middle pleats stand in both bands of a pair.
    """
    count = ceil(compiled.pleat_count * LEAST_PLEAT_MM / (width_mm - MARGIN_MM))
    share = ceil(compiled.pleat_count / count)
    firsts = [max(0, band * share - (1 if band else 0)) for band in range(count)]
    return tuple(
        _drawing(
            compiled,
            first=first,
            last=min((band + 1) * share, compiled.pleat_count - 1),
            width_mm=width_mm,
            height_mm=height_mm / count,
        )
        for band, first in enumerate(firsts)
    )


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


def chart_detail(compiled: CompiledChart, *, width_mm: float, height_mm: float) -> ChartDrawing:
    """The middle of the chart, where most rows start, large enough to count stitches."""
    centre = compiled.pleat_count // 2
    first, last = max(0, centre - DETAIL_BEFORE), min(compiled.pleat_count - 1, centre + DETAIL_AFTER)
    return _drawing(compiled, first=first, last=last, width_mm=width_mm, height_mm=height_mm)


def dash_of(role: str) -> str:
    """The dash pattern of a floss by its letter."""
    return DASHES[(ord(role[:1].upper() or "A") - ord("A")) % len(DASHES)]


def dash_name(dash: str) -> str:
    """How a dash pattern looks, in words."""
    names = (_("a whole line"), _("a dashed line"), _("a dotted line"), _("dash and dot"))
    return dict(zip(DASHES, names, strict=True))[dash]


def _drawing(
    compiled: CompiledChart, *, first: int, last: int, width_mm: float, height_mm: float
) -> ChartDrawing:
    spaces = max(compiled.chart.row_count - 1, 1)
    frame = _Frame(
        first=first,
        last=last,
        pleat_mm=min((width_mm - MARGIN_MM) / (last - first + 1), MOST_PLEAT_MM),
        row_mm=min(max((height_mm - TOP_MM - BOTTOM_MM) / spaces, LEAST_ROW_MM), MOST_ROW_MM),
        row_count=compiled.chart.row_count,
    )
    bottom_mm, centre = frame.y(spaces), compiled.pleat_count / 2 - 0.5
    return ChartDrawing(
        width_mm=round(MARGIN_MM + frame.pleat_count * frame.pleat_mm, 2),
        height_mm=round(bottom_mm + BOTTOM_MM, 2),
        pleat_count=compiled.pleat_count,
        pleats=_pleats(frame, bottom_mm),
        rows=_rows(frame),
        starts=_starts(compiled, frame),
        centre_x_mm=round(frame.x(centre), 2) if first < centre < last else None,
        pleat_width_mm=0.1 if frame.pleat_mm > MOST_PLEAT_MM / 2 else 0.05,
        marks=tuple(
            RowMark(number=index + 1, y_mm=round(frame.y(index), 2))
            for index in range(0, frame.row_count, 1 if frame.row_mm > NUMBER_MM else 2)
        ),
        lines=tuple(_lines(compiled, frame)),
    )


def _pleats(frame: _Frame, bottom_mm: float) -> str:
    height = bottom_mm - TOP_MM + 2
    return "".join(
        f"M{_mm(frame.x(pleat))} {_mm(TOP_MM - 1)}v{_mm(height)}"
        for pleat in range(frame.first, frame.last + 1)
    )


def _rows(frame: _Frame) -> str:
    length = frame.pleat_count * frame.pleat_mm
    return "".join(
        f"M{_mm(MARGIN_MM)} {_mm(frame.y(index))}h{_mm(length)}" for index in range(frame.row_count)
    )


def _starts(compiled: CompiledChart, frame: _Frame) -> str:
    """A small triangle at each row's first stitch, pointing the way it is worked."""
    return "".join(mark for row in compiled.rows for mark in _start_mark(row, frame))


def _start_mark(row: CompiledRow, frame: _Frame) -> Iterator[str]:
    first = next(iter(row.moves), None)
    if first is None or not frame.first <= first.from_pleat <= frame.last:
        return
    way = 1 if first.to_pleat > first.from_pleat else -1
    reach = min(0.5 * frame.pleat_mm, 2.0)
    x, y, half = frame.x(first.from_pleat), frame.y(first.from_row - 1), 0.75 * reach
    yield f"M{_mm(x)} {_mm(y)}l{_mm(-way * reach * 1.4)} {_mm(-half)}v{_mm(2 * half)}z"


def _lines(compiled: CompiledChart, frame: _Frame) -> Iterator[ChartLine]:
    for shade in shade_paths(compiled):
        for thread in ("above", "below"):
            runs = [_run(path, frame) for path in shade.paths if path.thread == thread]
            if data := "".join(runs):
                yield ChartLine(
                    floss_role=shade.floss_role,
                    thread=thread,
                    is_back_smocking=shade.is_back_smocking,
                    path=data,
                    width_mm=_width_mm(thread, frame, is_back=shade.is_back_smocking),
                    dash=dash_of(shade.floss_role),
                )


def _run(path: ChartPath, frame: _Frame) -> str:
    points = [point for point in path.points if frame.first <= point[0] <= frame.last]
    if len(points) < 2:
        return ""
    lift = min(0.13 * frame.pleat_mm, 0.5) * (-1 if path.thread == "above" else 1)
    return "M" + "L".join(f"{_mm(frame.x(x))} {_mm(frame.y(y) + lift)}" for x, y in points)


def _width_mm(thread: str, frame: _Frame, *, is_back: bool) -> float:
    width = BACK_MM if is_back else ABOVE_MM if thread == "above" else BELOW_MM
    return round(width * min(1.0, 0.4 + frame.pleat_mm / MOST_PLEAT_MM), 2)


def _mm(length: float) -> str:
    return f"{length:.2f}".rstrip("0").rstrip(".")
