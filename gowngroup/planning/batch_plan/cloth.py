"""The cloth side of a plan: a kit's pieces, its bias squares, and the cloth to buy for kits left without."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from itertools import chain, groupby

from gowngroup.planning.allocation.values import KitCloth, UnmadeKit
from gowngroup.planning.batch_plan.order import BatchKit, BatchRules
from gowngroup.planning.batch_plan.plan import BiasSquare, Shortage
from gowngroup.planning.lay.engines import shortest_lay
from gowngroup.planning.lay.values import LayEngine, LayPiece, Outline, Strip, outline_size_mm
from gowngroup.planning.shopping.units import cloth_order, to_um
from gowngroup.planning.trims import TrimRules, bias_square_side_mm

# These kits wait for washing or for a decision, not for a shop.
NOT_BOUGHT = ("not_measured", "other_lot")


def bias_squares(kit: BatchKit, rules: TrimRules) -> tuple[BiasSquare, ...]:
    """One square for each width of bias in a kit, all its gowns together."""
    widths: dict[float, float] = {}
    for need in kit.bias:
        widths[need.width_mm] = widths.get(need.width_mm, 0.0) + need.length_mm * kit.gown_count
    return tuple(
        BiasSquare(
            kit_key=kit.key,
            length_mm=length_mm,
            width_mm=width_mm,
            side_mm=bias_square_side_mm(
                length_mm=length_mm, width_mm=width_mm, yield_share=rules.bias_yield_share
            ),
        )
        for width_mm, length_mm in sorted(widths.items())
    )


def kit_cloth(kit: BatchKit, squares: Sequence[BiasSquare]) -> KitCloth:
    """Every piece of a kit, gown after gown, and its bias squares, as the allocation takes them."""
    return KitCloth(
        key=kit.key,
        pieces=(*_gown_pieces(kit), *_square_pieces(kit, squares)),
        wishes=kit.cloth,
        matched_set_key=kit.matched_set_key,
        gown_count=kit.gown_count,
        is_first=kit.purpose == "memorial",
        lot_key=kit.lot_key,
    )


def _gown_pieces(kit: BatchKit) -> Iterator[LayPiece]:
    for piece in kit.pieces:
        outlines = piece.outlines * kit.gown_count
        for number, outline in enumerate(outlines, start=1):
            yield _lay_piece(kit, piece.name, number, outline, may_turn=piece.may_turn)


def _square_pieces(kit: BatchKit, squares: Sequence[BiasSquare]) -> Iterator[LayPiece]:
    for number, square in enumerate(squares, start=1):
        side_mm = square.side_mm
        outline = ((0.0, 0.0), (side_mm, 0.0), (side_mm, side_mm), (0.0, side_mm))
        yield _lay_piece(kit, "bias square", number, outline, may_turn=True)


def _lay_piece(kit: BatchKit, name: str, number: int, outline: Outline, *, may_turn: bool) -> LayPiece:
    return LayPiece(
        key=f"{kit.key}/{name}/{number}",
        kit_key=kit.key,
        name=name,
        number=number,
        outline=outline,
        may_turn=may_turn,
    )


def cloth_shortages(
    unmade: Iterable[UnmadeKit], cloths: Sequence[KitCloth], rules: BatchRules, engines: Sequence[LayEngine]
) -> Iterator[Shortage]:
    """Cloth to buy for the kits no lot was found for, kits with the same wishes from one length.

    Their lay at the width shops sell, lengthened by the shrinkage to come: buy = need / (1 - s) (derived).
    """
    wanting = {each.kit_key for each in unmade if each.reason.code not in NOT_BOUGHT}
    waiting = sorted((cloth for cloth in cloths if cloth.key in wanting), key=_wishes_order)
    for _, alike in groupby(waiting, key=lambda cloth: cloth.wishes):
        yield _cloth_shortage(list(alike), rules, engines)


def _cloth_shortage(cloths: Sequence[KitCloth], rules: BatchRules, engines: Sequence[LayEngine]) -> Shortage:
    needed_mm = _needed_mm(cloths, rules, engines) / (1 - rules.shop_shrink_share)
    order = cloth_order(to_um(needed_mm), is_metric=rules.measure == "metric", rules=rules.shop)
    return Shortage(
        kind="cloth",
        material_key=", ".join(cloths[0].wishes.kinds),
        unit="cloth length",
        unit_count=order.unit_count,
        unit_mm=order.unit_um / 1000,
        short_mm=needed_mm,
        kit_keys=tuple(sorted(cloth.key for cloth in cloths)),
    )


def _needed_mm(cloths: Sequence[KitCloth], rules: BatchRules, engines: Sequence[LayEngine]) -> float:
    """Length of the lay at the shops' usual width, or at the widest piece where that is wider still."""
    pieces = tuple(chain.from_iterable(cloth.pieces for cloth in cloths))
    usual_mm = rules.shop_cloth_width_mm * (1 - rules.shop_shrink_share) - 2 * rules.shop_selvedge_mm
    widest_mm = max(outline_size_mm(piece.outline)[0] for piece in pieces)
    strip = Strip(
        usable_width_mm=max(usual_mm, widest_mm),
        length_mm=math.inf,
        gap_mm=rules.cutting.gap_mm,
        length_step_mm=rules.cutting.length_step_mm,
    )
    return shortest_lay(pieces, strip, engines=engines, tolerance_mm=rules.cutting.tolerance_mm).length_mm


def _wishes_order(cloth: KitCloth) -> tuple[str, str]:
    return repr(cloth.wishes), cloth.key
