"""Which row of stitches each card works, compiled as the planner compiles a chart, for the hand that reads."""

from dataclasses import dataclass, replace
from fractions import Fraction

from gowngroup.catalog.planner import PlannerSettings
from gowngroup.planning.smocking import (
    Chart,
    ChartRow,
    CompiledChart,
    CompiledRow,
    Move,
    Rise,
    Stitch,
    ThreadPositions,
    compile_chart,
    mirrored,
)

_ROLE = "A"
SAMPLE_PLEATS = 18  # used whole by cable and baby wave


def _row(stitch: Stitch, *, steps: int = 0, rise: Rise = "level", is_behind: bool = False) -> ChartRow:
    return ChartRow(
        name="1",
        stitch=stitch,
        top_row=Fraction(1),
        floss_role=_ROLE,
        steps=steps,
        rise=rise,
        is_back_smocking=is_behind,
    )


# The stitches of the charts (common practice, no source): a baby wave rises half a space, the others a whole one.
ROWS: dict[str, ChartRow] = {
    "cable": _row("cable"),
    "outline": _row("outline"),
    "stem": _row("stem"),
    "wave": _row("wave", steps=1, rise="half"),
    "wave-2": _row("wave", steps=2, rise="full"),
    "trellis": _row("trellis", steps=3, rise="thirds"),
    "trellis-4": _row("trellis", steps=4, rise="quarters"),
    "back-smocking": _row("cable", is_behind=True),
}
_BY_STEPS = {1: "wave", 2: "wave-2", 3: "trellis"}


def card_key(stitch: str, steps: int) -> str:
    """The card on which a row's stitch is shown; waves and trellises by their steps, the largest from four on."""
    return stitch if not steps else _BY_STEPS.get(steps, "trellis-4")


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkedRow:
    """A card's row over just the pleats it needs, as its worker sees it.

    `run` is worked first: from the centre, one whole repeat and the stitch after it, or five level stitches.
    """

    chart: CompiledChart

    @property
    def compiled(self) -> CompiledRow:
        """The row."""
        return self.chart.rows[0]

    @property
    def run(self) -> tuple[Move, ...]:
        """The stitches of the half that is worked first."""
        return self.compiled.runs[0]

    def seen_from_behind(self) -> "WorkedRow":
        """The same row as it shows on the other side of the cloth."""
        return WorkedRow(chart=mirrored(self.chart))

    @property
    def other_run(self) -> tuple[Move, ...]:
        """The stitches of the half that is worked second."""
        return self.compiled.runs[1]


def worked_row(key: str, settings: PlannerSettings, *, is_left_handed: bool) -> WorkedRow:
    """The row of a card in the group's habit of laying the thread, turned for the hand and the side of the cloth."""
    row = ROWS[key]
    compiled = compile_chart(
        Chart(name=key, row_count=2, rows=(row,)),
        _pleat_count(row),
        settings.pleater,
        threads=ThreadPositions.from_figures(settings.figures),
    )
    # The wrong side shows the chart from behind, so that a row there runs the other way already.
    is_turned = is_left_handed != row.is_back_smocking
    return WorkedRow(chart=mirrored(compiled) if is_turned else compiled)


def _pleat_count(row: ChartRow) -> int:
    """Even, with two half repeats beside the centre turn at each side, or room for five level stitches (derived)."""
    return 4 * row.steps + 6 if row.steps else 10


def sample_rows(settings: PlannerSettings) -> CompiledChart:
    """A chart of a row of cable and a baby wave, to say what is what in a chart."""
    wave = replace(ROWS["wave"], name="2", top_row=Fraction(2), floss_role="B")
    chart = Chart(name="sample", row_count=3, rows=(ROWS["cable"], wave))
    threads = ThreadPositions.from_figures(settings.figures)
    return compile_chart(chart, SAMPLE_PLEATS, settings.pleater, threads=threads)
