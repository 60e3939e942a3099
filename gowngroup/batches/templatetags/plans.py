"""What pages of batches and plans put into words or draw."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from django import template

from gowngroup.batches.models import Batch, BatchLine, Lay, MaterialChoice
from gowngroup.batches.planner.document import UNREADABLE, StoredPlan
from gowngroup.batches.planner.drawing import LayDrawing, lay_drawing
from gowngroup.batches.planner.materials import Part
from gowngroup.batches.planner.proposal_words import (
    limit_sentences,
    proposal_sentence,
    summary_sentences,
)
from gowngroup.batches.planner.shopping import kit_runs
from gowngroup.records.templatetags.gown import long_length
from gowngroup.wards.models import Ward

register = template.Library()
register.filter("kit_runs", kit_runs)


@register.filter
def why(line: BatchLine) -> str:
    """Why so many gowns were proposed, in short sentences."""
    reasons: list[dict[str, Any]] = line.reason.get("reasons", [])
    return " ".join(proposal_sentence(each["code"], each["values"]) for each in reasons)


@register.filter
def comes_to(batch: Batch) -> list[str]:
    """What a batch's proposal comes to, a sentence each; empty where none was made."""
    ward = Ward.objects.filter(pk=batch.proposal.get("worst_ward_id")).select_related("hospital").first()
    return summary_sentences(batch.proposal, worst_ward=str(ward) if ward else None)


@register.filter
def limits(batch: Batch) -> list[str]:
    """What holds a batch's proposal back and what would free it, a sentence each."""
    return limit_sentences(batch.proposal)


@register.simple_tag
def drawing_of_lay(lay: Lay) -> LayDrawing | None:
    """A committed lay as it stands in its stored plan; None where the plan holds no drawing that can be read."""
    try:
        cuts = StoredPlan.of(lay.plan).plan.cuts
    except UNREADABLE:
        return None
    return next((lay_drawing(cut) for cut in cuts if cut.lot_key == str(lay.lot_id)), None)


@register.filter
def part_label(choice: MaterialChoice) -> str:
    """The part a material was chosen for: `floss A`, `lace: sleeve hems`."""
    return Part(revision=choice.design_revision, kind=choice.kind, name=choice.part).label


register.filter(kit_runs)


@register.filter
def long_mm(length_mm: float) -> str:
    """A planner's length in metres or yards."""
    return long_length(round(length_mm * 1000))


@dataclass(frozen=True, slots=True, kw_only=True)
class SameCuts:
    """Equal lengths cut one after another for one place."""

    count: int
    length_mm: float
    place: str
    kits: tuple[str, ...]


@register.filter
def same_cuts(cuts: Sequence[tuple[str, str, float]]) -> list[SameCuts]:
    """Cuts that follow each other and are alike, told together."""
    runs = groupby(cuts, key=lambda cut: (cut[1], round(cut[2], 1)))
    found = []
    for (place, length_mm), run in runs:
        kits = [kit for kit, _place, _length in run]
        found.append(
            SameCuts(count=len(kits), length_mm=length_mm, place=place, kits=tuple(dict.fromkeys(kits)))
        )
    return found
