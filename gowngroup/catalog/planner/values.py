"""What one gown needs, in planning values: millimetres, minutes and counts."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import ceil

from gowngroup.catalog.material_kinds import SET_IN_KINDS
from gowngroup.planning.drafting import Piece
from gowngroup.planning.geometry import PolygonPoints, signed_area_mm2
from gowngroup.planning.hours import StageTime
from gowngroup.planning.smocking import CompiledChart, PleaterProfile
from gowngroup.planning.thread import SeamThread

SWATCH = "swatch"
_ROUNDING_MM = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannerSettings:
    """The figures in force and the pleater in use, read once for a whole plan."""

    figures: Mapping[str, float]
    pleater: PleaterProfile


@dataclass(frozen=True, slots=True, kw_only=True)
class GownPiece:
    """A piece to cut: its name for the reader, the part of the gown it is, and its pattern.

    Companion pieces, such as a bonnet, are cut from the same cloth but are no part of the gown; a matched piece
    meets the print of the others.
    """

    name: str
    part: str
    pattern: Piece
    is_companion: bool = False
    is_matched: bool = False

    @property
    def count(self) -> int:
        """How many are cut."""
        return self.pattern.count

    @property
    def is_left_unsewn(self) -> bool:
        """Is it a spare piece of cloth that goes along as it is cut?"""
        return self.part == SWATCH

    @property
    def outline(self) -> PolygonPoints:
        """The cutting outline in mm, x across the cloth and y along the grain."""
        return self.pattern.cut_polygon

    @property
    def shapes(self) -> tuple[PolygonPoints, ...]:
        """The outline once for every piece to be cut, pairs turned over."""
        return self.pattern.cut_shapes

    @property
    def may_turn(self) -> bool:
        """May it lie upside down where the cloth allows?"""
        return self.pattern.may_turn

    @property
    def width_mm(self) -> float:
        """Width across the cloth."""
        return self.pattern.cut_size_mm[0]

    @property
    def length_mm(self) -> float:
        """Length along the grain."""
        return self.pattern.cut_size_mm[1]

    @property
    def area_mm2(self) -> float:
        """Cloth of all the pieces of this name."""
        return self.count * abs(signed_area_mm2(self.outline))


@dataclass(frozen=True, slots=True, kw_only=True)
class TrimNeed:
    """Lace, other trim or ribbon for one place: so many unjoined lengths, gathering and ends included.

    `width_mm` shows, where the design asks for it; batiste edges are trimmed to `batiste_mm`, a seam's width. A ribbon
    that is drawn through beading is sewn only into the seams at its ends. Its length is edge · ratio + two ends.
    """

    kind: str
    place: str
    length_mm: float
    count: int
    width_mm: float | None = None
    batiste_mm: float | None = None
    is_drawn_through: bool = False
    edge_mm: float | None = None
    ratio: float = 1.0
    end_mm: float = 0.0

    @property
    def is_set_in(self) -> bool:
        """Does it lie between two edges?"""
        return self.kind in SET_IN_KINDS

    @property
    def table_mm(self) -> float:
        """Each length in whole millimetres, rounded up, as it is cut."""
        return float(ceil(self.length_mm - _ROUNDING_MM))

    @property
    def sewn_mm(self) -> float:
        """How far it is sewn on: along both sides where it is set in."""
        sides = 0 if self.is_drawn_through else 2 if self.is_set_in else 1
        return sides * self.count * self.length_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class NotionNeed:
    """A notion counted in pieces."""

    place: str
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class FlossNeed:
    """Cuts of one floss of the chart; `heavy_cuts` for a worker whose tension takes more.

    `spare_cuts` are wound once for each kit, however many gowns it makes.
    """

    role: str
    strand_count: int
    length_mm: float
    needlefuls: int
    cuts: int
    heavy_cuts: int
    spare_cuts: int = 0

    def kit_cuts(self, gown_count: int) -> int:
        """Cuts wound for a kit of so many gowns, the spare among them."""
        return self.cuts * gown_count + self.spare_cuts


@dataclass(frozen=True, slots=True, kw_only=True)
class PleatedRow:
    """A pleated row once blocked: what it measures and how close its pleats lie."""

    number: int
    finished_mm: float
    pitch_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PleatingGuide:
    """What the pleater is threaded for; `row_count` counts the holding rows."""

    pleat_count: int
    design_row_count: int
    row_count: int
    flat_mm: float
    finished_mm: float
    cloth_ratio: float
    take_up_mm: float
    row_space_mm: float
    thread_mm: float
    rows: tuple[PleatedRow, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """One finished measure of the gown with its name for the reader."""

    key: str
    label: str
    length_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class GownNeed:
    """Everything one gown of a design revision, size and purpose needs; `faults` say why it cannot be made."""

    revision_id: int
    size_id: int
    purpose: str
    pieces: tuple[GownPiece, ...] = ()
    trims: tuple[TrimNeed, ...] = ()
    notions: tuple[NotionNeed, ...] = ()
    floss: tuple[FlossNeed, ...] = ()
    sewing_thread_mm: float = 0.0
    stage_times: tuple[StageTime, ...] = ()
    measures: tuple[Measure, ...] = ()
    pleating: PleatingGuide | None = None
    smocking: CompiledChart | None = None
    faults: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    seam_threads: tuple[SeamThread, ...] = ()

    @property
    def can_be_made(self) -> bool:
        """Has it no fault?"""
        return not self.faults

    @property
    def area_mm2(self) -> float:
        """Cloth in all its pieces."""
        return sum(piece.area_mm2 for piece in self.pieces)

    @property
    def stitch_count(self) -> int:
        """Smocking stitches."""
        return self.smocking.move_count if self.smocking else 0

    @property
    def lace_mm(self) -> float:
        """Lace and other trim sewn on."""
        return sum(trim.length_mm * trim.count for trim in self.trims)

    def measure_mm(self, key: str) -> float | None:
        """A finished measure by its key, if the gown has it."""
        return next((measure.length_mm for measure in self.measures if measure.key == key), None)
