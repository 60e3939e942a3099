"""What pages of batches and plans put into words or draw."""

from typing import Any

from django import template

from gowngroup.batches.models import BatchLine, Lay
from gowngroup.batches.planner.document import StoredPlan
from gowngroup.batches.planner.drawing import LayDrawing, lay_drawing
from gowngroup.batches.planner.words import proposal_sentence

register = template.Library()


@register.filter
def why(line: BatchLine) -> str:
    """Why so many gowns were proposed: `wards asked 6, shelf 2, out 3 × 0.9`."""
    reasons: list[dict[str, Any]] = line.reason.get("reasons", [])
    return "; ".join(proposal_sentence(each["code"], each["values"]) for each in reasons)


@register.simple_tag
def drawing_of_lay(lay: Lay) -> LayDrawing | None:
    """A committed lay as it stands in its stored plan; None where the plan holds no drawing of it."""
    if not lay.plan.document:
        return None
    cuts = StoredPlan.of(lay.plan).plan.cuts
    return next((lay_drawing(cut) for cut in cuts if cut.lot_key == str(lay.lot_id)), None)
