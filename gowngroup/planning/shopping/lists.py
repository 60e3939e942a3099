"""The shopping list: everything missing, rounded up to what shops sell."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from math import inf

from gowngroup.planning.floss import FlossRules, whole_skein_cuts
from gowngroup.planning.lay.engines import ENGINES
from gowngroup.planning.lay.values import LayEngine
from gowngroup.planning.shopping.units import cloth_order, packs_for, to_um, whole_units
from gowngroup.planning.shopping.values import (
    CannotShop,
    ClothMissing,
    ClothShop,
    CountMissing,
    CutsMissing,
    LengthMissing,
    Missing,
    Package,
    Shortage,
    TrimMissing,
)
from gowngroup.planning.shopping.widths import width_offers
from gowngroup.planning.trims import TrimPiece, cards_needed, washed_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Shop:
    """How everything is bought: cloth by its widths, the rest by the package, a material's own before the usual one."""

    cloth: ClothShop
    floss: FlossRules
    packages: Mapping[str, Package]

    def package(self, material_key: str) -> Package:
        """How a material is sold."""
        return self.packages.get(material_key) or Package(material_key=material_key)


def shop_of(cloth: ClothShop, floss: FlossRules, packages: Iterable[Package] = ()) -> Shop:
    """A shop that sells these packages; raises CannotShop naming a material whose package holds nothing."""
    for package in packages:
        amounts = [amount for amount in (package.length_mm, package.count) if amount is not None]
        if not all(0 < amount < inf for amount in amounts) or not 0 <= package.shrink_share < 1:
            raise CannotShop(package.material_key, "a package of it holds nothing that can be used")
    return Shop(cloth=cloth, floss=floss, packages={each.material_key: each for each in packages})


def shopping_list(
    missing: Iterable[Missing], shop: Shop, *, engines: Sequence[LayEngine] = ENGINES
) -> tuple[Shortage, ...]:
    """What to buy of everything missing: cloth at its cheapest width, whole cards, skeins, spools and packs.

    Lengths in mm. Cloth is really laid at each width; cards hold unjoined pieces (proven fewest where it is proven);
    lengths no card holds are bought off the roll; floss counts in cuts, so that no needleful is pieced from two
    skeins. Nothing missing gives no line. Raises CannotShop naming material or width, CannotCutTrims naming the piece.
    Source: steps and packages as the group's own figures say; common practice.
    """
    return tuple(line for each in missing for line in _lines(each, shop, engines))


def _lines(missing: Missing, shop: Shop, engines: Sequence[LayEngine]) -> Iterator[Shortage]:
    if isinstance(missing, ClothMissing):
        yield _cloth(missing, shop, engines)
    elif isinstance(missing, TrimMissing):
        yield from _trims(missing, shop)
    elif isinstance(missing, CutsMissing):
        yield _floss(missing, shop)
    elif isinstance(missing, LengthMissing):
        yield _thread(missing, shop)
    else:
        yield _counted(missing, shop)


def _cloth(missing: ClothMissing, shop: Shop, engines: Sequence[LayEngine]) -> Shortage:
    if not missing.pieces:
        raise CannotShop(missing.material_key or "cloth", "there is no piece to cut from it")
    offers = width_offers(missing.pieces, shop.cloth, engines=engines)
    best = offers[0]
    return Shortage(
        kind="cloth",
        material_key=missing.material_key,
        unit="cloth length",
        unit_count=best.unit_count,
        unit_mm=best.unit_mm,
        short_mm=best.needed_mm,
        kit_keys=missing.kit_keys,
        width_mm=best.width_mm,
        widths=offers,
    )


def _trims(missing: TrimMissing, shop: Shop) -> Iterator[Shortage]:
    package = shop.package(missing.material_key)
    card_mm = package.length_mm or shop.cloth.shop.card_um / 1000
    need = cards_needed(missing.pieces, card_mm=washed_mm(card_mm, shrink_share=package.shrink_share))
    fitting = [piece for piece in missing.pieces if piece not in need.too_long]
    line = Shortage(
        kind="trim",
        material_key=missing.material_key,
        unit="card",
        unit_count=need.card_count,
        unit_mm=card_mm,
        short_mm=_unwashed_mm(fitting, package),
        kit_keys=_kits_of(fitting),
    )
    if fitting:
        yield line
    if need.too_long:
        yield replace(
            line,
            unit="unjoined length",
            unit_count=len(need.too_long),
            unit_mm=_off_the_roll_mm(need.too_long, package, shop),
            short_mm=_unwashed_mm(need.too_long, package),
            kit_keys=_kits_of(need.too_long),
        )


def _off_the_roll_mm(pieces: Iterable[TrimPiece], package: Package, shop: Shop) -> float:
    """The longest piece in the steps lengths are sold in, with the shrinkage to come."""
    longest_mm = max(piece.length_mm for piece in pieces) / (1 - package.shrink_share)
    cloth = shop.cloth
    return cloth_order(to_um(longest_mm), is_metric=cloth.is_metric, rules=cloth.shop).bought_um / 1000


def _unwashed_mm(pieces: Iterable[TrimPiece], package: Package) -> float:
    return sum(piece.length_mm for piece in pieces) / (1 - package.shrink_share)


def _kits_of(pieces: Iterable[TrimPiece]) -> tuple[str, ...]:
    return tuple(sorted({piece.key.split("/")[0] for piece in pieces}))


def _floss(missing: CutsMissing, shop: Shop) -> Shortage:
    length_mm = shop.package(missing.material_key).length_mm
    rules = shop.floss if length_mm is None else replace(shop.floss, skein_mm=length_mm)
    if rules.skein_mm < rules.cut_mm:
        raise CannotShop(missing.material_key, "a skein of it is shorter than one cut")
    return Shortage(
        kind="floss",
        material_key=missing.material_key,
        unit="skein",
        unit_count=packs_for(missing.cuts, per_pack=whole_skein_cuts(rules)),
        unit_mm=rules.skein_mm,
        short_mm=missing.cuts * rules.cut_mm,
        kit_keys=missing.kit_keys,
    )


def _thread(missing: LengthMissing, shop: Shop) -> Shortage:
    length_mm = shop.package(missing.material_key).length_mm
    unit_um = shop.cloth.shop.spool_um if length_mm is None else to_um(length_mm)
    order = whole_units(to_um(missing.length_mm), unit_um=unit_um)
    return Shortage(
        kind="thread",
        material_key=missing.material_key,
        unit="spool",
        unit_count=order.unit_count,
        unit_mm=order.unit_um / 1000,
        short_mm=order.short_um / 1000,
        kit_keys=missing.kit_keys,
    )


def _counted(missing: CountMissing, shop: Shop) -> Shortage:
    per_pack = shop.package(missing.material_key).count
    return Shortage(
        kind="notion",
        material_key=missing.material_key,
        unit="pack" if per_pack else "piece",
        unit_count=packs_for(missing.count, per_pack=per_pack or 1),
        unit_mm=None,
        short_mm=None,
        kit_keys=missing.kit_keys,
        per_pack=per_pack,
        short_count=missing.count,
    )
