"""The quick cutting: each piece from the first card that fits, the longest pieces first."""

from __future__ import annotations

from dataclasses import dataclass, field

from gowngroup.planning.trims.values import (
    ROUNDING_MM,
    TrimCut,
    TrimLeftOver,
    TrimPiece,
    TrimPlan,
    TrimSupply,
    refuse_bad_trims,
)


@dataclass(slots=True, kw_only=True)
class _Bin:
    supply: TrimSupply
    pieces: list[TrimPiece] = field(default_factory=list)
    used_mm: float = 0.0

    @property
    def left_mm(self) -> float:
        return self.supply.length_mm - self.used_mm

    def fits(self, piece: TrimPiece) -> bool:
        return piece.length_mm <= self.left_mm + ROUNDING_MM

    def order(self) -> tuple[bool, float, str]:
        is_whole = not (self.supply.is_opened or self.pieces)
        return (is_whole, self.left_mm, self.supply.key)

    def put(self, piece: TrimPiece) -> TrimCut:
        cut = cut_of(self.supply, piece, self.used_mm)
        self.pieces.append(piece)
        self.used_mm += piece.length_mm
        return cut


def pack_first_fit(
    pieces: tuple[TrimPiece, ...], supplies: tuple[TrimSupply, ...], *, shortest_edge_mm: float
) -> TrimPlan:
    """Cut each piece whole, longest first, from the opened supply it leaves least of, else from a whole one.

    A left-over is useful from `shortest_edge_mm` upward (common practice). The plan depends on the lengths
    and keys alone, not on their order. Raises CannotCutTrims naming the piece or supply.
    """
    refuse_bad_trims(pieces, supplies)
    bins = [_Bin(supply=supply) for supply in supplies]
    cuts, unplaced = [], []
    for piece in sorted(pieces, key=lambda piece: (-piece.length_mm, piece.key)):
        open_bins = [shelf for shelf in bins if shelf.fits(piece)]
        if open_bins:
            cuts.append(min(open_bins, key=_Bin.order).put(piece))
        else:
            unplaced.append(piece)
    cut_bins = sorted((shelf for shelf in bins if shelf.pieces), key=lambda shelf: shelf.supply.key)
    return TrimPlan(
        cuts=tuple(cuts),
        unplaced=tuple(unplaced),
        left_overs=tuple(left_over(shelf.supply, shelf.used_mm, shortest_edge_mm) for shelf in cut_bins),
    )


def first_fit_cards(pieces: tuple[TrimPiece, ...], *, card_mm: float) -> int:
    """New cards that hold pieces none of which is longer than a card, longest first."""
    left_mm: list[float] = []
    for length_mm in sorted((piece.length_mm for piece in pieces), reverse=True):
        place = next((i for i, left in enumerate(left_mm) if length_mm <= left + ROUNDING_MM), None)
        if place is None:
            left_mm.append(card_mm - length_mm)
        else:
            left_mm[place] -= length_mm
    return len(left_mm)


def pieces_per_card(piece_mm: float, *, card_mm: float) -> int:
    """Equal pieces one card yields: 17 of 580 mm from 10 m (derived)."""
    return int((card_mm + ROUNDING_MM) // piece_mm)


def cut_of(supply: TrimSupply, piece: TrimPiece, start_mm: float) -> TrimCut:
    """A piece cut from a supply where the last one ended."""
    return TrimCut(supply_key=supply.key, piece_key=piece.key, start_mm=start_mm, length_mm=piece.length_mm)


def left_over(supply: TrimSupply, used_mm: float, shortest_edge_mm: float) -> TrimLeftOver:
    """What stays of a supply after its cuts."""
    left_mm = supply.length_mm - used_mm
    return TrimLeftOver(
        supply_key=supply.key,
        length_mm=max(left_mm, 0.0),
        is_useful=left_mm >= shortest_edge_mm - ROUNDING_MM,
    )
