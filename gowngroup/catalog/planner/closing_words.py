"""What keeps a draft from being sewn, in words and in the reader's unit."""

from collections.abc import Iterable

from django.utils.translation import gettext as _

from gowngroup.planning.drafting import Fault
from gowngroup.records.templatetags.gown import mm_length


def draft_fault_sentences(faults: Iterable[Fault]) -> tuple[str, ...]:
    """What keeps a draft from being sewn: left and right told once, and of a seam that does not meet no marks."""
    known = list(faults)
    open_seams = {fault.where for fault in known if fault.code == "seam"}
    told = (fault for fault in known if fault.code != "notch" or fault.where not in open_seams)
    return tuple(dict.fromkeys(_sentence(fault) for fault in told))


def _sentence(fault: Fault) -> str:
    """Where a draft does not close and by how much; the draft's own sentence where nothing is measured."""
    sentence = _measured_sentences().get(fault.code)
    if sentence is None or not fault.difference_mm:
        return fault.sentence
    return sentence % {"where": _place(fault.where), "by": _length(abs(fault.difference_mm))}


def _place(where: str) -> str:
    """A seam or piece for the reader; both sides of a gown are alike."""
    return where.removesuffix("_right").removesuffix("_left").replace("_", " ")


def _length(length_mm: float) -> str:
    """A length in the reader's unit, or in millimetres where it would be rounded away."""
    text = mm_length(length_mm)
    return f"{length_mm:.1f} mm" if text.startswith("0 ") else text


def _measured_sentences() -> dict[str, str]:
    return {
        "seam": _("The seam “%(where)s” does not meet: one side is %(by)s longer than the other."),
        "notch": _("Along the seam “%(where)s” the marks that must meet lie %(by)s apart."),
        "neck": _("The neck is %(by)s too tight."),
        "chest": _("The chest is %(by)s too tight."),
        "sleeve": _("The sleeve is %(by)s too tight: leads and lines must pass."),
        "allowance": _("The seam allowance along the %(where)s is off by %(by)s."),
        "mirror": _("The two halves of the %(where)s differ by %(by)s."),
        "grain": _("The %(where)s lies %(by)s out of true with the grain."),
    }
