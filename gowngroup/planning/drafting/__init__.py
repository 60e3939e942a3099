"""Drafting gowns from a size, the rules and a pleater; and asking whether the draft closes."""

from gowngroup.planning.drafting.closing import closing_faults
from gowngroup.planning.drafting.closures import (
    ONE_FLAT_FASTENING,
    Closure,
    ClosureFault,
    ClosureKind,
    closure_faults,
)
from gowngroup.planning.drafting.draft import Draft, EdgeRef, FinishedMeasures, Seam, TrimEdge
from gowngroup.planning.drafting.faults import Fault
from gowngroup.planning.drafting.finished import finished_measures, trim_edges
from gowngroup.planning.drafting.measures import MEASURE_NAMES, Purpose, RoundNeckMeasures
from gowngroup.planning.drafting.outlines import seam_outline
from gowngroup.planning.drafting.piece import Edge, Notch, Piece
from gowngroup.planning.drafting.refusals import CannotDraft, RefusalCode
from gowngroup.planning.drafting.round_neck import draft_round_neck
from gowngroup.planning.drafting.rules import DraftRules
from gowngroup.planning.drafting.strip import SmockedRow, SmockedStrip

__all__ = [
    "MEASURE_NAMES",
    "ONE_FLAT_FASTENING",
    "CannotDraft",
    "Closure",
    "ClosureFault",
    "ClosureKind",
    "Draft",
    "DraftRules",
    "Edge",
    "EdgeRef",
    "Fault",
    "FinishedMeasures",
    "Notch",
    "Piece",
    "Purpose",
    "RefusalCode",
    "RoundNeckMeasures",
    "Seam",
    "SmockedRow",
    "SmockedStrip",
    "TrimEdge",
    "closing_faults",
    "closure_faults",
    "draft_round_neck",
    "finished_measures",
    "seam_outline",
    "trim_edges",
]
