"""Rows of the catalog as planning values, and what one gown needs."""

from gowngroup.catalog.planner.closures import closure_sentences
from gowngroup.catalog.planner.document import need_from_document, need_to_document
from gowngroup.catalog.planner.drafted import draft_of
from gowngroup.catalog.planner.needs import gown_need, measure_labels
from gowngroup.catalog.planner.rows import planner_settings, planning_chart, size_band
from gowngroup.catalog.planner.smocked import fault_sentence
from gowngroup.catalog.planner.values import (
    FlossNeed,
    GownNeed,
    GownPiece,
    Measure,
    NotionNeed,
    PlannerSettings,
    PleatedRow,
    PleatingGuide,
    TrimNeed,
)

__all__ = [
    "FlossNeed",
    "GownNeed",
    "GownPiece",
    "Measure",
    "NotionNeed",
    "PlannerSettings",
    "PleatedRow",
    "PleatingGuide",
    "TrimNeed",
    "closure_sentences",
    "draft_of",
    "fault_sentence",
    "gown_need",
    "measure_labels",
    "need_from_document",
    "need_to_document",
    "planner_settings",
    "planning_chart",
    "size_band",
]
