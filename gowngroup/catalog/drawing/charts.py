"""A smocking chart drawn from its compiled stitches: pleats across, row spaces down."""

from dataclasses import dataclass

from gowngroup.catalog.drawing.svg import Point, open_path, view_box
from gowngroup.planning.figures import default_values
from gowngroup.planning.smocking import (
    Chart,
    ChartPath,
    CompiledChart,
    PleaterProfile,
    chart_faults,
    compile_chart,
    nearest_pleat_counts,
    shade_paths,
)

PLEAT, SPACE, MARGIN = 6.0, 16.0, 12.0
OFFSET = {"above": -1.6, "below": 1.6}  # of a level stitch, so that the side of the thread can be seen


@dataclass(frozen=True, slots=True, kw_only=True)
class StitchLine:
    """All stitches of one floss on one face of the cloth."""

    role: str
    is_back: bool
    d: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RowLabel:
    """The number of a pleated row and where it stands."""

    number: int
    y: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ChartDrawing:
    """A chart to draw: pleats and rows as thin lines, the centre, and the stitches floss by floss."""

    view_box: str
    width: float
    height: float
    pleat_count: int
    pleats: str
    rows: str
    centre: str
    labels: tuple[RowLabel, ...]
    stitches: tuple[StitchLine, ...]


def sample_drawing(chart: Chart, *, pleat_count: int = 50) -> ChartDrawing | None:
    """A chart over the nearest number of pleats that suits every row, or None where it cannot be worked."""
    if not chart.rows:
        return None
    suitable = nearest_pleat_counts(chart, pleat_count).at_or_above
    if chart_faults(chart, suitable):
        return None
    pleater = PleaterProfile.from_figures(default_values())
    return chart_drawing(compile_chart(chart, suitable, pleater))


def chart_drawing(compiled: CompiledChart) -> ChartDrawing:
    """The drawing of a compiled chart."""
    pleats, rows = compiled.pleat_count, compiled.chart.row_count
    right, bottom = (pleats - 1) * PLEAT, (rows - 1) * SPACE
    middle = right / 2
    return ChartDrawing(
        view_box=view_box(-2 * MARGIN, -MARGIN, right + MARGIN, bottom + MARGIN),
        width=right + 3 * MARGIN,
        height=bottom + 2 * MARGIN,
        pleat_count=pleats,
        pleats="".join(
            open_path(((i * PLEAT, -MARGIN / 2), (i * PLEAT, bottom + MARGIN / 2))) for i in range(pleats)
        ),
        rows="".join(open_path(((0, row * SPACE), (right, row * SPACE))) for row in range(rows)),
        centre=open_path(((middle, -MARGIN), (middle, bottom + MARGIN))),
        labels=tuple(RowLabel(number=row + 1, y=row * SPACE + 3) for row in range(rows)),
        stitches=tuple(
            StitchLine(
                role=shade.floss_role,
                is_back=shade.is_back_smocking,
                d="".join(_line(path) for path in shade.paths),
            )
            for shade in shade_paths(compiled)
        ),
    )


def _line(path: ChartPath) -> str:
    return open_path([_place(point, path) for point in path.points])


def _place(point: Point, path: ChartPath) -> Point:
    return point[0] * PLEAT, point[1] * SPACE + OFFSET[path.thread]
