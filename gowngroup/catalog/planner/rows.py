"""Rows of the catalog as planning values."""

from dataclasses import replace
from fractions import Fraction
from math import ceil
from typing import cast

from gowngroup.catalog import models
from gowngroup.catalog.limits import MOST_PLEATED_ROWS
from gowngroup.catalog.planner.values import PlannerSettings
from gowngroup.planning import smocking
from gowngroup.planning.sizes import SizeBand, head_girth_mm
from gowngroup.records.queries import figures_in_force

UM_PER_MM = 1000.0
_RISES: dict[int, smocking.Rise] = {0: "level", 1: "half", 2: "full"}


def planner_settings() -> PlannerSettings:
    """The figures in force and the pleater in use, or the usual pleater where the group has none."""
    figures = figures_in_force()
    usual = smocking.PleaterProfile.from_figures(figures)
    row = models.PleaterProfile.objects.filter(is_in_use=True).first()
    return PlannerSettings(figures=figures, pleater=pleater_of(row, usual) if row else usual)


def pleater_of(row: models.PleaterProfile, usual: smocking.PleaterProfile) -> smocking.PleaterProfile:
    """The group's own pleater; ends, spare pleats and holding rows stay as usual."""
    return replace(usual, take_up_mm=row.take_up_um / UM_PER_MM, row_space_mm=row.row_space_um / UM_PER_MM)


def size_band(size: models.Size, settings: PlannerSettings) -> SizeBand:
    """A size with the measures the group has for it; the head comes from the weight."""
    return SizeBand(
        name=size.band,
        lower_mass_g=size.lower_mass_g,
        upper_mass_g=size.upper_mass_g,
        body_length_mm=size.body_length_um / UM_PER_MM,
        chest_mm=None if size.chest_um is None else size.chest_um / UM_PER_MM,
        head_mm=head_girth_mm(mass_g=size.upper_mass_g, values=settings.figures),
        has_armholes=size.has_armholes,
    )


def planning_chart(chart: models.Chart) -> smocking.Chart:
    """A chart with as many design rows as its lowest stitch reaches, but no more than any gown has pleated."""
    rows = tuple(_planning_row(row) for row in chart.rows.all())
    lowest = max((row.bottom_row for row in rows), default=Fraction(1))
    return smocking.Chart(name=str(chart), row_count=min(ceil(lowest), MOST_PLEATED_ROWS), rows=rows)


def _planning_row(row: models.ChartRow) -> smocking.ChartRow:
    return smocking.ChartRow(
        name=str(row.position),
        stitch=cast(smocking.Stitch, row.stitch),
        top_row=1 + Fraction(row.top_half_space, 2),
        floss_role=row.floss_role,
        steps=row.step_count,
        rise=_RISES.get(row.rise_half_spaces, "halves"),
        rise_half_spaces=row.rise_half_spaces if row.rise_half_spaces not in _RISES else 0,
        strand_count=row.strand_count,
        start=cast(smocking.Start, row.start),
        centre_at=cast(smocking.Level, row.centre_at),
        first_thread="above" if row.centre_at == "top" else "below",
        is_back_smocking=row.is_back_smocking,
        meets_row_above=row.meets_row_above,
    )
