"""Lace and ribbon of a batch: unjoined lengths packed on the cards there are, and cards to buy."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from math import ceil

from gowngroup.planning.batch_plan.order import BatchKit, StockLength
from gowngroup.planning.batch_plan.plan import Shortage, TrimMaterialPlan
from gowngroup.planning.shopping.units import ShopRules
from gowngroup.planning.trims import TrimPiece, TrimSupply, cards_needed, pack_trims
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


def trim_shortages(plans: Iterable[TrimMaterialPlan], rules: ShopRules) -> Iterator[Shortage]:
    """Cards to buy, and lengths no card is long enough for, to be bought off the roll."""
    for plan in plans:
        need = cards_needed(plan.unplaced, card_mm=rules.card_um / 1000)
        fitting = [piece for piece in plan.unplaced if piece not in need.too_long]
        if fitting:
            yield _shortage(plan.material_key, fitting, rules.card_um / 1000, need.card_count)
        if need.too_long:
            yield _shortage(plan.material_key, need.too_long, None, len(need.too_long))


def _shortage(
    material_key: str, pieces: Sequence[TrimPiece], card_mm: float | None, unit_count: int
) -> Shortage:
    longest_mm = max(piece.length_mm for piece in pieces)
    return Shortage(
        kind="trim",
        material_key=material_key,
        unit="unjoined length" if card_mm is None else "card",
        unit_count=unit_count,
        unit_mm=longest_mm if card_mm is None else card_mm,
        short_mm=sum(piece.length_mm for piece in pieces),
        kit_keys=tuple(sorted({piece.key.split("/")[0] for piece in pieces})),
    )
