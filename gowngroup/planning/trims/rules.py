"""How the group gathers, shrinks and joins trims, and what each kind of trim loses at its ends."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import inf
from typing import Literal, Self

TrimKind = Literal["lace", "edging", "insertion", "beading", "entredeux", "ribbon"]

# Set in between two pieces: never gathered, and each end is caught in a seam of the gown.
SET_IN: tuple[TrimKind, ...] = ("insertion", "beading", "entredeux")


@dataclass(frozen=True, slots=True, kw_only=True)
class TrimRules:
    """How the group gathers lace, what it adds at the ends, what a bias square yields and ribbon through beading takes."""

    gather_sparse_ratio: float
    gather_full_ratio: float
    end_mm: float
    bias_yield_share: float
    beading_ribbon_ratio: float

    @classmethod
    def from_figures(cls, values: Mapping[str, float]) -> Self:
        """The group's habit, from the figures keyed `lace_…`, `trim_…`, `bias_…` and `beading_…`."""
        return cls(
            gather_sparse_ratio=values["lace_gather_sparse_ratio"],
            gather_full_ratio=values["lace_gather_full_ratio"],
            end_mm=values["trim_end_mm"],
            bias_yield_share=values["bias_yield_share"],
            beading_ribbon_ratio=values["beading_ribbon_ratio"],
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Trim:
    """A trim as it is sold: its width all over, and the seam allowance it brings on each long side (lace has none)."""

    name: str
    kind: TrimKind
    width_mm: float
    allowance_mm: float = 0.0

    @property
    def shown_mm(self) -> float:
        """The width that shows once both allowances lie in the seams."""
        return self.width_mm - 2 * self.allowance_mm


def edge_piece_mm(edge_mm: float, *, gather_ratio: float, rules: TrimRules) -> float:
    """Lace in mm for one edge: edge · ratio and a turned-in end at both sides (common practice)."""
    return edge_mm * gather_ratio + 2 * rules.end_mm


def trim_piece_mm(
    trim: Trim, edge_mm: float, *, gather_ratio: float = 1.0, seam_mm: float, rules: TrimRules
) -> float:
    """One unjoined length in mm of any trim: sewn on it turns its ends in, set in it reaches through both end seams.

    Raises ValueError naming the trim where it is set in and gathered, or as wide as its allowances (common practice).
    """
    if not trim.shown_mm > 0:  # so that no number is no width either
        raise ValueError(f"nothing of {trim.name} shows: it is no wider than its seam allowances")
    end_mm = seam_mm if trim.kind in SET_IN else rules.end_mm
    return trim_length_mm(trim.kind, edge_mm, gather_ratio=gather_ratio, end_mm=end_mm, name=trim.name)


def trim_length_mm(
    kind: TrimKind, edge_mm: float, *, gather_ratio: float = 1.0, end_mm: float, name: str = ""
) -> float:
    """One unjoined length in mm: edge · ratio + an end at both sides, turned in, or caught in a seam where it is set in.

    Raises ValueError naming the trim where it is set in and gathered, or its edge is none (common practice).
    """
    if kind in SET_IN and gather_ratio != 1:
        raise ValueError(f"{name or kind} is set in between two seams, so it cannot be gathered")
    if not (0 <= edge_mm < inf and 0 < gather_ratio < inf):
        raise ValueError(
            f"{name or kind}: an edge of {edge_mm} mm, gathered {gather_ratio} to 1, takes no length"
        )
    return edge_mm * gather_ratio + 2 * end_mm


def threaded_ribbon_mm(beading_mm: float, *, rules: TrimRules) -> float:
    """Ribbon in mm drawn through a length of beading: its length · what going in and out takes (common practice).

    Its ends are caught in the same seams as those of the beading, so they are in its length already.
    """
    return beading_mm * rules.beading_ribbon_ratio


def batiste_cut_off_mm(trim: Trim, *, seam_mm: float) -> float:
    """What is cut off each batiste edge of a trim, so that it is as wide as the seam, in mm (common practice).

    Raises ValueError naming the trim where its batiste is narrower than the seam, so that the seam must be narrower.
    """
    if trim.allowance_mm < seam_mm:
        raise ValueError(f"the batiste of {trim.name} is narrower than a seam of {seam_mm:g} mm")
    return trim.allowance_mm - seam_mm


def washed_mm(length_mm: float, *, shrink_share: float) -> float:
    """What a length still measures once it is shrunk, as lace, entredeux and ribbon are before cutting."""
    return length_mm * (1 - shrink_share)
