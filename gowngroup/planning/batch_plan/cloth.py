"""The cloth side of a plan: a kit's pieces, its bias squares, and the cloth to buy for kits left without."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import chain, groupby

from gowngroup.planning.allocation.values import KitCloth, UnmadeKit
from gowngroup.planning.batch_plan.order import BatchKit
from gowngroup.planning.batch_plan.plan import BiasSquare
from gowngroup.planning.lay.values import LayPiece
from gowngroup.planning.shopping.values import ClothMissing
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
            yield LayPiece(
                key=f"{kit.key}/{piece.name}/{number}",
                kit_key=kit.key,
                name=piece.name,
                number=number,
                outline=outline,
                may_turn=piece.may_turn,
                is_matched=piece.is_matched,
            )


def _square_pieces(kit: BatchKit, squares: Sequence[BiasSquare]) -> Iterator[LayPiece]:
    for number, square in enumerate(squares, start=1):
        side_mm = square.side_mm
        outline = ((0.0, 0.0), (side_mm, 0.0), (side_mm, side_mm), (0.0, side_mm))
        yield LayPiece(
            key=f"{kit.key}/bias square/{number}",
            kit_key=kit.key,
            name="bias square",
            number=number,
            outline=outline,
        )


def cloth_missing(unmade: Iterable[UnmadeKit], cloths: Sequence[KitCloth]) -> Iterator[ClothMissing]:
    """Cloth to buy for the kits no lot was found for, kits with the same wishes from one length."""
    wanting = {each.kit_key for each in unmade if each.reason.code not in NOT_BOUGHT}
    waiting = sorted((cloth for cloth in cloths if cloth.key in wanting), key=_wishes_order)
    for wishes, alike in groupby(waiting, key=lambda cloth: cloth.wishes):
        kits = tuple(alike)
        yield ClothMissing(
            material_key=", ".join(wishes.kinds),
            pieces=tuple(chain.from_iterable(kit.pieces for kit in kits)),
            kit_keys=tuple(sorted(kit.key for kit in kits)),
        )


def _wishes_order(cloth: KitCloth) -> tuple[str, str]:
    return repr(cloth.wishes), cloth.key
