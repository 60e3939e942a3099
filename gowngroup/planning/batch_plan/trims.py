"""Lace and ribbon of a batch: unjoined lengths packed on the cards there are, and cards to buy."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from math import ceil

from gowngroup.planning.batch_plan.order import BatchKit, StockLength
from gowngroup.planning.batch_plan.plan import TrimMaterialPlan
from gowngroup.planning.shopping.values import TrimMissing
from gowngroup.planning.trims import TrimPiece, TrimSupply, pack_trims
from gowngroup.planning.trims.values import ROUNDING_MM


def trim_plans(kits: Sequence[BatchKit], stock: Iterable[StockLength]) -> tuple[TrimMaterialPlan, ...]:
    """Which length is cut from which card, material by material; a left-over is useful from the shortest edge."""
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
    plan = pack_trims(pieces, cards, shortest_edge_mm=min(piece.length_mm for piece in pieces))
    return TrimMaterialPlan(
        material_key=material_key,
        cuts=plan.cuts,
        unplaced=plan.unplaced,
        left_overs=plan.left_overs,
        score=plan.score,
        bound=plan.bound,
    )


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
