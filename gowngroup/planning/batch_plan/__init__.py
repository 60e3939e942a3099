"""The plan of a whole batch: what is cut from what, what is missing, and how long it takes."""

from gowngroup.planning.batch_plan.document import UnknownPlanFormat, from_document, to_document
from gowngroup.planning.batch_plan.make import plan_batch
from gowngroup.planning.batch_plan.order import (
    BatchKit,
    BatchOrder,
    BatchRules,
    BiasNeed,
    FlossNeed,
    KitPiece,
    NotionNeed,
    StockCount,
    StockLength,
    ThreadNeed,
    TrimNeed,
    kit_pieces,
)
from gowngroup.planning.batch_plan.plan import FORMAT_VERSION, BatchPlan, PlannedKit
from gowngroup.planning.batch_plan.shopping import LeftOver, Scenario, Scenarios, left_overs, scenarios
from gowngroup.planning.batch_plan.way import CuttingWay
from gowngroup.planning.shopping.values import Package, Shortage

__all__ = [
    "FORMAT_VERSION",
    "BatchKit",
    "BatchOrder",
    "BatchPlan",
    "BatchRules",
    "BiasNeed",
    "CuttingWay",
    "FlossNeed",
    "KitPiece",
    "LeftOver",
    "NotionNeed",
    "Package",
    "PlannedKit",
    "Scenario",
    "Scenarios",
    "Shortage",
    "StockCount",
    "StockLength",
    "ThreadNeed",
    "TrimNeed",
    "UnknownPlanFormat",
    "from_document",
    "kit_pieces",
    "left_overs",
    "plan_batch",
    "scenarios",
    "to_document",
]
