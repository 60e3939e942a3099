"""What goes into each kit and off which lot: the plan's cuts dealt out kit by kit, in whole micrometres."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from gowngroup.batches.planner.order import OrderKit, Prepared
from gowngroup.batches.planner.shelf import UM_PER_MM
from gowngroup.catalog.models import MaterialKind
from gowngroup.planning.batch_plan import BatchPlan, StockLength

Need = tuple[str, int]
Supply = tuple[str, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class PackedItem:
    """Something for one kit from one supply; without a supply it has still to be bought.

    `count` cuts, lengths or pieces of `each_um`; `amount` is what comes off the lot, in micrometres or pieces.
    """

    kit_key: str
    kind: str
    part: str
    material_key: str
    supply_key: str | None
    count: int
    each_um: int
    amount: int


def packed_items(prepared: Prepared, plan: BatchPlan) -> tuple[PackedItem, ...]:
    """Every kit's floss, trims, thread and notions, in the order of a packing list."""
    lots = {kit.key: kit.lot_key for kit in plan.kits}
    made = [each for each in prepared.kits if lots[each.kit.key] is not None]
    return (
        *_floss(made, plan, prepared.order.rules.floss.cut_mm),
        *_trims(made, plan),
        *_thread(made, prepared.shelf.spools),
        *_notions(made, prepared),
    )


def _floss(made: Sequence[OrderKit], plan: BatchPlan, cut_mm: float) -> Iterator[PackedItem]:
    cut_um = round(cut_mm * UM_PER_MM)
    wound: dict[tuple[str, str], list[tuple[str | None, int]]] = defaultdict(list)
    for shade in plan.floss:
        for winding in shade.windings:
            wound[winding.kit_key, shade.material_key].append((winding.skein_key, winding.cuts))
    for each in made:
        for material_key, (roles, needed) in _floss_needs(each).items():
            found = wound[each.kit.key, material_key]
            short = needed - sum(count for _, count in found)
            for skein, count in [*found, *([(None, short)] if short else [])]:
                yield PackedItem(
                    kit_key=each.kit.key,
                    kind=MaterialKind.FLOSS,
                    part=roles,
                    material_key=material_key,
                    supply_key=skein,
                    count=count,
                    each_um=cut_um,
                    amount=count * cut_um,
                )


def _floss_needs(each: OrderKit) -> dict[str, tuple[str, int]]:
    """The roles each shade of a kit plays, and its cuts."""
    needs: dict[str, tuple[str, int]] = {}
    for need, floss in zip(each.need.floss, each.kit.floss, strict=True):
        roles, cuts = needs.get(floss.material_key, ("", 0))
        together = f"{roles}, {need.role}" if roles else need.role
        needs[floss.material_key] = (together, cuts + floss.kit_cuts(each.kit.gown_count))
    return needs


def _trims(made: Sequence[OrderKit], plan: BatchPlan) -> Iterator[PackedItem]:
    """Equal lengths for one place off one card stand in one line; amounts add up to the card's own cuts."""
    kinds = {
        (each.kit.key, trim.place, have.material_key): trim.kind
        for each in made
        for trim, have in zip(each.need.trims, each.kit.trims, strict=True)
    }
    for material in plan.trims:
        found: dict[tuple[str, str, str | None], list[tuple[int, int]]] = defaultdict(list)
        for cut in material.cuts:
            kit_key, place = place_of(cut.piece_key)
            end_um = round((cut.start_mm + cut.length_mm) * UM_PER_MM)
            amount = end_um - round(cut.start_mm * UM_PER_MM)
            found[kit_key, place, cut.supply_key].append((round(cut.length_mm * UM_PER_MM), amount))
        for piece in material.unplaced:
            length_um = round(piece.length_mm * UM_PER_MM)
            found[*place_of(piece.key), None].append((length_um, length_um))
        for (kit_key, place, supply_key), cuts in found.items():
            yield PackedItem(
                kit_key=kit_key,
                kind=kinds[kit_key, place, material.material_key],
                part=place,
                material_key=material.material_key,
                supply_key=supply_key,
                count=len(cuts),
                each_um=cuts[0][0],
                amount=sum(amount for _, amount in cuts),
            )


def place_of(piece_key: str) -> tuple[str, str]:
    """Kit and place in the name of a trim piece, `7/sleeve hems/2`."""
    kit_key, _, rest = piece_key.partition("/")
    return kit_key, rest.rpartition("/")[0]


def _thread(made: Sequence[OrderKit], spools: Sequence[StockLength]) -> Iterator[PackedItem]:
    needs: dict[str, list[Need]] = defaultdict(list)
    for each in made:
        lengths_mm: dict[str, float] = defaultdict(float)
        for need in each.kit.thread:
            lengths_mm[need.material_key] += need.length_mm * each.kit.gown_count
        for key, length_mm in lengths_mm.items():
            needs[key].append((each.kit.key, round(length_mm * UM_PER_MM)))
    for material_key, wanted in needs.items():
        found = [spool for spool in spools if spool.material_key == material_key]
        found.sort(key=lambda spool: (not spool.is_part, spool.length_mm, spool.key))
        supplies = [(spool.key, round(spool.length_mm * UM_PER_MM)) for spool in found]
        for kit_key, supply_key, amount in dealt(wanted, supplies):
            yield PackedItem(
                kit_key=kit_key,
                kind=MaterialKind.THREAD,
                part="",
                material_key=material_key,
                supply_key=supply_key,
                count=1,
                each_um=amount,
                amount=amount,
            )


def _notions(made: Sequence[OrderKit], prepared: Prepared) -> Iterator[PackedItem]:
    needs: dict[str, list[Need]] = defaultdict(list)
    places: dict[tuple[str, str], str] = {}
    for each in made:
        for notion, need in zip(each.need.notions, each.kit.notions, strict=True):
            needs[need.material_key].append((each.kit.key, need.count * each.kit.gown_count))
            places[each.kit.key, need.material_key] = notion.place
    for material_key, wanted in needs.items():
        supplies = [
            (lot.key, lot.count) for lot in prepared.shelf.counted if lot.material_key == material_key
        ]
        for kit_key, supply_key, amount in dealt(wanted, supplies):
            yield PackedItem(
                kit_key=kit_key,
                kind=MaterialKind.NOTION,
                part=places[kit_key, material_key],
                material_key=material_key,
                supply_key=supply_key,
                count=amount,
                each_um=0,
                amount=amount,
            )


def dealt(needs: Iterable[Need], supplies: Iterable[Supply]) -> Iterator[tuple[str, str | None, int]]:
    """Deal supplies out in order: each need whole from the first that holds it, else from several, else to buy."""
    left = dict(supplies)
    for kit_key, amount in needs:
        open_amount = amount
        whole = next((key for key, free in left.items() if free >= amount), None)
        for key in [whole] if whole is not None else list(left):
            taken = min(left[key], open_amount)
            left[key] -= taken
            open_amount -= taken
            if taken:
                yield kit_key, key, taken
        if open_amount:
            yield kit_key, None, open_amount


def taken_from_shelf(items: Iterable[PackedItem]) -> Mapping[str, int]:
    """What all kits together take of each supply."""
    amounts: dict[str, int] = defaultdict(int)
    for item in items:
        if item.supply_key is not None:
            amounts[item.supply_key] += item.amount
    return amounts
