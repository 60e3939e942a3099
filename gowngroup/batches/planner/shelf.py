"""What lies free on the shelf, as planning values."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import cast

from django.db.models import F, Q

from gowngroup.batches.planner.shrinkage import share_to_come
from gowngroup.catalog.models import TRIM_KINDS, MaterialKind
from gowngroup.planning.allocation import ClothLot
from gowngroup.planning.allocation.values import ClothState
from gowngroup.planning.batch_plan import StockCount, StockLength
from gowngroup.planning.lay.values import Flaw
from gowngroup.records.queries import figures_in_force
from gowngroup.stock.models import Lot

UM_PER_MM = 1000.0


@dataclass(frozen=True, slots=True, kw_only=True)
class CountedLot:
    """Counted things of one lot."""

    key: str
    material_key: str
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Shelf:
    """Everything free, by what it is planned as; keys are lot numbers, `12.3` the third package of lot 12."""

    lots: tuple[Lot, ...]
    cloth: tuple[ClothLot, ...]
    trims: tuple[StockLength, ...]
    skeins: tuple[StockLength, ...]
    spools: tuple[StockLength, ...]
    counted: tuple[CountedLot, ...]

    @property
    def notions(self) -> tuple[StockCount, ...]:
        """Counted things as the plan takes them."""
        return tuple(StockCount(material_key=each.material_key, count=each.count) for each in self.counted)


def the_shelf(*, set_free: Mapping[int, int] | None = None) -> Shelf:
    """The shelf as it is now: what no plan holds, and what will be set free of lots by their number.

    Trims as given are planned as long as they will be once washed, by the shrinkage usual for their fibre.
    """
    lots, figures = tuple(_free_lots(set_free or {})), figures_in_force()
    return Shelf(
        lots=lots,
        cloth=tuple(cloth_lot(lot) for lot in _of(lots, MaterialKind.CLOTH) if _is_one_known_piece(lot)),
        trims=_lengths(_of(lots, *TRIM_KINDS), figures),
        skeins=_lengths(_of(lots, MaterialKind.FLOSS), figures),
        spools=_lengths(_of(lots, MaterialKind.THREAD), figures),
        counted=tuple(
            CountedLot(key=str(lot.pk), material_key=str(lot.material_id), count=lot.free_amount)
            for lot in _of(lots, MaterialKind.NOTION)
            if lot.material.is_counted
        ),
    )


def _free_lots(set_free: Mapping[int, int]) -> Iterator[Lot]:
    is_free = Q(on_hand_amount__gt=F("reserved_amount")) | Q(pk__in=set_free)
    found = Lot.objects.filter(is_free, material__is_active=True)
    for lot in found.select_related("material").order_by("received_on", "pk"):
        lot.reserved_amount -= set_free.get(lot.pk, 0)
        if lot.free_amount:
            yield lot


def _of(lots: Iterable[Lot], *kinds: str) -> list[Lot]:
    return [lot for lot in lots if lot.material.kind in kinds]


def _is_one_known_piece(lot: Lot) -> bool:
    """Is it known where the flaws of the free cloth lie? They move when what another plan holds is cut off."""
    return lot.width_um is not None and not (lot.flaws and lot.reserved_amount)


def cloth_lot(lot: Lot) -> ClothLot:
    """The free cloth of a lot; its kind is its material, so that a batch can ask for one.

    Its shade is the material's name with the shade, since a cloth may be called yellow in either.
    """
    return ClothLot(
        key=str(lot.pk),
        kind=str(lot.material_id),
        fibre=lot.material.fibre,
        shade=str(lot.material),
        state=cast(ClothState, lot.state),
        width_mm=(lot.width_um or 0) / UM_PER_MM,
        length_mm=lot.free_amount / UM_PER_MM,
        selvedge_mm=lot.selvedge_um / UM_PER_MM,
        highest_wash_c=lot.material.wash_max_c,
        weight_gsm=lot.material.mass_g_per_m2,
        has_nap=lot.material.has_nap,
        repeat_mm=lot.material.repeat_um / UM_PER_MM,
        flaws=tuple(
            Flaw(from_mm=flaw["from_um"] / UM_PER_MM, to_mm=flaw["to_um"] / UM_PER_MM) for flaw in lot.flaws
        ),
        width_shrink_share=lot.shrink_width_permille / 1000,
        length_shrink_share=lot.shrink_length_permille / 1000,
    )


def _lengths(lots: Iterable[Lot], figures: Mapping[str, float]) -> tuple[StockLength, ...]:
    measured = (lot for lot in lots if not lot.material.is_counted)
    return tuple(length for lot in measured for length in _lengths_of(lot, share_to_come(lot, figures)))


def _lengths_of(lot: Lot, shrink_share: float) -> Iterator[StockLength]:
    """An opened lot as it is once washed; a lot of unopened packages as so many whole ones.

    What plans hold of an opened lot is cut after washing, so it comes off what the whole lot then measures.
    """
    material_key, left_share = str(lot.material_id), 1 - shrink_share
    if not lot.package_amount:
        length_mm = (lot.on_hand_amount * left_share - lot.reserved_amount) / UM_PER_MM
        if length_mm > 0:
            yield StockLength(key=str(lot.pk), material_key=material_key, length_mm=length_mm, is_part=True)
        return
    for number in range(1, lot.free_amount // lot.package_amount + 1):
        yield StockLength(
            key=f"{lot.pk}.{number}",
            material_key=material_key,
            length_mm=lot.package_amount * left_share / UM_PER_MM,
        )


def lot_id_of(supply_key: str) -> int:
    """The lot a supply lies in."""
    return int(supply_key.partition(".")[0])


def is_package(supply_key: str) -> bool:
    """Is the supply a whole package that must be opened first?"""
    return "." in supply_key
