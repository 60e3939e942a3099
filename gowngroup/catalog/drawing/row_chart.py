"""A smocking chart for a screen, large enough to count stitches: one row strong, or all of them; in CSS pixels."""

from collections.abc import Collection, Iterator
from dataclasses import dataclass

from gowngroup.catalog.drawing.charts import RowMark, dash_of
from gowngroup.planning.smocking import ChartPath, CompiledChart, CompiledRow, row_paths

PLEAT_PX, SPACE_PX = 28.0, 52.0
TOP_PX, FOOT_PX = 22.0, 44.0
LIFT_PX, ARROW_PX, ARROW_AWAY_PX = 3.0, 13.0, 14.0
PX_PER_DASH_MM = 4.5
COUNTED_PLEATS = 10


@dataclass(frozen=True, slots=True, kw_only=True)
class StrongLine:
    """The stitches of a row that is to be sewn, those with the thread on one side, as path data."""

    row_number: int
    thread: str
    path: str
    dash: str
    is_back_smocking: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class FaintRow:
    """A row drawn only to show where the others lie."""

    number: int
    path: str
    is_done: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class PleatCount:
    """How many pleats out from the centre lie up to here."""

    count: int
    x: float


@dataclass(frozen=True, slots=True, kw_only=True)
class RowChart:
    """What an SVG of a chart needs: rows to be sewn are strong, where they start is marked, the others are faint."""

    width: float
    height: float
    pleats: str
    rows: str
    bottom: float
    centre_x: float
    marks: tuple[RowMark, ...]
    counts: tuple[PleatCount, ...]
    faint: tuple[FaintRow, ...]
    lines: tuple[StrongLine, ...]
    first_starts: str
    second_starts: str
    start_x: float


def row_chart(compiled: CompiledChart, *, number: int | None = None, done: Collection[int] = ()) -> RowChart:
    """Every pleat of a chart with one row strong, counted from 1 at the top, or all rows where none is named."""
    numbered = list(enumerate(compiled.rows, start=1))
    strong = [(at, row) for at, row in numbered if number in (None, at)]
    last_y = _y(max(compiled.chart.row_count - 1, 1))
    starts = [_starts(row) for _at, row in strong]
    return RowChart(
        width=compiled.pleat_count * PLEAT_PX,
        height=last_y + FOOT_PX,
        pleats="".join(f"M{_px(_x(pleat))} 8V{_px(last_y + 12)}" for pleat in range(compiled.pleat_count)),
        rows="".join(
            f"M0 {_px(_y(space))}H{_px(compiled.pleat_count * PLEAT_PX)}"
            for space in range(compiled.chart.row_count)
        ),
        bottom=last_y + 12,
        centre_x=compiled.pleat_count * PLEAT_PX / 2,
        marks=tuple(RowMark(number=at + 1, y_mm=_y(at)) for at in range(compiled.chart.row_count)),
        counts=tuple(_counts(compiled.pleat_count)),
        faint=tuple(
            FaintRow(number=at, path="".join(map(_run, row_paths(row))), is_done=at in done)
            for at, row in numbered
            if number not in (None, at)
        ),
        lines=tuple(line for at, row in strong for line in _lines(at, row)),
        first_starts="".join(first for first, _second in starts),
        second_starts="".join(second for _first, second in starts),
        start_x=_x(strong[0][1].moves[0].from_pleat) if strong and strong[0][1].moves else 0.0,
    )


def _x(pleat: float) -> float:
    return (pleat + 0.5) * PLEAT_PX


def _y(spaces: float) -> float:
    return TOP_PX + spaces * SPACE_PX


def _px(length: float) -> str:
    return f"{length:.1f}".rstrip("0").rstrip(".")


def _counts(pleat_count: int) -> Iterator[PleatCount]:
    half = pleat_count // 2
    for count in range(COUNTED_PLEATS, half + 1, COUNTED_PLEATS):
        yield PleatCount(count=count, x=_x(half - count))
        yield PleatCount(count=count, x=_x(half + count - 1))


def _lines(number: int, row: CompiledRow) -> Iterator[StrongLine]:
    paths = row_paths(row)
    for thread in ("above", "below"):
        if data := "".join(_run(path) for path in paths if path.thread == thread):
            yield StrongLine(
                row_number=number,
                thread=thread,
                path=data,
                dash=_dash(row.row.floss_role),
                is_back_smocking=row.row.is_back_smocking,
            )


def _run(path: ChartPath) -> str:
    lift = -LIFT_PX if path.thread == "above" else LIFT_PX
    return "M" + "L".join(f"{_px(_x(x))} {_px(_y(y) + lift)}" for x, y in path.points)


def _dash(role: str) -> str:
    """The dash pattern of a floss, as on paper; empty for a whole line."""
    dash = dash_of(role)
    return "" if dash == "none" else " ".join(_px(PX_PER_DASH_MM * float(part)) for part in dash.split())


def _starts(row: CompiledRow) -> tuple[str, str]:
    """An arrow above the row where its first needleful starts, and one below it for the second half, if there is one."""
    arrows = [
        _arrow(run[0].from_pleat, run[0].to_pleat, _y(run[0].from_row - 1) + away)
        for run, away in zip(row.runs, (-ARROW_AWAY_PX, ARROW_AWAY_PX), strict=False)
        if run
    ]
    first, second = [*arrows, "", ""][:2]
    return first, second


def _arrow(pleat: int, onward: int, y: float) -> str:
    way, half = (1 if onward > pleat else -1), ARROW_PX / 2
    tail = f"M{_px(_x(pleat))} {_px(y)}h{_px(1.4 * ARROW_PX * way)}"
    head = f"v{_px(-half)}l{_px(ARROW_PX * way)} {_px(half)}l{_px(-ARROW_PX * way)} {_px(half)}v{_px(-half)}z"
    return tail + head
