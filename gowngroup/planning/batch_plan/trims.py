"""Lace and ribbon of a batch: unjoined lengths packed on the cards there are, and cards to buy."""

from __future__ import annotations

from bisect import bisect_left
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import chain, groupby
from math import ceil

from gowngroup.planning.batch_plan.order import BatchKit, StockLength
from gowngroup.planning.batch_plan.plan import TrimMaterialPlan
from gowngroup.planning.shopping.values import TrimMissing
from gowngroup.planning.trims import (
    TrimCut,
    TrimLeftOver,
    TrimPiece,
    TrimPlan,
    TrimSupply,
    pack_first_fit,
    pack_trims,
)
from gowngroup.planning.trims.first_fit import left_over
from gowngroup.planning.trims.values import ROUNDING_MM


def trim_plans(kits: Sequence[BatchKit], stock: Iterable[StockLength]) -> tuple[TrimMaterialPlan, ...]:
    """Which length is cut from which card, material by material; a left-over is useful from the shortest edge.

    Where the cards are too short for all, earlier kits come first, each with all its lengths; later ones get what still
    fits (common practice, no source: a gown with half its lace cannot be finished).
    """
    supplies = list(stock)
    pieces = _pieces(kits)
    return tuple(
        _material_plan(material_key, tuple(pieces[material_key]), supplies) for material_key in sorted(pieces)
    )


def _pieces(kits: Iterable[BatchKit]) -> dict[str, list[TrimPiece]]:
    """Every length by material; its key names kit, place and running number."""
    pieces: dict[str, list[TrimPiece]] = {}
    numbers: Counter[str] = Counter()
    for kit in kits:
        for need in kit.trims * kit.gown_count:
            place = f"{kit.key}/{need.place}"
            for number in range(numbers[place] + 1, numbers[place] + need.count + 1):
                piece = TrimPiece(key=f"{place}/{number}", length_mm=_at_the_table_mm(need.length_mm))
                pieces.setdefault(need.material_key, []).append(piece)
            numbers[place] += need.count
    return pieces


def _at_the_table_mm(length_mm: float) -> float:
    """Whole millimetres, rounded up: what can be read off a tape."""
    return float(ceil(length_mm - ROUNDING_MM))


def _material_plan(
    material_key: str, pieces: tuple[TrimPiece, ...], stock: Iterable[StockLength]
) -> TrimMaterialPlan:
    cards = tuple(
        TrimSupply(key=card.key, length_mm=card.length_mm, is_opened=card.is_part)
        for card in stock
        if card.material_key == material_key
    )
    shortest_mm = min(piece.length_mm for piece in pieces)
    plan = pack_trims(pieces, cards, shortest_edge_mm=shortest_mm)
    if plan.unplaced:
        plan = _in_turn(pieces, cards, shortest_mm=shortest_mm)
    return TrimMaterialPlan(
        material_key=material_key,
        cuts=plan.cuts,
        unplaced=plan.unplaced,
        left_overs=plan.left_overs,
        score=plan.score,
        bound=plan.bound,
    )


def _in_turn(pieces: Sequence[TrimPiece], cards: tuple[TrimSupply, ...], *, shortest_mm: float) -> TrimPlan:
    """As many of the first kits as can have all their lengths, then later ones that still can, then single lengths."""
    kits = [tuple(group) for _, group in groupby(pieces, key=lambda piece: piece.key.partition("/")[0])]
    firsts = [tuple(chain.from_iterable(kits[:count])) for count in range(1, len(kits) + 1)]
    count = bisect_left(firsts, True, key=lambda first: not _all_fit(first, cards, shortest_mm))
    cutting = _Cutting(cards, shortest_mm)
    cutting.add(pack_trims(tuple(chain.from_iterable(kits[:count])), cards, shortest_edge_mm=shortest_mm))
    parted: list[TrimPiece] = []
    for kit in kits[count:]:
        plan = pack_first_fit(kit, cutting.cards, shortest_edge_mm=shortest_mm)
        if plan.unplaced:
            parted.extend(kit)
        else:
            cutting.add(plan)
    rest = pack_trims(tuple(parted), cutting.cards, shortest_edge_mm=shortest_mm)
    cutting.add(rest)
    return TrimPlan(cuts=tuple(cutting.cuts), unplaced=rest.unplaced, left_overs=cutting.left_overs)


def _all_fit(pieces: tuple[TrimPiece, ...], cards: tuple[TrimSupply, ...], shortest_mm: float) -> bool:
    """Can all of these be cut? Asked quickly first, for exactly takes longer."""
    if sum(piece.length_mm for piece in pieces) > sum(card.length_mm for card in cards):
        return False
    ways = (pack_first_fit, pack_trims)
    return any(not way(pieces, cards, shortest_edge_mm=shortest_mm).unplaced for way in ways)


class _Cutting:
    """Cards as one cutting after another is made from them."""

    def __init__(self, cards: tuple[TrimSupply, ...], shortest_mm: float) -> None:
        self.whole = cards
        self.shortest_mm = shortest_mm
        self.used_mm: dict[str, float] = {}
        self.cuts: list[TrimCut] = []

    @property
    def cards(self) -> tuple[TrimSupply, ...]:
        """The cards as they are by now, those used up left out."""
        return tuple(
            replace(card, length_mm=left_mm, is_opened=card.is_opened or card.key in self.used_mm)
            for card in self.whole
            if (left_mm := card.length_mm - self.used_mm.get(card.key, 0.0)) > ROUNDING_MM
        )

    @property
    def left_overs(self) -> tuple[TrimLeftOver, ...]:
        """What stays of each card that was cut."""
        return tuple(
            left_over(card, self.used_mm[card.key], self.shortest_mm)
            for card in self.whole
            if card.key in self.used_mm
        )

    def add(self, plan: TrimPlan) -> None:
        """Cut the pieces of a plan made for the cards as they are."""
        before_mm = self.used_mm.copy()
        for cut in plan.cuts:
            self.cuts.append(replace(cut, start_mm=before_mm.get(cut.supply_key, 0.0) + cut.start_mm))
            self.used_mm[cut.supply_key] = self.used_mm.get(cut.supply_key, 0.0) + cut.length_mm


def left_on_cards(plans: Iterable[TrimMaterialPlan], stock: Iterable[StockLength]) -> Iterator[StockLength]:
    """Cards and remnants as they are once the plans' pieces are cut from them."""
    left_mm = {left.supply_key: left.length_mm for plan in plans for left in plan.left_overs}
    for card in stock:
        if (length_mm := left_mm.get(card.key, card.length_mm)) > 0:
            yield replace(card, length_mm=length_mm, is_part=card.is_part or card.key in left_mm)


def trims_missing(
    plans: Iterable[TrimMaterialPlan], kits: Sequence[BatchKit], stock: Iterable[StockLength]
) -> Iterator[TrimMissing]:
    """Lengths to buy cards for: those no card is left for, and those of kits that wait, from what then stays."""
    made = list(plans)
    waiting = trim_plans(kits, left_on_cards(made, stock))
    pieces: dict[str, list[TrimPiece]] = {}
    for plan in (*made, *waiting):
        pieces.setdefault(plan.material_key, []).extend(plan.unplaced)
    for material_key in sorted(pieces):
        if pieces[material_key]:
            yield TrimMissing(material_key=material_key, pieces=tuple(pieces[material_key]))
