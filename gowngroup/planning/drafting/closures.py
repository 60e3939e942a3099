"""How a gown is closed, and what must never be used for it."""

from dataclasses import dataclass
from typing import Literal

from gowngroup.planning.drafting.refusals import CannotDraft
from gowngroup.planning.drafting.rules import DraftRules
from gowngroup.planning.sizes import SizeBand

ClosureKind = Literal["none", "flat fastening", "ties", "drawstring"]
ClosureFaultCode = Literal[
    "cord_at_neck", "tie_longer_than_neck", "tie_too_long", "tie_reaches_hem", "drawstring_too_long", "metal"
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Closure:
    """A closure: `finished_length_mm` of each tie or drawstring end, `depth_mm` below the neck seam where it sits."""

    kind: ClosureKind
    depth_mm: float = 0.0
    finished_length_mm: float = 0.0
    is_metal: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class ClosureFault:
    """A rule a closure breaks: what it measures and what is allowed, in mm."""

    code: ClosureFaultCode
    measured_mm: float
    allowed_mm: float


ONE_FLAT_FASTENING = Closure(kind="flat fastening")
NO_CLOSURE = Closure(kind="none")


def closure_faults(
    closure: Closure, *, size: SizeBand, rules: DraftRules, gown_length_mm: float
) -> tuple[ClosureFault, ...]:
    """Every rule a closure breaks on a gown of this length; empty when it may be used.

    Blocks: cords, ties and drawstrings near the neck (EN 14682, 0 to 7 years; safety agencies' summaries); ties
    longer than the neck, over 360 mm or reaching the hem; drawstring ends over 140 mm (EN 14682, from memory); metal.
    Where the chest is not known, no tie is short enough.
    """
    faults: list[ClosureFault] = []
    if closure.is_metal:
        faults.append(_fault("metal", 0.0, 0.0))
    if closure.kind in ("ties", "drawstring"):
        faults.extend(_cord_faults(closure, size.chest_mm or 0.0, rules))
    if closure.kind == "ties":
        faults.extend(_tie_faults(closure, size.chest_mm or 0.0, rules, gown_length_mm))
    return tuple(faults)


def refuse_bad_closure(closure: Closure, *, size: SizeBand, rules: DraftRules, gown_length_mm: float) -> None:
    """Raises CannotDraft with the first rule a closure breaks."""
    faults = closure_faults(closure, size=size, rules=rules, gown_length_mm=gown_length_mm)
    if faults:
        first = faults[0]
        raise CannotDraft(
            "closure", closure_fault=first.code, measured_mm=first.measured_mm, allowed_mm=first.allowed_mm
        )


def _cord_faults(closure: Closure, chest_mm: float, rules: DraftRules) -> list[ClosureFault]:
    faults = []
    neck_area_mm = rules.shoulder_depth_ratio * chest_mm
    if closure.depth_mm < neck_area_mm or not chest_mm:
        faults.append(_fault("cord_at_neck", closure.depth_mm, neck_area_mm))
    if closure.kind == "drawstring" and closure.finished_length_mm > rules.longest_drawstring_mm:
        allowed_mm = rules.longest_drawstring_mm
        faults.append(_fault("drawstring_too_long", closure.finished_length_mm, allowed_mm))
    return faults


def _tie_faults(
    closure: Closure, chest_mm: float, rules: DraftRules, gown_length_mm: float
) -> list[ClosureFault]:
    limits: tuple[tuple[ClosureFaultCode, float], ...] = (
        ("tie_longer_than_neck", rules.tie_chest_ratio * chest_mm),
        ("tie_too_long", rules.longest_tie_mm),
    )
    length_mm = closure.finished_length_mm
    faults = [_fault(code, length_mm, allowed_mm) for code, allowed_mm in limits if length_mm > allowed_mm]
    to_hem_mm = gown_length_mm - closure.depth_mm
    if length_mm >= to_hem_mm:
        faults.append(_fault("tie_reaches_hem", length_mm, to_hem_mm))
    return faults


def _fault(code: ClosureFaultCode, measured_mm: float, allowed_mm: float) -> ClosureFault:
    return ClosureFault(code=code, measured_mm=measured_mm, allowed_mm=allowed_mm)
