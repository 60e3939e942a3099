"""Rows, charts and usual rules that the smocking tests share."""

from dataclasses import replace
from fractions import Fraction

from gowngroup.planning.figures import default_values
from gowngroup.planning.floss import FlossRules
from gowngroup.planning.smocking import Chart, ChartRow, PleaterProfile, Rise

PROFILE = PleaterProfile.from_figures(default_values())
FLOSS = FlossRules.from_figures(default_values())

CABLE = ChartRow(name="cable", stitch="cable", top_row=Fraction(1), floss_role="A")
OUTLINE = replace(CABLE, name="outline", stitch="outline")
STEM = replace(CABLE, name="stem", stitch="stem")
BABY_WAVE = ChartRow(
    name="baby wave", stitch="wave", top_row=Fraction(1), floss_role="B", steps=1, rise="half"
)
TRELLIS = replace(BABY_WAVE, name="three-step trellis", stitch="trellis", steps=3, rise="thirds")


def wave(steps: int, rise: Rise = "full") -> ChartRow:
    """A wave of a number of steps over a rise."""
    return replace(BABY_WAVE, name=f"wave {steps}", steps=steps, rise=rise)


def tall(steps: int, half_spaces: int) -> ChartRow:
    """A trellis of a number of steps that rises so many halves of a row space."""
    row = replace(BABY_WAVE, name=f"trellis {steps} over {half_spaces}/2", stitch="trellis", steps=steps)
    return replace(row, rise="halves", rise_half_spaces=half_spaces)


def chart_of(*rows: ChartRow, row_count: int = 9) -> Chart:
    """A chart of these rows with room for all of them."""
    return Chart(name="test", row_count=row_count, rows=rows)


# Derived: the group's worked batch, two cable rows of one shade and six wave rows of another.
BATCH_CHART = chart_of(
    replace(CABLE, name="cable 1"),
    *(replace(BABY_WAVE, name=f"wave {n}", top_row=Fraction(n)) for n in range(2, 8)),
    replace(CABLE, name="cable 2", top_row=Fraction(8)),
)
