"""What keeps a draft from being sewn."""

from dataclasses import dataclass
from typing import Literal

FaultCode = Literal[
    "seam", "notch", "neck", "chest", "sleeve", "outline", "allowance", "mirror", "grain", "opening"
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """Where a draft does not close and by how many mm, with a plain sentence."""

    code: FaultCode
    where: str
    difference_mm: float
    sentence: str


def fault(code: FaultCode, where: str, difference_mm: float, sentence: str) -> Fault:
    """A fault in the order it is read."""
    return Fault(code=code, where=where, difference_mm=difference_mm, sentence=sentence)
