"""Finished gowns in the words of the trade, gentle where they must be."""

from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from gowngroup.batches.models import Kit
from gowngroup.catalog.models import Purpose
from gowngroup.gowns.models import Gown, GownCheck
from gowngroup.planning.figures import FIGURES
from gowngroup.records.queries import figures_in_force
from gowngroup.records.reader import current_reader
from gowngroup.records.templatetags.gown import size_length
from gowngroup.records.written import known, written_number

WHAT_HAPPENED: dict[str, str | Promise] = {
    "receive_gown": gettext_lazy("came in"),
    "finish_mending": gettext_lazy("mended"),
    "wash_gown": gettext_lazy("washed, bone dry, steamed from the wrong side"),
    "send_gown": gettext_lazy("left for the ward"),
    "bring_back_gown": gettext_lazy("brought back"),
    "place_gown": gettext_lazy("put into another box"),
}
TOLERANCES = ("check_neck_mm", "check_chest_mm", "check_length_mm", "check_sleeves_mm")


def purpose_words(purpose: str) -> str:
    """What a gown is for, said gently."""
    if purpose == Purpose.MEMORIAL:
        return _("for babies who die, before or soon after birth")
    return _("to wear")


def outcome_words(check: GownCheck) -> str:
    """Where a gown goes from a check."""
    if check.outcome == GownCheck.Outcome.PASS:
        is_first = check.round == GownCheck.Round.FIRST
        return _("passed; it goes to the wash") if is_first else _("passed; it goes onto the shelf")
    return {
        GownCheck.Outcome.MEND.value: _("to be mended"),
        GownCheck.Outcome.SET_ASIDE.value: _("set aside"),
        GownCheck.Outcome.PRACTICE.value: _("a practice piece"),
    }[check.outcome]


def gown_words(gown: Gown | Kit) -> str:
    """A gown, or the gowns of a kit, on one line: its design, and for how long a baby."""
    return _("%(design)s, for a baby up to %(length)s") % {
        "design": gown.design_revision.design,
        "length": size_length(gown.size.body_length_um),
    }


def tolerances() -> list[tuple[str, str]]:
    """How far a gown may differ from its size: the words and the length, which is too short for eighths."""
    figures, labels = figures_in_force(), {figure.key: figure.label for figure in FIGURES}
    return [(known(labels[key]), _short_length(figures[key])) for key in TOLERANCES]


def _short_length(length_mm: float) -> str:
    is_inches = current_reader().length_unit == "in"
    return written_number(f"{length_mm / 25.4:.1f} in" if is_inches else f"{length_mm:g} mm")
