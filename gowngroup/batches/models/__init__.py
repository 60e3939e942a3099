"""The month's batch, the plan for it, its lays and kits, and who sews them."""

from gowngroup.batches.models.batches import (
    Batch,
    BatchLine,
    Kit,
    KitLine,
    Lay,
    MatchedSet,
    MaterialChoice,
    Plan,
    Reservation,
    Stage,
)
from gowngroup.batches.models.claims import (
    Call,
    Claim,
    Finish,
    HandOver,
    KitReturn,
    KitWish,
    Letter,
    RowDone,
    SewingHelper,
)

__all__ = [
    "Batch",
    "BatchLine",
    "Call",
    "Claim",
    "Finish",
    "HandOver",
    "Kit",
    "KitLine",
    "KitReturn",
    "KitWish",
    "Lay",
    "Letter",
    "MatchedSet",
    "MaterialChoice",
    "Plan",
    "Reservation",
    "RowDone",
    "SewingHelper",
    "Stage",
]
