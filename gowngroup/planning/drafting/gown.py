"""Drafting by kind: one call for every kind of gown, and the measures of each that a group may set by hand."""

from collections.abc import Mapping

from gowngroup.planning.drafting.closures import NO_CLOSURE, ONE_FLAT_FASTENING, Closure
from gowngroup.planning.drafting.draft import Draft
from gowngroup.planning.drafting.kinds import DraftKind, GownMeasure, Purpose
from gowngroup.planning.drafting.measures import ROUND_NECK_MEASURES
from gowngroup.planning.drafting.round_neck import draft_round_neck
from gowngroup.planning.drafting.rules import DraftRules
from gowngroup.planning.drafting.wrap import draft_wrap
from gowngroup.planning.drafting.wrap_measures import WRAP_MEASURES
from gowngroup.planning.drafting.yoke_gown import draft_yoke_gown
from gowngroup.planning.drafting.yoke_measures import YOKE_MEASURES
from gowngroup.planning.sizes import SizeBand
from gowngroup.planning.smocking import Chart

_MEASURES: Mapping[DraftKind, tuple[GownMeasure, ...]] = {
    "round-neck": ROUND_NECK_MEASURES,
    "yoke": YOKE_MEASURES,
    "wrap": WRAP_MEASURES,
}


def draft_gown(
    kind: DraftKind,
    *,
    size: SizeBand,
    rules: DraftRules,
    purpose: Purpose,
    pleater_take_up_mm: float,
    pleater_row_space_mm: float,
    closure: Closure | None = None,
    overrides: Mapping[str, float] | None = None,
    chart: Chart | None = None,
) -> Draft:
    """The draft of a kind, all lengths in mm; `closure` is the usual one of the kind where none is given.

    The pleater counts for smocked gowns, the chart for a yoke gown. Raises CannotDraft.
    """
    if kind == "wrap":
        return draft_wrap(
            size=size, rules=rules, purpose=purpose, closure=closure or NO_CLOSURE, overrides=overrides
        )
    if kind == "yoke":
        return draft_yoke_gown(
            size=size,
            rules=rules,
            purpose=purpose,
            pleater_take_up_mm=pleater_take_up_mm,
            pleater_row_space_mm=pleater_row_space_mm,
            closure=closure or ONE_FLAT_FASTENING,
            overrides=overrides,
            chart=chart,
        )
    return draft_round_neck(
        size=size,
        rules=rules,
        purpose=purpose,
        pleater_take_up_mm=pleater_take_up_mm,
        pleater_row_space_mm=pleater_row_space_mm,
        closure=closure or ONE_FLAT_FASTENING,
        overrides=overrides,
    )


def measures_of(kind: DraftKind) -> tuple[GownMeasure, ...]:
    """The measures of a kind that a group may set by hand, each with its label, unit and limits."""
    return _MEASURES[kind]


def measures_in_force(draft: Draft) -> dict[str, float]:
    """The measures a draft was made by, by name, in the order of `measures_of` its kind."""
    return {each.name: float(getattr(draft.measures, each.name)) for each in measures_of(draft.kind)}


def usual_measures(
    kind: DraftKind,
    *,
    size: SizeBand,
    rules: DraftRules,
    purpose: Purpose,
    pleater_take_up_mm: float,
    pleater_row_space_mm: float,
    chart: Chart | None = None,
) -> dict[str, float]:
    """The measures of a size where the group has set none, in mm or as counts, by name. Raises CannotDraft."""
    return measures_in_force(
        draft_gown(
            kind,
            size=size,
            rules=rules,
            purpose=purpose,
            pleater_take_up_mm=pleater_take_up_mm,
            pleater_row_space_mm=pleater_row_space_mm,
            chart=chart,
        )
    )
