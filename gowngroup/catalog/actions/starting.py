"""A catalog to start from, made through the same actions as one that is typed in."""

from dataclasses import dataclass
from datetime import datetime

from django.utils.translation import gettext as _

from gowngroup.catalog import starting
from gowngroup.catalog.actions.charts import add_chart
from gowngroup.catalog.actions.designs import (
    RevisionDetails,
    SizeEntry,
    add_design,
    set_design_sizes,
)
from gowngroup.catalog.actions.needs import NeedEntry, set_needs
from gowngroup.catalog.actions.pleaters import add_pleater
from gowngroup.catalog.actions.sizes import add_size
from gowngroup.catalog.models import Chart, Design, DesignRevision, PleaterProfile, Size
from gowngroup.catalog.planner import planner_settings
from gowngroup.people.models import Person
from gowngroup.planning.drafting import DraftRules
from gowngroup.planning.sizes import DEFAULT_BANDS
from gowngroup.records.actions import action, record
from gowngroup.records.errors import Taken

_BAND_SOURCE = "own fit to the Fenton medians (Fenton & Kim 2013, BMC Pediatrics 13:59), rounded"
_EXTRAPOLATED = "extrapolated below 500 g: ask the ward"
SIZE_SOURCES = (_BAND_SOURCE, _EXTRAPOLATED)


class CatalogNotEmpty(Taken):
    """There are sizes already."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Who:
    by: Person
    at: datetime


@action
def start_catalog(*, by: Person, at: datetime, request_key: str = "") -> Design:
    """Fill an empty catalog with ten sizes, a usual pleater, three charts and three designs."""
    if Size.objects.exists() or Design.objects.exists():
        raise CatalogNotEmpty(_("The catalog has sizes or designs already; add to them one by one."))
    who = _Who(by=by, at=at)
    sizes = _add_sizes(who)
    if not PleaterProfile.objects.exists():
        add_pleater(
            name=_("usual pleater"), take_up_um=6350, row_space_um=9525, needle_count=24, by=by, at=at
        )
    charts = {
        name: add_chart(name=name, note="", rows=rows, by=by, at=at) for name, rows in starting.CHARTS.items()
    }
    round_neck = _add_round_neck(who, sizes, charts["Brook"])
    _add_yoke_gown(who, sizes, charts["Garden gate"])
    _add_wrap(who, sizes)
    record(by=by, at=at, did="start_catalog", subject=round_neck.design)
    return round_neck.design


def _add_sizes(who: _Who) -> list[Size]:
    return [
        add_size(
            lower_mass_g=round(band.lower_mass_g),
            upper_mass_g=round(band.upper_mass_g),
            body_length_um=round(band.body_length_mm * 1000),
            chest_um=None if band.chest_mm is None else round(band.chest_mm * 1000),
            has_armholes=band.has_armholes,
            source=_BAND_SOURCE if band.has_armholes else _EXTRAPOLATED,
            by=who.by,
            at=who.at,
        )
        for band in DEFAULT_BANDS
    ]


def _add_round_neck(who: _Who, sizes: list[Size], chart: Chart) -> DesignRevision:
    details = RevisionDetails(
        chart=chart, difficulty=3, order_of_work=starting.ROUND_NECK_STEPS, stage_ends=(4, 7)
    )
    revision = add_design(
        name=_("Round-necked gown"), kind=Design.Kind.ROUND_NECK, details=details, by=who.by, at=who.at
    )
    rules = DraftRules.from_figures(planner_settings().figures)
    entries = [SizeEntry(size=size) for size in sizes if size.lower_mass_g >= rules.worn_from_mass_g]
    set_design_sizes(revision=revision, entries=entries, by=who.by, at=who.at)
    needs = (
        NeedEntry(kind="lace", place=_("sleeve hems"), edge="sleeve_hem"),
        NeedEntry(kind="notion", place=_("flat fastening, not of metal")),
    )
    return set_needs(revision=revision, needs=needs, by=who.by, at=who.at)


def _add_yoke_gown(who: _Who, sizes: list[Size], chart: Chart) -> DesignRevision:
    details = RevisionDetails(chart=chart, difficulty=2, order_of_work=starting.YOKE_STEPS, stage_ends=(1, 3))
    revision = add_design(
        name=_("Yoke gown with a smocked front"),
        kind=Design.Kind.YOKE,
        details=details,
        by=who.by,
        at=who.at,
    )
    entries = [SizeEntry(size=size) for size in sizes if size.has_armholes]
    set_design_sizes(revision=revision, entries=entries, by=who.by, at=who.at)
    needs = (
        NeedEntry(kind="lace", place=_("sleeve hems"), edge="sleeve_hem", gather_percent=150),
        NeedEntry(kind="notion", place=_("flat fastening, not of metal")),
    )
    return set_needs(revision=revision, needs=needs, by=who.by, at=who.at)


def _add_wrap(who: _Who, sizes: list[Size]) -> DesignRevision:
    details = RevisionDetails(
        closure=DesignRevision.Closure.WRAP, difficulty=1, order_of_work=starting.WRAP_STEPS
    )
    revision = add_design(
        name=_("Wrap for the smallest"),
        kind=Design.Kind.WRAP,
        details=details,
        by=who.by,
        at=who.at,
    )
    made_in = [size for size in sizes if not size.has_armholes]
    set_design_sizes(
        revision=revision, entries=[SizeEntry(size=size) for size in made_in], by=who.by, at=who.at
    )
    bow = NeedEntry(
        kind="ribbon", place=_("bow, stitched flat"), lengths_um={size.pk: 160_000 for size in made_in}
    )
    return set_needs(revision=revision, needs=(bow,), by=who.by, at=who.at)
