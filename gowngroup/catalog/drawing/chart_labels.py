"""What stands round a drawn chart: the names of its rows, each led to its row, and the pleats of one repeat."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from gowngroup.catalog.drawing.chart_frame import ChartFrame, below_mm, in_mm
from gowngroup.planning.smocking import CompiledChart, CompiledRow

LABEL_GAP_MM = 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class StitchLabel:
    """One line of what a row of stitches is called, beside the chart."""

    text: str
    x_mm: float
    y_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class RowLabels:
    """What stands to the right of a chart: the lines of text of each row of stitches, and the room they take."""

    lines: tuple[tuple[str, ...], ...] = ()
    width_mm: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Repeat:
    """The pleats of the longest repeat, marked from the centre on."""

    pleat_count: int
    path: str
    x_mm: float
    anchor: str


def row_labels(
    compiled: CompiledChart, frame: ChartFrame, labels: RowLabels
) -> Iterator[tuple[StitchLabel, str]]:
    """The words of each row as near to where it ends as they can stand, each with a line that leads to it."""
    ends = [(_row_end(row, frame), lines) for row, lines in zip(compiled.rows, labels.lines, strict=False)]
    ends.sort(key=lambda end: end[0][1])
    line_mm = 1.1 * frame.letter_mm
    heights = [line_mm * len(lines) for _end, lines in ends]
    low_mm, high_mm = 0.3 * line_mm, frame.bottom_mm + below_mm(frame.letter_mm)
    tops = spread(
        [y - height / 2 for ((_x, y), _), height in zip(ends, heights, strict=True)], heights, low_mm, high_mm
    )
    for ((x_mm, y_mm), lines), top_mm, height in zip(ends, tops, heights, strict=True):
        text_x = frame.right_mm + LABEL_GAP_MM + 0.6
        leader = f"M{in_mm(x_mm)} {in_mm(y_mm)}L{in_mm(text_x - 0.6)} {in_mm(top_mm + height / 2)}"
        for at, line in enumerate(lines):
            y = top_mm + line_mm * at + 0.85 * frame.letter_mm
            yield StitchLabel(text=line, x_mm=round(text_x, 2), y_mm=round(y, 2)), "" if at else leader


def _row_end(row: CompiledRow, frame: ChartFrame) -> tuple[float, float]:
    """The right end of what is drawn of a row, a little beyond its last pleat."""
    places = [
        place
        for move in row.moves
        for place in ((move.from_pleat, move.from_row), (move.to_pleat, move.to_row))
    ]
    pleat, height = max(place for place in places if place[0] <= frame.last)
    return frame.x(pleat) + 0.2 * frame.pleat_mm, frame.y(height - 1)


def spread(tops: Sequence[float], heights: Sequence[float], low: float, high: float) -> list[float]:
    """Blocks in a column pushed apart, first downwards, then back up, so that all lie between two heights.

    Where there is no room for all they lie one under another from the top.
    """
    placed: list[float] = []
    free = low
    for top, height in zip(tops, heights, strict=True):
        placed.append(max(top, free))
        free = placed[-1] + height
    free = high
    for at in reversed(range(len(placed))):
        placed[at] = free = min(placed[at], free - heights[at])
    if placed and placed[0] < low:
        return [low + sum(heights[:at]) for at in range(len(placed))]
    return placed


def longest_repeat(compiled: CompiledChart, frame: ChartFrame, way: int) -> Repeat | None:
    """A bracket under the pleats of the longest repeat, from the centre the way that is sewn first."""
    count = max((row.row.repeat_pleats for row in compiled.rows), default=0)
    centre = compiled.pleat_count // 2 - (1 if way < 0 else 0)
    near, far = frame.x(centre - 0.5 * way), frame.x(centre + way * (count - 0.5))
    if count < 2 or not frame.margin_mm <= min(near, far) < max(near, far) <= frame.right_mm:
        return None
    y = frame.bottom_mm + 1.3
    return Repeat(
        pleat_count=count,
        path=f"M{in_mm(near + 0.4 * way)} {in_mm(y)}v0.8H{in_mm(far - 0.4 * way)}v-0.8",
        x_mm=round(frame.x(centre) + way * (0.5 * frame.pleat_mm + 2.1 * frame.letter_mm), 2),
        anchor="start" if way > 0 else "end",
    )
