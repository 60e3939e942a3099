"""One number of a plan with where it comes from."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _

from gowngroup.batches.planner.document import StoredPlan
from gowngroup.planning.figures.uses import USES, Use
from gowngroup.records.reader import current_reader
from gowngroup.records.templatetags.gown import size_length
from gowngroup.records.written import written_number

Facts = Mapping[str, Any]
Values = tuple[tuple[str, str], ...]
DesignKey = tuple[int, int, str]
MM2_PER_M2, MM2_PER_SQ_YARD = 1e6, 914.4**2


@dataclass(frozen=True, slots=True, kw_only=True)
class Why:
    """A number, its sum in words, what was put in, and the lots and settings it rests on.

    `values` are pairs of what it is and how much; `figures` stand as they were when the plan was made.
    """

    title: str
    result: str
    words: str
    values: tuple[tuple[str, str], ...] = ()
    lots: tuple[Facts, ...] = ()


def figures_used(stored: StoredPlan, use: Use) -> tuple[Facts, ...]:
    """The settings a part of the plan rests on, with mark and source as the plan keeps them."""
    wanted = USES[use]
    return tuple(figure for figure in stored.document["figures"] if figure["key"] in wanted)


def figure_values(stored: StoredPlan) -> dict[str, float]:
    """Every setting by its key, as it was when the plan was made."""
    return {figure["key"]: figure["value"] for figure in stored.document["figures"]}


def area_words(area_mm2: float) -> str:
    """An area of cloth in square metres or square yards."""
    if current_reader().length_unit == "cm":
        return written_number(f"{area_mm2 / MM2_PER_M2:.2f} m²")
    return _("%(area)s sq yd") % {"area": written_number(f"{area_mm2 / MM2_PER_SQ_YARD:.2f}")}


def percent_words(share: float) -> str:
    """A share as a percentage with one decimal."""
    return written_number(f"{share * 100:.1f} %")


def minutes_words(minutes: float) -> str:
    """Minutes, or hours and minutes."""
    whole, rest = divmod(round(minutes), 60)
    return f"{whole} h {rest} min" if whole else f"{rest} min"


def gowns_made(stored: StoredPlan) -> dict[DesignKey, int]:
    """How many gowns of each design, size and purpose have their cloth."""
    gowns: Counter[DesignKey] = Counter()
    for kit in stored.plan.kits:
        if kit.lot_key is not None:
            gowns[design_key(stored.kits[kit.key])] += kit.gown_count
    return dict(gowns)


def design_key(facts: Facts) -> DesignKey:
    """Design revision, size and purpose of a kit's facts."""
    return facts["revision_id"], facts["size_id"], facts["purpose"]


def size_words(design: Facts) -> str:
    """`Yoke gown, up to 40 cm`: a gown of the plan by its design and body length."""
    return _("%(design)s, up to %(length)s") % {
        "design": design["design"],
        "length": size_length(design["length_um"]),
    }
