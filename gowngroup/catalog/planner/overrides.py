"""The measures a size is drafted by: as they are worked out, and as the group sets them itself."""

from collections.abc import Mapping
from copy import copy
from dataclasses import dataclass
from typing import cast

from django.utils.translation import gettext as _

from gowngroup.catalog.models import DesignSize
from gowngroup.catalog.planner.drafted import draft_measures
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


def draft_measure_labels(kind: drafting.DraftKind) -> dict[str, str]:
    """The measures of a draft in words; a wrap has a neck edge and an overlap of its own kind."""
    of_wraps = {"neck_mm": _("neck edge, behind"), "overlap_mm": _("sides lie over one another by")}
    return _common_labels() | (of_wraps if kind == "wrap" else {})


def _common_labels() -> dict[str, str]:
    return {
        "neck_mm": _("neck, round"),
        "length_mm": _("length from the neck"),
        "width_mm": _("width, laid out flat"),
        "panel_mm": _("smocked panel, finished width"),
        "pleat_count": _("pleats"),
        "row_count": _("smocked rows"),
        "sleeve_seam_mm": _("sleeve seam, underarm to hem"),
        "overlap_mm": _("overlap of the backs"),
        "shoulder_girth_mm": _("round the shoulders"),
        "shoulder_depth_mm": _("shoulders below the neck"),
        "first_row_mm": _("first smocked row below its seam"),
        "neck_drop_mm": _("neck cut lower by"),
        "neck_width_mm": _("neck, from shoulder to shoulder"),
        "front_neck_drop_mm": _("front neck below the shoulder"),
        "back_neck_drop_mm": _("back neck below the shoulder"),
        "binding_mm": _("neck binding, length"),
        "yoke_depth_mm": _("yoke, depth"),
        "shoulder_drop_mm": _("shoulder slopes down by"),
        "front_yoke_mm": _("front yoke, width"),
        "back_yoke_mm": _("back yokes, width when closed"),
        "front_length_mm": _("front, length"),
        "back_length_mm": _("back, length"),
        "front_skirt_mm": _("front, length below the yoke"),
        "back_skirt_mm": _("backs, length below the yoke"),
        "back_width_mm": _("one back, width before it is gathered"),
        "armhole_depth_mm": _("armhole depth"),
        "armhole_width_mm": _("armhole, runs outwards by"),
        "front_armhole_mm": _("front, armhole below the yoke"),
        "back_armhole_mm": _("backs, armhole below the yoke"),
        "front_armhole_depth_mm": _("front, armhole depth"),
        "back_armhole_depth_mm": _("back, armhole depth"),
        "sleeve_armhole_depth_mm": _("sleeve, armhole depth"),
        "raglan_width_mm": _("raglan seam, width"),
        "front_raglan_width_mm": _("front, width of the raglan seam"),
        "back_raglan_width_mm": _("back, width of the raglan seam"),
        "sleeve_raglan_width_mm": _("sleeve, width of the raglan seam"),
        "sleeve_cap_height_mm": _("sleeve, height of its cap"),
        "sleeve_width_mm": _("sleeve, round at the underarm"),
        "upper_corner_mm": _("upper corners rounded over"),
        "lower_corner_mm": _("lower corners rounded over"),
        "lining_width_mm": _("lining, width"),
        "lining_length_mm": _("lining, length"),
    }
