"""A drafted gown: its pieces, the seams that join them, and what comes out finished."""

from dataclasses import dataclass

from gowngroup.planning.drafting.closures import Closure
from gowngroup.planning.drafting.measures import Purpose, RoundNeckMeasures
from gowngroup.planning.drafting.piece import Edge, Piece
from gowngroup.planning.drafting.rules import DraftRules
from gowngroup.planning.drafting.strip import SmockedStrip
from gowngroup.planning.sizes import SizeBand


@dataclass(frozen=True, slots=True, kw_only=True)
class EdgeRef:
    """An edge of a piece; walked from its end where `is_backwards`."""

    piece: str
    edge: str
    is_backwards: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Seam:
    """Edges sewn together, both sides walked from the same end; the left is first drawn in by `taken_up_mm`."""

    name: str
    left: tuple[EdgeRef, ...]
    right: tuple[EdgeRef, ...]
    taken_up_mm: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class TrimEdge:
    """An edge that may carry lace, ribbon or binding, in one length, so many times on a gown."""

    name: str
    length_mm: float
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class FinishedMeasures:
    """What the sewn gown measures, walked on the pieces: girths closed, lengths from the neck seam."""

    neck_mm: float
    chest_mm: float
    length_mm: float
    sleeve_girth_mm: float
    sleeve_hem_mm: float
    sleeve_length_mm: float
    hem_sweep_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """A gown drafted for one size and purpose; the backs meet in an opening from neck to hem."""

    size: SizeBand
    purpose: Purpose
    rules: DraftRules
    measures: RoundNeckMeasures
    strip: SmockedStrip
    closure: Closure
    pieces: tuple[Piece, ...]
    seams: tuple[Seam, ...]

    def piece(self, name: str) -> Piece:
        """The piece of this name; raises KeyError."""
        for each in self.pieces:
            if each.name == name:
                return each
        raise KeyError(name)

    def edge(self, reference: EdgeRef) -> Edge:
        """The edge a reference names; raises KeyError."""
        return self.piece(reference.piece).edge(reference.edge)
