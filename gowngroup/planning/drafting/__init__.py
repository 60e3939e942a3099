"""Drafting gowns and what goes with them from a size, the rules and a pleater; and asking whether a draft closes."""

from gowngroup.planning.drafting.closing import closing_faults
from gowngroup.planning.drafting.closures import (
    NO_CLOSURE,
    ONE_FLAT_FASTENING,
    Closure,
    ClosureFault,
    ClosureFaultCode,
    ClosureKind,
    closure_faults,
)
from gowngroup.planning.drafting.companions import (
    COMPANION_KINDS,
    Companion,
    CompanionKind,
    companion_faults,
    companion_pieces,
)
from gowngroup.planning.drafting.draft import Draft, EdgeRef, FinishedMeasures, Seam, TrimEdge
from gowngroup.planning.drafting.faults import Fault, FaultCode
from gowngroup.planning.drafting.finished import finished_measures, trim_edges
from gowngroup.planning.drafting.gown import draft_gown, measures_in_force, measures_of, usual_measures
from gowngroup.planning.drafting.kinds import DRAFT_KINDS, DraftKind, GownMeasure, Purpose
from gowngroup.planning.drafting.measures import MEASURE_NAMES, RoundNeckMeasures
from gowngroup.planning.drafting.outlines import seam_outline
from gowngroup.planning.drafting.piece import Edge, Notch, Piece
from gowngroup.planning.drafting.pleated_panel import SmockedPanel, panel_pleat_count
from gowngroup.planning.drafting.refusals import CannotDraft, RefusalCode
from gowngroup.planning.drafting.round_neck import draft_round_neck
from gowngroup.planning.drafting.rules import DraftRules
from gowngroup.planning.drafting.strip import SmockedRow, SmockedStrip
from gowngroup.planning.drafting.wrap import draft_wrap
from gowngroup.planning.drafting.wrap_measures import WrapMeasures
from gowngroup.planning.drafting.yoke_gown import draft_yoke_gown
from gowngroup.planning.drafting.yoke_measures import YokeMeasures

__all__ = [
    "COMPANION_KINDS",
    "DRAFT_KINDS",
    "MEASURE_NAMES",
    "NO_CLOSURE",
    "ONE_FLAT_FASTENING",
    "CannotDraft",
    "Closure",
    "ClosureFault",
    "ClosureFaultCode",
    "ClosureKind",
    "Companion",
    "CompanionKind",
    "Draft",
    "DraftKind",
    "DraftRules",
    "Edge",
    "EdgeRef",
    "Fault",
    "FaultCode",
    "FinishedMeasures",
    "GownMeasure",
    "Notch",
    "Piece",
    "Purpose",
    "RefusalCode",
    "RoundNeckMeasures",
    "Seam",
    "SmockedPanel",
    "SmockedRow",
    "SmockedStrip",
    "TrimEdge",
    "WrapMeasures",
    "YokeMeasures",
    "closing_faults",
    "closure_faults",
    "companion_faults",
    "companion_pieces",
    "draft_gown",
    "draft_round_neck",
    "draft_wrap",
    "draft_yoke_gown",
    "finished_measures",
    "measures_in_force",
    "measures_of",
    "panel_pleat_count",
    "seam_outline",
    "trim_edges",
    "usual_measures",
]
