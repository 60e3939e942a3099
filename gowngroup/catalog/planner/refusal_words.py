"""Why a gown cannot be drafted or closed like this, in words and in the reader's unit, with the way out."""

import math
from collections.abc import Callable, Mapping
from typing import cast

from django.utils.translation import gettext as _

from gowngroup.catalog.models import DesignSize
from gowngroup.catalog.planner.closing_words import difference_words
from gowngroup.catalog.planner.measure_words import draft_measure_labels
from gowngroup.catalog.planner.part_words import piece_in_sentence
from gowngroup.planning.drafting import CannotDraft, ClosureFaultCode, DraftKind, RefusalCode
from gowngroup.records.reader import current_reader
from gowngroup.records.written import written_number

MM_PER_UNIT = {"cm": 10.0, "in": 25.4}


def refusal_sentences(refusal: CannotDraft, design_size: DesignSize) -> tuple[str, ...]:
    """Why a size cannot be drafted, and which measures the group set itself, for it is one of those as a rule."""
    if not design_size.overrides:
        return (refusal_sentence(refusal),)
    labels = draft_measure_labels(cast(DraftKind, design_size.revision.design.kind))
    measures = "; ".join(
        f"{labels.get(name, name)} {_length(value) if name.endswith('_mm') else round(value)}"
        for name, value in design_size.overrides.items()
    )
    return (
        refusal_sentence(refusal),
        _("Set by yourselves in this size: %(measures)s.") % {"measures": measures},
    )


def refusal_sentence(refusal: CannotDraft) -> str:
    """Why a size cannot be drafted, naming the piece or measure."""
    if refusal.code == "closure":
        code = cast(ClosureFaultCode, refusal.values["closure_fault"])
        return closure_sentence(code, float(refusal.values["allowed_mm"]))
    return SENTENCES[refusal.code]() % _words(refusal.values)


def closure_sentence(code: ClosureFaultCode, allowed_mm: float) -> str:
    """A rule of safety that a closure breaks, with what it allows."""
    return CLOSURES[code]() % {"allowed": difference_words(allowed_mm)}


def _words(values: Mapping[str, float | str]) -> dict[str, str]:
    """Each value in words, and what is worked out from several of them."""
    words = {name: _word(name, value) for name, value in values.items()}
    if "left_mm" in values:
        words["lacking"] = _length(float(values["needed_mm"]) - float(values["left_mm"]))
    if "pitch_mm" in values:
        words["found"] = _pleats_side_by_side(float(values["pitch_mm"]))
        words["most"] = _pleats_side_by_side(float(values["least_pitch_mm"]))
    if str(values.get("measure", "")).endswith("_mm"):
        limits = ("value", "low", "high")
        words |= {name: _length(float(values[name])) for name in limits if name in values}
    return words


def _word(name: str, value: float | str) -> str:
    if name == "piece":
        return piece_in_sentence(str(value))
    if name == "measure":
        return draft_measure_labels("yoke").get(str(value), str(value))
    if isinstance(value, str):
        return value
    return (
        _length(value)
        if name.endswith("_mm")
        else written_number(f"{value:.3g}" if value < 100 else f"{value:.0f}")
    )


def _length(length_mm: float) -> str:
    return difference_words(length_mm) if math.isfinite(length_mm) else str(length_mm)


def _pleats_side_by_side(pitch_mm: float) -> str:
    """How many pleats lie in one centimetre or inch."""
    unit = current_reader().length_unit
    count = written_number(f"{MM_PER_UNIT[unit] / pitch_mm:.1f}")
    return (
        _("%(count)s in an inch") % {"count": count}
        if unit == "in"
        else _("%(count)s in a centimetre") % {"count": count}
    )


SENTENCES: dict[RefusalCode, Callable[[], str]] = {
    "no_armholes": lambda: _("The size “%(size)s” has no armholes: choose a wrap."),
    "no_chest": lambda: _("The chest of the size “%(size)s” is not known: enter it with the size."),
    "too_small_to_wear": lambda: _(
        "Round-necked gowns to wear start at babies of %(from_mass_g)s g; for smaller ones choose a yoke gown or a wrap."
    ),
    "too_big_for_wrap": lambda: _(
        "Wraps are made for babies up to %(up_to_mass_g)s g; for bigger ones choose a gown with sleeves."
    ),
    "unknown_measure": lambda: _("This kind of gown has no measure called “%(measure)s”."),
    "unusable_number": lambda: _("“%(measure)s” cannot be %(value)s: choose %(low)s to %(high)s."),
    "unusable_pleater": lambda: _(
        "The pleater's take-up or row space cannot be %(value)s: count its pleats again and enter it."
    ),
    "uneven_pleats": lambda: _(
        "%(pleat_count)s pleats have no valley in the middle: choose an even number."
    ),
    "too_few_pleats": lambda: _(
        "%(pleat_count)s pleats are too few to share out between front, backs and sleeves: choose more."
    ),
    "pleats_too_close": lambda: _(
        "At the neck the pleats would lie too close: %(found)s; this cloth takes %(most)s. Choose fewer pleats or a"
        " wider neck."
    ),
    "cloth_ratio": lambda: _(
        "The smocking would take %(cloth_ratio)s lengths of cloth for one; %(least)s to %(most)s are needed. Choose"
        " another number of pleats or another width."
    ),
    "gathers_ratio": lambda: _(
        "At the back yoke %(cloth_ratio)s lengths of cloth would be gathered into one; %(least)s to %(most)s can be."
        " Choose another width for the back."
    ),
    "no_pleats_fit": lambda: _(
        "No number of pleats from %(least)s to %(most)s suits every row of the chart: choose another chart."
    ),
    "neck_drop_meets_first_row": lambda: _(
        "The front neck is cut %(neck_drop_mm)s lower, but the first smocked row lies only %(first_row_mm)s below the"
        " seam: cut the neck less low, or start the rows lower."
    ),
    "smocking_reaches_underarm": lambda: _(
        "On the %(piece)s the smocking ends too near the underarm, by %(lacking)s: choose fewer rows or deeper"
        " armholes."
    ),
    "smocking_runs_off": lambda: _(
        "The front ends too soon below its smocking, by %(lacking)s: choose fewer rows or a longer gown."
    ),
    "too_short": lambda: _("Below the underarm the %(piece)s is %(lacking)s too short: make it longer."),
    "raglans_cannot_meet": lambda: _(
        "The sleeve cannot be shaped so that its raglan seam is as long as the front's, %(length_mm)s: change the"
        " width or the depth of one of them."
    ),
    "cap_cannot_meet": lambda: _(
        "The sleeve cap is %(height_mm)s high, but each half of the armhole measures only %(along_mm)s: make the cap"
        " lower."
    ),
    "outline_crosses": lambda: _(
        "The cutting line of the %(piece)s would cross itself: put its measures nearer to the usual ones."
    ),
    "neck_cannot_close": lambda: _(
        "The neck is cut so low that it would measure more than %(neck_mm)s: cut it less low, or make the neck wider."
    ),
    "yoke_too_shallow": lambda: _(
        "The yoke is %(lacking)s too shallow: it must reach below the neck and the shoulders."
    ),
    "shoulder_too_narrow": lambda: _(
        "Each shoulder seam is %(lacking)s too short: make the yokes wider or the neck narrower."
    ),
    "armhole_above_yoke": lambda: _(
        "The armholes are %(lacking)s too shallow: they must end below the yoke."
    ),
    "overlap_too_wide": lambda: _(
        "Beside the overlap each back yoke is %(lacking)s too narrow: make the yoke wider or the overlap smaller."
    ),
    "wrap_too_narrow": lambda: _(
        "The wrap is too narrow, %(width_mm)s, for its neck and its rounded corners: make it wider or round less."
    ),
    "wrap_too_short": lambda: _(
        "The wrap is %(lacking)s too short for its slope and its rounded corners: make it longer or round less."
    ),
    "bonnet_back_too_wide": lambda: _(
        "The back of the bonnet is too wide, %(width_mm)s, for its band of %(along_mm)s to go round."
    ),
    "wider_than_cloth": lambda: _(
        "The %(piece)s is %(width_mm)s wide; the cloth is only %(cloth_width_mm)s wide."
    ),
}  # fmt: skip

CLOSURES: dict[ClosureFaultCode, Callable[[], str]] = {
    "cord_at_neck": lambda: _("Use no cord, tie or drawstring near the neck."),
    "tie_longer_than_neck": lambda: _(
        "The ties are longer than the baby's neck is round: at most %(allowed)s here."
    ),
    "tie_too_long": lambda: _("No tie on baby clothes may be longer than %(allowed)s."),
    "tie_reaches_hem": lambda: _("The ties reach the hem: they must be shorter than %(allowed)s."),
    "drawstring_too_long": lambda: _("An end of a drawstring is at most %(allowed)s long, laid flat."),
    "metal": lambda: _("Use no metal fastening."),
}
