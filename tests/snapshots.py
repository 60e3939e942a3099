"""Plans for kits that a factory made: worked out from the rows as they stand, by the planner itself."""

from gowngroup.batches.models import BatchLine, Kit, Plan
from gowngroup.batches.planner.document import document_of
from gowngroup.batches.planner.order import prepared
from gowngroup.planning.batch_plan import plan_batch


def store_snapshot(kit: Kit) -> Kit:
    """Plan the kit's batch with a line for this kit, as its stored plan."""
    return store_snapshots(kit)[0]


def store_snapshots(*kits: Kit) -> list[Kit]:
    """Plan the batch of these kits once for all of them, with a line for each."""
    for kit in kits:
        BatchLine.objects.get_or_create(
            batch=kit.batch,
            design_revision=kit.design_revision,
            size=kit.size,
            purpose=kit.purpose,
            defaults={"gown_count": kit.gown_count},
        )
    ready = prepared(kits[0].batch)
    document = document_of(ready, plan_batch(ready.order))
    Plan.objects.filter(pk__in=[kit.lay.plan_id for kit in kits]).update(document=document)
    return [Kit.objects.get(pk=kit.pk) for kit in kits]
