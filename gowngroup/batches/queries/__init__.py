"""Every read of the month's batch: kits and claims, batches and their plans."""

from gowngroup.batches.queries.batches import batch_by_id, lines_of_batch
from gowngroup.batches.queries.claims import (
    STAFF,
    day_of,
    due_if_taken,
    finished_claims,
    kit_by_code,
    kit_to_claim,
    kit_to_give_back,
    kit_to_see,
    kits_at_home,
    kits_out,
    waiting_kits,
    with_card,
)
from gowngroup.batches.queries.kits import (
    kit_violations,
    kits,
    kits_of_lay,
    kits_to_pack,
    lays_of_committed_plans,
    lays_to_cut,
    lines_of,
    packed_kits,
    volunteers,
)
from gowngroup.batches.queries.plans import plan_by_id, plan_violations, plans_of

__all__ = [
    "STAFF",
    "batch_by_id",
    "day_of",
    "due_if_taken",
    "finished_claims",
    "kit_by_code",
    "kit_to_claim",
    "kit_to_give_back",
    "kit_to_see",
    "kit_violations",
    "kits",
    "kits_at_home",
    "kits_of_lay",
    "kits_out",
    "kits_to_pack",
    "lays_of_committed_plans",
    "lays_to_cut",
    "lines_of",
    "lines_of_batch",
    "packed_kits",
    "plan_by_id",
    "plan_violations",
    "plans_of",
    "volunteers",
    "waiting_kits",
    "with_card",
]
