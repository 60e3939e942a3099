"""Cloth to buy: the pieces really laid at every width shops sell, and the cheapest of them."""

from __future__ import annotations

import math
from collections.abc import Sequence

from gowngroup.planning.lay.engines import shortest_lay
from gowngroup.planning.lay.values import LayEngine, LayPiece, Strip, outline_size_mm
from gowngroup.planning.shopping.units import cloth_order, to_um
from gowngroup.planning.shopping.values import CannotShop, ClothShop, ShopWidth, WidthOffer


def width_offers(
    pieces: Sequence[LayPiece], cloth: ClothShop, *, engines: Sequence[LayEngine]
) -> tuple[WidthOffer, ...]:
    """What to buy at each width sold, cheapest first; a width the widest piece does not fit is left out.

    Each lay is made on the width that stays after washing and without selvedges, then lengthened by the shrinkage to
    come: buy = need / (1 - s) in each direction (derived). Lengths in mm. Without prices the smallest area bought comes
    first, then the shortest. Where no width will do the widest piece sets one of its own. Raises CannotShop naming a
    width that is none, or shrinks to nothing.
    """
    _refuse_bad_cloth(cloth)
    widest_mm = max(outline_size_mm(piece.outline)[0] for piece in pieces)
    fitting = [width for width in cloth.widths if usable_mm(width.width_mm, cloth) >= widest_mm]
    sold = fitting or [ShopWidth(width_mm=math.ceil(_bought_width_mm(widest_mm, cloth)))]
    return tuple(sorted((_offer(pieces, width, cloth, engines) for width in sold), key=_dearness))


def usable_mm(width_mm: float, cloth: ClothShop) -> float:
    """Width left to cut from once it is washed, without its selvedges."""
    return width_mm * (1 - cloth.shrink_width_share) - 2 * cloth.selvedge_mm


def _bought_width_mm(usable: float, cloth: ClothShop) -> float:
    return (usable + 2 * cloth.selvedge_mm) / (1 - cloth.shrink_width_share)


def _offer(
    pieces: Sequence[LayPiece], width: ShopWidth, cloth: ClothShop, engines: Sequence[LayEngine]
) -> WidthOffer:
    strip = Strip(
        usable_width_mm=usable_mm(width.width_mm, cloth),
        length_mm=math.inf,
        gap_mm=cloth.gap_mm,
        length_step_mm=cloth.length_step_mm,
    )
    lay = shortest_lay(pieces, strip, engines=engines, tolerance_mm=cloth.tolerance_mm)
    needed_mm = lay.length_mm / (1 - cloth.shrink_length_share)
    order = cloth_order(to_um(needed_mm), is_metric=cloth.is_metric, rules=cloth.shop)
    price = width.price_per_m
    return WidthOffer(
        width_mm=width.width_mm,
        unit_count=order.unit_count,
        unit_mm=order.unit_um / 1000,
        needed_mm=needed_mm,
        cost=None if price is None else price * float(order.metres),
    )


def _dearness(offer: WidthOffer) -> tuple[float, ...]:
    """Dearest last; a width without a price comes after those that have one."""
    return (math.inf if offer.cost is None else offer.cost, offer.area_mm2, offer.bought_mm, offer.width_mm)


def _refuse_bad_cloth(cloth: ClothShop) -> None:
    for width in cloth.widths:
        price = width.price_per_m
        if not 0 < width.width_mm < math.inf or usable_mm(width.width_mm, cloth) <= 0:
            raise CannotShop(f"width {width.width_mm:g} mm", "nothing of it is left to cut from")
        if price is not None and not 0 <= price < math.inf:
            raise CannotShop(f"width {width.width_mm:g} mm", f"{price:g} is no price")
    for share in (cloth.shrink_length_share, cloth.shrink_width_share):
        if not 0 <= share < 1:
            raise CannotShop("shrinkage", f"{share:g} is no share of the cloth")
