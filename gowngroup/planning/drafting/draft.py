"""A drafted gown: its pieces, the seams that join them, and what comes out finished."""

from dataclasses import dataclass, fields

from gowngroup.planning.drafting.closures import Closure
from gowngroup.planning.drafting.kinds import DraftKind, Purpose
from gowngroup.planning.drafting.measures import RoundNeckMeasures
from gowngroup.planning.drafting.piece import Edge, Piece
from gowngroup.planning.drafting.pleated_panel import SmockedPanel
from gowngroup.planning.drafting.rules import DraftRules
from gowngroup.planning.drafting.strip import SmockedStrip
from gowngroup.planning.drafting.wrap_measures import WrapMeasures
from gowngroup.planning.drafting.yoke_measures import YokeMeasures
from gowngroup.planning.sizes import SizeBand


@dataclass(frozen=True, slots=True, kw_only=True)
class EdgeRef:
    """An edge of a piece; walked from its end where `is_backwards`."""

    piece: str
    edge: str
    is_backwards: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Seam:
    """Edges sewn together, both sides walked from the same end; the left is first drawn in by `taken_up_mm`.

    `is_facing` joins a layer to its lining, which closes no opening.
    """

    name: str
    left: tuple[EdgeRef, ...]
    right: tuple[EdgeRef, ...]
    taken_up_mm: float = 0.0
    is_facing: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class TrimEdge:
    """An edge that may carry lace, ribbon or binding, in one length, so many times on a gown."""

    name: str
    length_mm: float
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class FinishedMeasures:
    """What the sewn gown measures, walked on the pieces: girths closed, lengths from the neck seam.

    None where a kind of gown has no such measure; `width_mm` is that of a wrap laid out flat.
    """

    chest_mm: float
    length_mm: float
    hem_sweep_mm: float
    neck_mm: float | None = None
    sleeve_girth_mm: float | None = None
    sleeve_hem_mm: float | None = None
    sleeve_length_mm: float | None = None
    smocked_width_mm: float | None = None
    width_mm: float | None = None

    @property
    def known(self) -> dict[str, float]:
        """The measures this kind of gown has, by name."""
        values = {field.name: getattr(self, field.name) for field in fields(self)}
        return {name: value for name, value in values.items() if value is not None}


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """A gown drafted for one size and purpose.

    `opening` names the edges that part from neck to hem; `strip` is what a round neck is smocked from, `panel`
    the front of a yoke gown, and a wrap has neither.
    """

    kind: DraftKind
    size: SizeBand
    purpose: Purpose
    rules: DraftRules
    measures: RoundNeckMeasures | YokeMeasures | WrapMeasures
    closure: Closure
    pieces: tuple[Piece, ...]
    seams: tuple[Seam, ...]
    opening: tuple[EdgeRef, ...]
    strip: SmockedStrip | None = None
    panel: SmockedPanel | None = None

    @property
    def smocking(self) -> SmockedStrip | SmockedPanel | None:
        """What is pleated and smocked, if anything is."""
        return self.strip or self.panel

    def piece(self, name: str) -> Piece:
        """The piece of this name; raises KeyError."""
        for each in self.pieces:
            if each.name == name:
                return each
        raise KeyError(name)

    def edge(self, reference: EdgeRef) -> Edge:
        """The edge a reference names; raises KeyError."""
        return self.piece(reference.piece).edge(reference.edge)
