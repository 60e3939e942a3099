"""The front view of the gown a kit makes, worked out once for each design, size and purpose."""

from collections.abc import Iterable
from functools import lru_cache

from gowngroup.batches.models import Kit
from gowngroup.catalog.drawing import GownDrawing, gown_drawing
from gowngroup.catalog.models import DesignRevision, Size
from gowngroup.catalog.planner import gown_need, planner_settings


def drawings(kits: Iterable[Kit]) -> dict[int, GownDrawing | None]:
    """The drawing of each kit's gown by the kit's number; None where its design has no pieces."""
    settings_key = repr(planner_settings())
    return {kit.pk: drawn(kit.design_revision_id, kit.size_id, kit.purpose, settings_key) for kit in kits}


@lru_cache(maxsize=512)
def drawn(revision_id: int, size_id: int, purpose: str, settings_key: str) -> GownDrawing | None:
    """A revision that kits are made of never changes; changed figures come with another `settings_key`."""
    revision = DesignRevision.objects.select_related("design", "chart").get(pk=revision_id)
    need = gown_need(revision=revision, size=Size.objects.get(pk=size_id), purpose=purpose)
    return gown_drawing(need)
