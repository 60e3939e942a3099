"""Lace, ribbon, set-in trims and bias: each edge is one unjoined piece, so cards are packed, not metres added up."""

from gowngroup.planning.trims.bias import bias_from_square_mm, bias_square_side_mm
from gowngroup.planning.trims.cutting import cards_needed, pack_trims
from gowngroup.planning.trims.first_fit import pack_first_fit, pieces_per_card
from gowngroup.planning.trims.rules import Trim, TrimKind, TrimRules, edge_piece_mm, trim_piece_mm, washed_mm
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
    "bias_from_square_mm",
    "bias_square_side_mm",
    "cards_needed",
    "edge_piece_mm",
    "pack_first_fit",
    "pack_trims",
    "pieces_per_card",
    "trim_piece_mm",
    "washed_mm",
]
