"""The front view of the gown a kit makes, from the kit's plan; each plan's gowns are drawn once."""

from collections.abc import Iterable
from functools import lru_cache

from gowngroup.batches.models import Kit, Plan
from gowngroup.batches.planner.document import UNREADABLE, StoredPlan
from gowngroup.catalog.drawing import GownDrawing, gown_drawing

Drawings = dict[tuple[int, int, str], GownDrawing | None]


def drawings(kits: Iterable[Kit]) -> dict[int, GownDrawing | None]:
    """The drawing of each kit's gown by the kit's number; None where its plan holds none."""
    return {
        kit.pk: drawn(kit.lay.plan_id).get((kit.design_revision_id, kit.size_id, kit.purpose)) for kit in kits
    }


@lru_cache(maxsize=32)
def drawn(plan_id: int) -> Drawings:
    """The gowns of a stored plan, which never changes, by design revision, size and purpose."""
    try:
        needs = StoredPlan.of(Plan.objects.get(pk=plan_id)).needs
    except UNREADABLE:
        return {}
    return {key: gown_drawing(need) for key, need in needs.items()}
