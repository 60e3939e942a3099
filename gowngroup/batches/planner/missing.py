"""Things kits still want because they were short when the kits were made, and what of them lies on the shelf now."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from gowngroup.batches.models import Kit, KitLine
from gowngroup.batches.planner.document import UNREADABLE, StoredPlan
from gowngroup.batches.planner.packing import PackedItem
from gowngroup.batches.planner.shelf import UM_PER_MM, Shelf, is_package, lot_id_of, the_shelf
from gowngroup.batches.planner.words import item_text
from gowngroup.catalog.models import MaterialKind
from gowngroup.stock.models import Lot

BEING_PACKED = (Kit.State.PLANNED, Kit.State.CUT)
CLOTH_LINES = 1  # a kit's first line is its cloth, then the things of its plan come in their order


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrived:
    """A thing a kit waits for, and the supply on the shelf that now holds it whole."""

    line: KitLine
    lot: Lot
    supply_key: str
    amount: int
    text: str


@dataclass(slots=True)
class _Supply:
    """A card, skein, spool or lot of counted things, and what of it is still free."""

    key: str
    material_key: str
    left: int


def arrived() -> tuple[Arrived, ...]:
    """What lies on the shelf now for kits that were made without it, the oldest kits first."""
    lines = _open_lines()
    if not lines:
        return ()
    shelf = the_shelf()
    lots = {lot.pk: lot for lot in shelf.lots}
    supplies = sorted(_supplies(shelf), key=lambda each: (is_package(each.key), each.left, each.key))
    return tuple(_dealt(_missing(lines), supplies, lots))


def _open_lines() -> list[KitLine]:
    """Lines without a lot of kits that are not packed yet; numbered kits come from a plan that tells of them."""
    lines = KitLine.objects.filter(lot__isnull=True, kit__state__in=BEING_PACKED, kit__number__isnull=False)
    lines = lines.exclude(kind__in=("sheet", MaterialKind.CLOTH))
    return list(lines.select_related("kit__lay__plan").order_by("kit_id", "position"))


def _missing(lines: Iterable[KitLine]) -> Iterator[tuple[KitLine, PackedItem, StoredPlan]]:
    """Each line with what its plan says of it."""
    plans: dict[int, StoredPlan] = {}
    for line in lines:
        plan = line.kit.lay.plan
        stored = plans.setdefault(plan.pk, StoredPlan(document=plan.document))
        items = _items(stored, str(line.kit.number))
        number = line.position - CLOTH_LINES - 1
        if number < len(items) and items[number].supply_key is None:
            yield line, items[number], stored


def _items(stored: StoredPlan, kit_key: str) -> list[PackedItem]:
    """What goes into a kit by its plan; nothing where the plan cannot be read."""
    try:
        return [item for item in stored.packing if item.kit_key == kit_key]
    except UNREADABLE:
        return []


def _supplies(shelf: Shelf) -> Iterator[_Supply]:
    for each in (*shelf.trims, *shelf.skeins, *shelf.spools):
        yield _Supply(each.key, each.material_key, round(each.length_mm * UM_PER_MM))
    for counted in shelf.counted:
        yield _Supply(counted.key, counted.material_key, counted.count)


def _dealt(
    missing: Iterable[tuple[KitLine, PackedItem, StoredPlan]], supplies: list[_Supply], lots: dict[int, Lot]
) -> Iterator[Arrived]:
    """Each thing from the first supply that holds it whole, opened ones before unopened ones."""
    for line, item, stored in missing:
        fitting = (
            each for each in supplies if each.material_key == item.material_key and each.left >= item.amount
        )
        supply = next(fitting, None)
        if supply is not None:
            supply.left -= item.amount
            yield Arrived(
                line=line,
                lot=lots[lot_id_of(supply.key)],
                supply_key=supply.key,
                amount=item.amount,
                text=item_text(replace(item, supply_key=supply.key), stored),
            )
