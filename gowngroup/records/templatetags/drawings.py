"""Decorative drawings worked out from compiled smocking, never painted by hand."""

from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cache
from math import lcm

from django import template

from gowngroup.planning.figures import default_values
from gowngroup.planning.smocking import Chart, ChartPath, ChartRow, PleaterProfile, chart_paths, compile_chart

register = template.Library()

CABLE = ChartRow(name="cable", stitch="cable", top_row=Fraction(1), floss_role="A", start="left")
WAVE = ChartRow(
    name="wave", stitch="wave", top_row=Fraction(4, 3), floss_role="A", steps=2, rise="thirds", start="left"
)
BAND = Chart(
    name="band",
    row_count=3,
    rows=(
        CABLE,
        WAVE,
        replace(WAVE, name="wave back", top_row=Fraction(2), centre_at="top"),
        replace(CABLE, name="cable below", top_row=Fraction(3)),
    ),
)
PLEAT_PX, ROW_PX, STITCH_PX, MARGIN_ROWS, FOLD_SHARE = 7.0, 15.0, 1.9, 0.45, 0.72
THREAD_OFFSET_PX = {"above": -1.1, "below": 1.1}
LEVEL_ROWS = frozenset(row.name for row in BAND.rows if row.stitch == "cable")


@dataclass(frozen=True, slots=True, kw_only=True)
class Tile:
    """One repeat of the band, its lengths in pixels as SVG writes them."""

    name: str
    width: str
    height: str
    fold_width: str
    fold_round: str
    folds_x: tuple[str, ...]
    stitch_width: str
    stitches: tuple[str, ...]


@register.inclusion_tag("_pleat_band.html")
def pleat_band(scale: int = 1) -> dict[str, Tile]:
    """A band of pleats smocked across the whole width, drawn from a compiled chart."""
    return {"tile": _tile(scale)}


@cache
def _tile(scale: int) -> Tile:
    repeat = lcm(*(row.repeat_pleats for row in BAND.rows))
    compiled = compile_chart(BAND, 3 * repeat + 2, PleaterProfile.from_figures(default_values()))
    pleat_px = PLEAT_PX * scale
    return Tile(
        name=f"pleats-{scale}",
        width=_px(repeat * pleat_px),
        height=_px(ROW_PX * scale * (BAND.row_count - 1 + 2 * MARGIN_ROWS)),
        fold_width=_px(FOLD_SHARE * pleat_px),
        fold_round=_px(FOLD_SHARE / 2 * pleat_px),
        folds_x=tuple(_px((index - FOLD_SHARE / 2) * pleat_px) for index in range(repeat + 1)),
        stitch_width=_px(STITCH_PX * scale),
        stitches=tuple(_line(path, repeat, scale) for path in chart_paths(compiled)),
    )


def _line(path: ChartPath, repeat: int, scale: int) -> str:
    """One run of stitches, moved so that the middle repeat of the three lies in the tile."""
    offset_px = THREAD_OFFSET_PX[path.thread] if path.row_name in LEVEL_ROWS else 0.0
    points = (
        ((x - repeat) * PLEAT_PX * scale, ((y + MARGIN_ROWS) * ROW_PX + offset_px) * scale)
        for x, y in path.points
    )
    return "M" + "L".join(f"{_px(x)} {_px(y)}" for x, y in points)


def _px(length: float) -> str:
    return f"{length:.1f}"
