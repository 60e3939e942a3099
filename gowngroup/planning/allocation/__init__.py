"""Which kit is cut from which lot of cloth."""

from gowngroup.planning.allocation.best import allocate_best
from gowngroup.planning.allocation.greedy import allocate
from gowngroup.planning.allocation.refusals import BadCloth
from gowngroup.planning.allocation.suits import lot_refusal, strip_of
from gowngroup.planning.allocation.values import (
    Allocation,
    ClothLot,
    ClothWishes,
    CuttingSettings,
    KitCloth,
    KitMove,
    LotCut,
    UnmadeKit,
)

__all__ = [
    "Allocation",
    "BadCloth",
    "ClothLot",
    "ClothWishes",
    "CuttingSettings",
    "KitCloth",
    "KitMove",
    "LotCut",
    "UnmadeKit",
    "allocate",
    "allocate_best",
    "lot_refusal",
    "strip_of",
]
