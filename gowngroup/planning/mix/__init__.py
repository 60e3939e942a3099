"""The size mix of a month: how many gowns of each size and purpose, and for which ward."""

from gowngroup.planning.mix.proposal import propose
from gowngroup.planning.mix.safety import poisson_quantile, safety_count
from gowngroup.planning.mix.shares import Judged, overall_share, shares_passed
from gowngroup.planning.mix.values import (
    CannotPropose,
    ClothRoom,
    GownChoice,
    GownSupply,
    HoursOffered,
    Limit,
    Line,
    Mix,
    MixRules,
    PastDemand,
    ProposalLine,
    Purpose,
    StageMinutes,
    WardAsk,
    WardShare,
)

__all__ = [
    "CannotPropose",
    "ClothRoom",
    "GownChoice",
    "GownSupply",
    "HoursOffered",
    "Judged",
    "Limit",
    "Line",
    "Mix",
    "MixRules",
    "PastDemand",
    "ProposalLine",
    "Purpose",
    "StageMinutes",
    "WardAsk",
    "WardShare",
    "overall_share",
    "poisson_quantile",
    "propose",
    "safety_count",
    "shares_passed",
]
