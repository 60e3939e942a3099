"""The stages a kit goes through when several people sew on it, and how long each usually takes."""

from collections.abc import Mapping
from typing import cast

from gowngroup.batches.models import Kit, Stage
from gowngroup.batches.planner.document import UNREADABLE, StoredPlan
from gowngroup.planning.hours import KitStage, kit_time

NEXT_STAGE: Mapping[str, str] = {Stage.PLEAT.value: Stage.SMOCK.value, Stage.SMOCK.value: Stage.MAKE_UP.value}


def stage_minutes(kit: Kit, stage: str, *, is_pleated: bool) -> tuple[int, int]:
    """Least and most minutes the kit usually takes for a stage, by its plan; (0, 0) where the plan does not say."""
    try:
        need = StoredPlan.of(kit.lay.plan).needs[kit.design_revision_id, kit.size_id, kit.purpose]
    except UNREADABLE:
        return 0, 0
    name = cast("KitStage", stage.replace(" ", "_"))
    time = kit_time(need.stage_times, name, is_pleated=is_pleated)
    return round(time.short_min * kit.gown_count), round(time.long_min * kit.gown_count)
