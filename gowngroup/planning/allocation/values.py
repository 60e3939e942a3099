"""Cloth on the shelf, what a kit asks of it, and which kit is cut from which lot."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from gowngroup.planning.lay.values import ClothLay, Flaw, LayPiece, Strip
from gowngroup.planning.reason import Reason

ClothState = Literal["as given", "washed", "measured"]
BeforeCutting = Literal["nothing", "measure", "wash and measure"]

BEFORE_CUTTING: dict[ClothState, BeforeCutting] = {
    "as given": "wash and measure",
    "washed": "measure",
    "measured": "nothing",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class ClothWishes:
    """What cloth a kit may be cut from; an empty tuple or None asks for nothing.

    `avoided_shades` are words a ward does not want to see in the name of a shade, such as yellow.
    """

    kinds: tuple[str, ...] = ()
    fibres: tuple[str, ...] = ()
    least_weight_gsm: float | None = None
    greatest_weight_gsm: float | None = None
    least_wash_c: float = 0.0
    shade: str | None = None
    avoided_shades: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class ClothLot:
    """One length of cloth as it lies on the shelf; shrinkage shares apply only while it is as given.

    `repeat_mm` is the length after which its print comes again, 0 for plain cloth.
    """

    key: str
    kind: str
    fibre: str
    shade: str
    state: ClothState
    width_mm: float
    length_mm: float
    selvedge_mm: float
    highest_wash_c: float
    weight_gsm: float | None = None
    has_nap: bool = False
    flaws: tuple[Flaw, ...] = ()
    width_shrink_share: float = 0.0
    length_shrink_share: float = 0.0
    repeat_mm: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class KitCloth:
    """The outer pieces of one kit, all its gowns together, and the cloth they may be cut from.

    `is_first` kits are served before all others when cloth is short. `lot_key` holds a kit to one lot, as where the
    rest of its matched set has been cut from it already.
    """

    key: str
    pieces: tuple[LayPiece, ...]
    wishes: ClothWishes
    matched_set_key: str | None = None
    gown_count: int = 1
    is_first: bool = False
    lot_key: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class CuttingSettings:
    """The group's cutting figures; `may_foresee_washing` plans on cloth that has still to be washed and measured.

    `expected_lay_share` is for proposals, before there are pieces; an allocation lays the whole batch on trial instead
    and fills each lot to `lot_fill_share` of what that lay uses.
    """

    gap_mm: float = 0.0
    length_step_mm: float = 5.0
    tolerance_mm: float = 0.01
    expected_lay_share: float = 0.8
    lot_fill_share: float = 0.95
    least_left_mm: float = 350.0
    may_foresee_washing: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class LotCut:
    """The lay of one lot: whose pieces, where they lie, what must be done first and what length is left after."""

    lot_key: str
    kit_keys: tuple[str, ...]
    strip: Strip
    pieces: tuple[LayPiece, ...]
    lay: ClothLay
    before_cutting: BeforeCutting
    left_mm: float
    is_left_useful: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class KitMove:
    """Kits moved to another lot because the first lot's lay came out too long."""

    kit_keys: tuple[str, ...]
    from_lot_key: str
    to_lot_key: str


@dataclass(frozen=True, slots=True, kw_only=True)
class UnmadeKit:
    """A kit no lot can be found for, and why the lot that came nearest will not do."""

    kit_key: str
    reason: Reason


@dataclass(frozen=True, slots=True, kw_only=True)
class Allocation:
    """Which kits are cut from which lots, what was moved on the way, and what cannot be made.

    The last two are None where nothing was proven, and they speak of areas, were every lot filled by the share that
    lays are expected to use or as full as it is here: no dealing out that makes as many gowns opens
    fewer lots than `least_lot_count`; none makes more gowns, or as many from as few lots as were found to do with less cloth, useless
    left-overs included, by more than `proven_gap_share`.
    """

    cuts: tuple[LotCut, ...]
    moves: tuple[KitMove, ...]
    unmade: tuple[UnmadeKit, ...]
    proven_gap_share: float | None = None
    least_lot_count: int | None = None
