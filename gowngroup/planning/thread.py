"""Sewing thread per seam by stitch class of ISO 4915."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import ceil, hypot, inf
from typing import Literal, Self

StitchClass = Literal["301", "304", "401"]
_ROUNDING = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreadRules:
    """What sewing loses and how long a spool is."""

    waste_share: float
    spool_mm: float

    @classmethod
    def from_figures(cls, values: Mapping[str, float]) -> Self:
        """The group's habit, from the figures keyed `thread_…`."""
        return cls(waste_share=values["thread_waste_share"], spool_mm=values["thread_spool_mm"])


@dataclass(frozen=True, slots=True, kw_only=True)
class Seam:
    """A machine-sewn seam; thickness is that of all plies together, width that of a zigzag."""

    name: str
    stitch_class: StitchClass
    length_mm: float
    thickness_mm: float
    stitch_length_mm: float
    width_mm: float = 0.0


def thread_ratio(seam: Seam) -> float:
    """Length of thread per length of seam, without waste, in any unit (textile engineering formulas).

    Raises ValueError naming the seam. 301 lockstitch 2 + 2TS; 401 chainstitch 4 + 2TS; 304 zigzag 2√(1 + (WS)²) + 2TS, S = 1 / stitch length.
    """
    if not 0 < seam.stitch_length_mm < inf:
        raise ValueError(f"the stitch length of {seam.name} must be above zero")
    if not all(0 <= measure < inf for measure in (seam.length_mm, seam.thickness_mm, seam.width_mm)):
        raise ValueError(f"length, thickness and width of {seam.name} must be lengths")
    through = 2 * seam.thickness_mm / seam.stitch_length_mm
    along = {"301": 2.0, "304": 2 * hypot(1, seam.width_mm / seam.stitch_length_mm), "401": 4.0}
    return along[seam.stitch_class] + through


def sewing_thread_mm(seams: tuple[Seam, ...], rules: ThreadRules) -> float:
    """Sewing thread in mm for a gown's seams, waste added (10 to 20 %, common practice)."""
    return sum(seam.length_mm * thread_ratio(seam) for seam in seams) * (1 + rules.waste_share)


def spools_for(length_mm: float, rules: ThreadRules) -> int:
    """Whole spools that hold a length of thread."""
    return ceil(length_mm / rules.spool_mm - _ROUNDING)
