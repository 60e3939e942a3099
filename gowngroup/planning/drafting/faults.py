"""What keeps a draft from being sewn."""

from dataclasses import dataclass
from typing import Literal

FaultCode = Literal[
    "seam",
    "notch",
    "notches_missing",
    "neck",
    "chest",
    "sleeve",
    "outline_open",
    "outline_crosses",
    "allowance",
    "mirror",
    "no_partner",
    "grain_line",
    "grain",
    "opening",
    "overlap",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """Where a draft does not close, at which seam, piece or measure, and by how many mm (0 where none is measured)."""

    code: FaultCode
    where: str
    difference_mm: float = 0.0
