"""The measures a size is drafted by: as they are worked out, and as the group sets them itself."""

from collections.abc import Mapping
from copy import copy
from dataclasses import dataclass
from typing import cast

from gowngroup.catalog.models import DesignSize
from gowngroup.catalog.planner.drafted import draft_measures
from gowngroup.catalog.planner.measure_words import draft_measure_labels
from gowngroup.catalog.planner.values import PlannerSettings
from gowngroup.planning import drafting

Usual = Mapping[str, float]
# What a group changes first; the rest stands below.
FIRST = (
    "neck_mm",
    "length_mm",
    "width_mm",
    "panel_mm",
    "pleat_count",
    "row_count",
    "sleeve_seam_mm",
    "overlap_mm",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnMeasure:
    """A measure of the draft, in mm or as a count: its words and limits, what is worked out for each purpose, and
    what the group has set.
    """

    name: str
    label: str
    is_count: bool
    low: float
    high: float
    usual: tuple[float, ...]
    own: float | None

    @property
    def is_first(self) -> bool:
        """Is it one of those a group changes first?"""
        return self.name in FIRST


def own_measures(design_size: DesignSize, settings: PlannerSettings) -> tuple[OwnMeasure, ...]:
    """Every measure of a drafted design in a size, those changed first on top.

    Beside a measure that was set stands what would be worked out for it; beside the others what is used now.
    """
    kind = cast(drafting.DraftKind, design_size.revision.design.kind)
    labels, usual = draft_measure_labels(kind), _usual(design_size, settings)
    known = drafting.measures_of(kind)
    return tuple(
        OwnMeasure(
            name=each.name,
            label=labels.get(each.name, each.label),
            is_count=each.unit != "mm",
            low=each.low,
            high=each.high,
            usual=tuple(dict.fromkeys(values[each.name] for values in usual)),
            own=design_size.overrides.get(each.name),
        )
        for each in sorted(known, key=_rank)
    )


def _rank(measure: drafting.GownMeasure) -> int:
    return FIRST.index(measure.name) if measure.name in FIRST else len(FIRST)


def with_overrides(design_size: DesignSize, overrides: Mapping[str, float]) -> DesignSize:
    """The size as it would be with these measures; nothing is stored."""
    tried = copy(design_size)
    tried.overrides = dict(overrides)
    return tried


def _usual(design_size: DesignSize, settings: PlannerSettings) -> list[Usual]:
    """For each purpose what is worked out; none where the size cannot be drafted."""
    found: list[Usual] = []
    for purpose in design_size.revision.purposes():
        worked_out = _measures(with_overrides(design_size, {}), purpose, settings)
        used = _measures(design_size, purpose, settings) or worked_out
        if worked_out:
            found.append({**used, **{name: worked_out[name] for name in design_size.overrides}})
    return found


def _measures(design_size: DesignSize, purpose: str, settings: PlannerSettings) -> Usual:
    try:
        return draft_measures(design_size, purpose, settings)
    except drafting.CannotDraft:
        return {}
