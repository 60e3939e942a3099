"""Why a sheet of labels cannot be printed, in words."""

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from gowngroup.planning.label_sheets import SheetFault
from gowngroup.records.written import written_number

EDGES = {
    "left": gettext_lazy("left"),
    "right": gettext_lazy("right"),
    "upper": gettext_lazy("upper"),
    "lower": gettext_lazy("lower"),
}


def fault_sentence(fault: SheetFault, *, is_moved: bool = False) -> str:
    """What is wrong with a sheet and what to do; `is_moved` where only the printer's offset makes it so."""
    excess = {"excess": written_number(f"{fault.excess_mm:.2f}".rstrip("0").rstrip("."))}
    if fault.reason == "beside":
        return (
            _("Labels side by side would overlap by %(excess)s mm: measure from one left edge to the next.")
            % excess
        )
    if fault.reason == "below":
        return (
            _(
                "Labels below each other would overlap by %(excess)s mm: measure from one upper edge to the next."
            )
            % excess
        )
    edge = {**excess, "edge": EDGES[fault.reason]}
    if is_moved:
        return (
            _(
                "Moved like this for the printer, labels would stick out of the %(edge)s edge of the paper by %(excess)s mm. Choose a smaller offset, or another sheet."
            )
            % edge
        )
    return (
        _(
            "The labels would stick out of the %(edge)s edge of the paper by %(excess)s mm. Please measure again, or choose other paper."
        )
        % edge
    )
