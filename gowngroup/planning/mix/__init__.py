"""The size mix of a month: how many gowns of each size and purpose, and for which ward."""

from gowngroup.planning.mix.proposal import (
    ClothRoom,
    GownChoice,
    GownSupply,
    Line,
    ProposalLine,
    Purpose,
    WardAsk,
    WardShare,
    propose,
)

__all__ = [
    "ClothRoom",
    "GownChoice",
    "GownSupply",
    "Line",
    "ProposalLine",
    "Purpose",
    "WardAsk",
    "WardShare",
    "propose",
]
