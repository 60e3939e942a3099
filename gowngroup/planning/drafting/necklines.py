"""The neck of a yoke: a hollow on each side, deep and round in front, shallow behind."""

from collections.abc import Sequence
from dataclasses import dataclass

from gowngroup.planning.drafting.panel import bisected
from gowngroup.planning.drafting.refusals import CannotDraft
from gowngroup.planning.geometry import Path, path, path_length_mm, rounded_corner


@dataclass(frozen=True, slots=True, kw_only=True)
class NeckHollow:
    """How far one side is cut down, in mm or as a share of half the neck's width, and how far it runs level."""

    own_drop_mm: float | None
    drop_ratio: float
    corner_share: float

    def drop_mm(self, half_width_mm: float) -> float:
        """How far it is cut down for half a neck's width."""
        return self.drop_ratio * half_width_mm if self.own_drop_mm is None else self.own_drop_mm

    def walked(self, half_width_mm: float) -> Path:
        """The right half of its edge, from the centre up to the shoulder."""
        return half_neckline(half_width_mm, self.drop_mm(half_width_mm), self.corner_share)


def half_neckline(half_width_mm: float, drop_mm: float, corner_share: float) -> Path:
    """The right half of a neck edge, from its centre up to the shoulder, round by a corner at a share of its width."""
    corner = (corner_share * half_width_mm, drop_mm)
    return path(rounded_corner((0.0, drop_mm), corner, (half_width_mm, 0.0)))


def half_neck_width_mm(neck_mm: float, hollows: Sequence[NeckHollow]) -> float:
    """Half the width of a neck whose hollows measure `neck_mm` together; raises CannotDraft where cut too low."""

    def over_mm(half_width_mm: float) -> float:
        return 2 * sum(path_length_mm(hollow.walked(half_width_mm)) for hollow in hollows) - neck_mm

    if over_mm(0.0) >= 0:
        raise CannotDraft("neck_cannot_close", neck_mm=neck_mm)
    return bisected(over_mm, 0.0, neck_mm / 2)
