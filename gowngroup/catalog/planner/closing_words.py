"""What keeps a draft from being sewn, in words and in the reader's unit."""

from collections.abc import Iterable

from django.utils.translation import gettext as _

from gowngroup.catalog.planner.part_words import place_label
from gowngroup.planning.drafting import Fault, FaultCode
from gowngroup.records.reader import current_reader
from gowngroup.records.templatetags.gown import mm_length
from gowngroup.records.written import written_number


def draft_fault_sentences(faults: Iterable[Fault]) -> tuple[str, ...]:
    """What keeps a draft from being sewn: left and right told once, and of a seam that does not meet no marks."""
    known = list(faults)
    open_seams = {fault.where for fault in known if fault.code == "seam"}
    told = (
        fault
        for fault in known
        if fault.code not in ("notch", "notches_missing") or fault.where not in open_seams
    )
    return tuple(dict.fromkeys(_sentence(fault) for fault in told))


def _sentence(fault: Fault) -> str:
    """Where a draft does not close and by how much."""
    values = {"where": place_label(fault.where), "by": difference_words(abs(fault.difference_mm))}
    return _sentences()[fault.code] % values


def difference_words(length_mm: float) -> str:
    """A length in the reader's unit, said so where it would be rounded away."""
    text = mm_length(length_mm)
    if not text.startswith("0 "):
        return text
    return (
        _("less than 1/16 in")
        if current_reader().length_unit == "in"
        else written_number(f"{length_mm:.1f} mm")
    )


def _sentences() -> dict[FaultCode, str]:
    return {
        "seam": _("The seam “%(where)s” does not meet: one side is %(by)s longer than the other."),
        "notch": _("Along the seam “%(where)s” the marks that must meet lie %(by)s apart."),
        "notches_missing": _("Along the seam “%(where)s” marks that must meet are missing."),
        "neck": _("The neck is %(by)s too tight."),
        "chest": _("The chest is %(by)s too tight."),
        "sleeve": _("The sleeve is %(by)s too tight: leads and lines must pass."),
        "outline_open": _("The outline of the %(where)s does not join: there is a gap of %(by)s."),
        "outline_crosses": _("The outline of the %(where)s crosses itself."),
        "allowance": _("The seam allowance along the %(where)s is off by %(by)s."),
        "mirror": _("The two halves of the %(where)s differ by %(by)s."),
        "no_partner": _("The %(where)s is cut in pairs, and one of them has no partner."),
        "grain_line": _("The grain line of the %(where)s does not run straight along the cloth inside it."),
        "grain": _("The %(where)s lies %(by)s out of true with the grain."),
        "opening": _("The gown must open all the way from neck to hem; the %(where)s keeps it shut."),
        "overlap": _("Where the %(where)s closes, the edges overlap by %(by)s too little."),
    }
