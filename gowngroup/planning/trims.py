"""Lace, ribbon and bias: each edge is one unjoined piece, so cards are packed rather than metres added up."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from math import sqrt
from typing import Self

_ROUNDING_MM = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class TrimRules:
    """How the group gathers lace and what a bias square yields."""

    gather_sparse_ratio: float
    gather_full_ratio: float
    end_mm: float
    bias_yield_share: float

    @classmethod
    def from_figures(cls, values: Mapping[str, float]) -> Self:
        """The group's habit, from the figures keyed `lace_…`, `trim_…` and `bias_…`."""
        return cls(
            gather_sparse_ratio=values["lace_gather_sparse_ratio"],
            gather_full_ratio=values["lace_gather_full_ratio"],
            end_mm=values["trim_end_mm"],
            bias_yield_share=values["bias_yield_share"],
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class TrimPiece:
    """One edge's lace or ribbon, cut in one length."""

    key: str
    length_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class TrimSupply:
    """A card or remnant on the shelf; an opened one is used before a whole one."""

    key: str
    length_mm: float
    is_opened: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class TrimCut:
    """A piece cut from a supply, starting `start_mm` from its free end."""

    supply_key: str
    piece_key: str
    start_mm: float
    length_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class TrimLeftOver:
    """What stays of a supply that was cut, and whether an edge in use could still come from it."""

    supply_key: str
    length_mm: float
    is_useful: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class TrimPlan:
    """Cuts in the order made, pieces nothing on the shelf is long enough for, and left-overs."""

    cuts: tuple[TrimCut, ...]
    unplaced: tuple[TrimPiece, ...]
    left_overs: tuple[TrimLeftOver, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class CardNeed:
    """New cards that hold the pieces, and the pieces no card is long enough for."""

    card_count: int
    too_long: tuple[TrimPiece, ...]


@dataclass(slots=True, kw_only=True)
class _Bin:
    supply: TrimSupply
    pieces: list[TrimPiece] = field(default_factory=list)
    used_mm: float = 0.0

    @property
    def left_mm(self) -> float:
        return self.supply.length_mm - self.used_mm

    def fits(self, piece: TrimPiece) -> bool:
        return piece.length_mm <= self.left_mm + _ROUNDING_MM

    def order(self) -> tuple[bool, float, str]:
        is_whole = not (self.supply.is_opened or self.pieces)
        return (is_whole, self.left_mm, self.supply.key)

    def put(self, piece: TrimPiece) -> TrimCut:
        start_mm = self.used_mm
        self.pieces.append(piece)
        self.used_mm += piece.length_mm
        return TrimCut(
            supply_key=self.supply.key, piece_key=piece.key, start_mm=start_mm, length_mm=piece.length_mm
        )


def edge_piece_mm(edge_mm: float, *, gather_ratio: float, rules: TrimRules) -> float:
    """Lace in mm for one edge: edge · ratio and a turned-in end at both sides (common practice)."""
    return edge_mm * gather_ratio + 2 * rules.end_mm


def pack_trims(
    pieces: tuple[TrimPiece, ...], supplies: tuple[TrimSupply, ...], *, shortest_edge_mm: float
) -> TrimPlan:
    """Cut each piece whole, longest first, from the opened supply it leaves least of, else from a whole one.

    A left-over is useful from `shortest_edge_mm` upward (common practice). The plan depends on the lengths
    and keys alone, not on their order; two supplies or pieces with one key raise ValueError.
    """
    _require_own_keys([piece.key for piece in pieces], [supply.key for supply in supplies])
    bins = [_Bin(supply=supply) for supply in supplies]
    cuts, unplaced = [], []
    for piece in sorted(pieces, key=lambda piece: (-piece.length_mm, piece.key)):
        open_bins = [shelf for shelf in bins if shelf.fits(piece)]
        if open_bins:
            cuts.append(min(open_bins, key=_Bin.order).put(piece))
        else:
            unplaced.append(piece)
    return TrimPlan(
        cuts=tuple(cuts), unplaced=tuple(unplaced), left_overs=_left_overs(bins, shortest_edge_mm)
    )


def cards_needed(pieces: tuple[TrimPiece, ...], *, card_mm: float) -> CardNeed:
    """New cards to buy for unjoined pieces: six of 3.4 m need six cards of 5 m (first fit decreasing)."""
    fitting = tuple(piece for piece in pieces if piece.length_mm <= card_mm + _ROUNDING_MM)
    too_long = tuple(piece for piece in pieces if piece.length_mm > card_mm + _ROUNDING_MM)
    left_mm: list[float] = []
    for length_mm in sorted((piece.length_mm for piece in fitting), reverse=True):
        place = next((i for i, left in enumerate(left_mm) if length_mm <= left + _ROUNDING_MM), None)
        if place is None:
            left_mm.append(card_mm - length_mm)
        else:
            left_mm[place] -= length_mm
    return CardNeed(card_count=len(left_mm), too_long=too_long)


def pieces_per_card(piece_mm: float, *, card_mm: float) -> int:
    """Equal pieces one card yields: 17 of 580 mm from 10 m (derived)."""
    return int((card_mm + _ROUNDING_MM) // piece_mm)


def bias_square_side_mm(*, length_mm: float, width_mm: float, yield_share: float = 1.0) -> float:
    """Side in mm of the square that gives a continuous bias strip: √(length · width / yield) (published rule)."""
    return sqrt(length_mm * width_mm / yield_share)


def bias_from_square_mm(*, side_mm: float, width_mm: float, yield_share: float = 1.0) -> float:
    """Length in mm of bias of a width that a square really gives (published rule, yield derived)."""
    return side_mm**2 * yield_share / width_mm


def _left_overs(bins: list[_Bin], shortest_edge_mm: float) -> tuple[TrimLeftOver, ...]:
    cut_bins = sorted((shelf for shelf in bins if shelf.pieces), key=lambda shelf: shelf.supply.key)
    return tuple(
        TrimLeftOver(
            supply_key=shelf.supply.key,
            length_mm=max(shelf.left_mm, 0.0),
            is_useful=shelf.left_mm >= shortest_edge_mm - _ROUNDING_MM,
        )
        for shelf in cut_bins
    )


def _require_own_keys(*key_lists: list[str]) -> None:
    if any(len(set(keys)) != len(keys) for keys in key_lists):
        raise ValueError("each piece and each supply needs a key of its own")
