"""Lace, ribbon, set-in trims and bias: each edge is one unjoined piece, so cards are packed, not metres added up."""

from gowngroup.planning.trims.bias import bias_from_square_mm, bias_square_side_mm
from gowngroup.planning.trims.cutting import cards_needed, pack_trims
from gowngroup.planning.trims.first_fit import pack_first_fit, pieces_per_card
from gowngroup.planning.trims.rules import (
    SET_IN,
    Trim,
    TrimKind,
    TrimRules,
    batiste_cut_off_mm,
    edge_piece_mm,
    threaded_ribbon_mm,
    trim_length_mm,
    trim_piece_mm,
    washed_mm,
)
from gowngroup.planning.trims.values import (
    CannotCutTrims,
    CardNeed,
    TrimCut,
    TrimLeftOver,
    TrimPiece,
    TrimPlan,
    TrimScore,
    TrimSupply,
)

__all__ = [
    "SET_IN",
    "CannotCutTrims",
    "CardNeed",
    "Trim",
    "TrimCut",
    "TrimKind",
    "TrimLeftOver",
    "TrimPiece",
    "TrimPlan",
    "TrimRules",
    "TrimScore",
    "TrimSupply",
    "batiste_cut_off_mm",
    "bias_from_square_mm",
    "bias_square_side_mm",
    "cards_needed",
    "edge_piece_mm",
    "pack_first_fit",
    "pack_trims",
    "pieces_per_card",
    "threaded_ribbon_mm",
    "trim_length_mm",
    "trim_piece_mm",
    "washed_mm",
]
