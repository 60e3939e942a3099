"""Rows of the catalog as planning values, and what one gown needs."""

from gowngroup.catalog.planner.chart_choice import chart_as_chosen
from gowngroup.catalog.planner.chart_over import ChartOver, chart_over, usual_width
from gowngroup.catalog.planner.chart_words import fault_sentences
from gowngroup.catalog.planner.closures import closure_sentences
from gowngroup.catalog.planner.document import need_from_document, need_to_document
from gowngroup.catalog.planner.drafted import draft_of
from gowngroup.catalog.planner.floss_steps import RowSteps, floss_runs, floss_step_label, floss_steps_of
from gowngroup.catalog.planner.needs import closing_sentences, gown_need, measure_labels, need_of_size
from gowngroup.catalog.planner.outlines import outline_sentence
from gowngroup.catalog.planner.rows import planner_settings, planning_chart, size_band
from gowngroup.catalog.planner.smocked import width_of
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
    "ChartOver",
    "FlossNeed",
    "GownNeed",
    "GownPiece",
    "Measure",
    "NotionNeed",
    "PlannerSettings",
    "PleatedRow",
    "PleatingGuide",
    "RowSteps",
    "TrimNeed",
    "chart_as_chosen",
    "chart_over",
    "closing_sentences",
    "closure_sentences",
    "draft_of",
    "fault_sentences",
    "floss_runs",
    "floss_step_label",
    "floss_steps_of",
    "gown_need",
    "measure_labels",
    "need_from_document",
    "need_of_size",
    "need_to_document",
    "outline_sentence",
    "planner_settings",
    "planning_chart",
    "size_band",
    "usual_width",
    "width_of",
]
