"""A finished batch plan: plain values that are stored whole and printed again years later."""

from __future__ import annotations

from dataclasses import dataclass

from gowngroup.planning.allocation.values import KitMove, LotCut, UnmadeKit
from gowngroup.planning.batch_plan.way import CuttingWay
from gowngroup.planning.mix import Purpose
from gowngroup.planning.shopping.values import Shortage
from gowngroup.planning.skeins import SkeinTake
from gowngroup.planning.thread import StitchClass
from gowngroup.planning.trims import TrimCut, TrimLeftOver, TrimPiece, TrimScore

FORMAT_VERSION = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedKit:
    """A kit of the batch, the lot it is cut from (None where none was found) and its usual minutes."""

    key: str
    design_key: str
    size_name: str
    purpose: Purpose
    gown_count: int
    matched_set_key: str | None
    lot_key: str | None
    minutes: float


@dataclass(frozen=True, slots=True, kw_only=True)
class BiasSquare:
    """A square cut from the kit's cloth for one width of bias, all gowns of the kit together."""

    kit_key: str
    length_mm: float
    width_mm: float
    side_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class TrimMaterialPlan:
    """One lace or ribbon: which length is cut from which card, what finds none, and what is left.

    No cutting can be better than `bound`; plans stored before there was a proof name neither.
    """

    material_key: str
    cuts: tuple[TrimCut, ...]
    unplaced: tuple[TrimPiece, ...]
    left_overs: tuple[TrimLeftOver, ...]
    score: TrimScore | None = None
    bound: TrimScore | None = None

    @property
    def is_proven(self) -> bool:
        """Is it proven that no cutting is better?"""
        return self.score is not None and self.score == self.bound


@dataclass(frozen=True, slots=True, kw_only=True)
class KitWinding:
    """Cuts of one shade wound for a kit from one skein."""

    kit_key: str
    skein_key: str
    cuts: int


@dataclass(frozen=True, slots=True, kw_only=True)
class FlossShadePlan:
    """One shade: what is taken from each skein, what is wound for each kit, and how many cuts are short."""

    material_key: str
    cuts: int
    takes: tuple[SkeinTake, ...]
    windings: tuple[KitWinding, ...]
    short_cuts: int


@dataclass(frozen=True, slots=True, kw_only=True)
class StitchClassLength:
    """Sewing thread that goes into seams of one class."""

    stitch_class: StitchClass
    length_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreadPlan:
    """One sewing thread: needed by class, on the shelf, and left."""

    material_key: str
    by_class: tuple[StitchClassLength, ...]
    needed_mm: float
    on_hand_mm: float
    left_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class NotionPlan:
    """One kind of counted thing: needed, on the shelf, and left."""

    material_key: str
    needed_count: int
    on_hand_count: int
    left_count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchPlan:
    """Everything a batch needs: cutting, trims, floss, thread, notions, minutes, shortages and left-overs.

    `proven_gap_share` and `least_lot_count` are those of the allocation, None where it proves nothing. Plans stored
    before there was a choice were cut together.
    """

    format_version: int
    engines: tuple[str, ...]
    kits: tuple[PlannedKit, ...]
    cuts: tuple[LotCut, ...]
    moves: tuple[KitMove, ...]
    unmade: tuple[UnmadeKit, ...]
    bias: tuple[BiasSquare, ...]
    trims: tuple[TrimMaterialPlan, ...]
    floss: tuple[FlossShadePlan, ...]
    thread: tuple[ThreadPlan, ...]
    notions: tuple[NotionPlan, ...]
    shortages: tuple[Shortage, ...]
    minutes: float
    proven_gap_share: float | None = None
    least_lot_count: int | None = None
    cutting_way: CuttingWay = "together"
