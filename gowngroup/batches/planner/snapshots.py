"""What a kit was planned from, read from its stored plan and never worked out anew."""

from collections.abc import Mapping
from dataclasses import dataclass

from gowngroup.batches.models import Kit
from gowngroup.batches.planner.document import UNREADABLE, StoredPlan
from gowngroup.batches.planner.shelf import UM_PER_MM
from gowngroup.catalog.planner import GownNeed, need_from_document
from gowngroup.planning.plain_data import value_of
from gowngroup.planning.smocking import PleaterProfile


@dataclass(frozen=True, slots=True, kw_only=True)
class KitSnapshot:
    """One gown of a kit as it was planned; `materials` are the names chosen, by kind and part, `figures` those in force."""

    need: GownNeed
    pleater: PleaterProfile
    floss_cut_mm: float
    body_length_um: int
    order_of_work: tuple[str, ...]
    stage_ends: tuple[int, ...]
    materials: Mapping[tuple[str, str], str]
    figures: Mapping[str, float]


def kit_snapshot(kit: Kit) -> KitSnapshot | None:
    """What stands in the plan a kit was cut from; None where that cannot be read."""
    try:
        return _snapshot(StoredPlan.of(kit.lay.plan), kit)
    except UNREADABLE:
        return None


def _snapshot(stored: StoredPlan, kit: Kit) -> KitSnapshot:
    design = stored.designs[kit.design_revision_id, kit.size_id, kit.purpose]
    settings = stored.document["settings"]
    return KitSnapshot(
        need=need_from_document(design),
        pleater=value_of(PleaterProfile, settings["pleater"]),
        floss_cut_mm=settings["cut_um"] / UM_PER_MM,
        body_length_um=design["length_um"],
        order_of_work=tuple(design["order_of_work"]),
        stage_ends=tuple(design.get("stage_ends", ())),  # plans made before they were told have none
        materials=_materials(stored, kit.design_revision_id),
        figures={each["key"]: each["value"] for each in stored.document["figures"]},
    )


def _materials(stored: StoredPlan, revision_id: int) -> dict[tuple[str, str], str]:
    return {
        (choice["kind"], choice["part"]): stored.material_name(str(choice["material_id"]))
        for choice in stored.document["choices"]
        if choice["revision_id"] == revision_id
    }
