"""Every default figure of the planner, by room of the trade; the group's records start from these."""

from collections.abc import Mapping

from gowngroup.planning.figures.checking import CHECKING
from gowngroup.planning.figures.cutting import CUTTING
from gowngroup.planning.figures.drafting import DRAFTING
from gowngroup.planning.figures.figure import Figure, Mark
from gowngroup.planning.figures.mix import MIX
from gowngroup.planning.figures.smocking import SMOCKING
from gowngroup.planning.figures.work import WORK

__all__ = ["FIGURES", "Figure", "Mark", "default_values"]

FIGURES: tuple[Figure, ...] = (*DRAFTING, *SMOCKING, *CUTTING, *WORK, *MIX, *CHECKING)


def default_values() -> Mapping[str, float]:
    """The value of every figure by key, as published or as common practice has it."""
    return {figure.key: figure.value for figure in FIGURES}
