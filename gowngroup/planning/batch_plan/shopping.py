"""The shopping list of a batch, what can be made with it and without, and what is left over after."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from gowngroup.planning.allocation.values import KitCloth, UnmadeKit
from gowngroup.planning.batch_plan.cloth import NOT_BOUGHT, cloth_missing
from gowngroup.planning.batch_plan.floss import cuts_missing, floss_plans
from gowngroup.planning.batch_plan.order import BatchOrder, memorial_first
from gowngroup.planning.batch_plan.plan import BatchPlan, TrimMaterialPlan
from gowngroup.planning.batch_plan.sundries import notion_plans, notions_missing, thread_missing, thread_plans
from gowngroup.planning.batch_plan.trims import trims_missing
from gowngroup.planning.batch_plan.way import engine_for
from gowngroup.planning.lay.engines import QUICK_ENGINES
from gowngroup.planning.shopping.lists import shop_of, shopping_list
from gowngroup.planning.shopping.values import Missing, Shortage, ShortageKind


@dataclass(frozen=True, slots=True, kw_only=True)
class Scenario:
    """Kits that can be made, and the gowns in them."""

    kit_keys: tuple[str, ...]
    gown_count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Scenarios:
    """What can be made as things stand, what once everything on the list is bought, and what waits for more than that."""

    without_buying: Scenario
    with_buying: Scenario
    still_waiting: Scenario


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOver:
    """What stays of one supply, or of all of a material where the plan does not say of which; thread and lengths in mm.

    `is_useful` is None for what is never too little to keep.
    """

    kind: ShortageKind
    material_key: str | None
    supply_key: str | None
    amount: float
    is_useful: bool | None


def batch_shopping(
    order: BatchOrder,
    *,
    cloths: Sequence[KitCloth],
    unmade: Sequence[UnmadeKit],
    trims: Sequence[TrimMaterialPlan],
) -> tuple[Shortage, ...]:
    """What to buy for the whole batch: for the kits that can be cut, then for those that wait for cloth.

    Stock serves the kits that can be cut first, so that one trip to the shop is enough. Cloth is laid quickly, by rows:
    the lay that is cut later may be shorter, never longer. Raises CannotShop.
    """
    waiting_keys = {each.kit_key for each in unmade}
    made = memorial_first(kit for kit in order.kits if kit.key not in waiting_keys)
    waiting = memorial_first(kit for kit in order.kits if kit.key in waiting_keys)
    kits = [*made, *waiting]
    missing: list[Missing] = [
        *cloth_missing(unmade, cloths),
        *trims_missing(trims, waiting, order.trims),
        *cuts_missing(floss_plans(kits, order.skeins, order.rules.floss), kits),
        *thread_missing(thread_plans(kits, order.spools), kits),
        *notions_missing(notion_plans(kits, order.notions), kits),
    ]
    shop = shop_of(order.rules.cloth_shop, order.rules.floss, order.packages)
    engines = [engine_for(order.cutting_way, engine) for engine in QUICK_ENGINES]
    return shopping_list(missing, shop, engines=engines)


def scenarios(plan: BatchPlan) -> Scenarios:
    """A plan with and without buying, from its own kits and shortages."""
    short = {key for shortage in plan.shortages for key in shortage.kit_keys}
    held = {each.kit_key for each in plan.unmade if each.reason.code in NOT_BOUGHT}
    unmade = {each.kit_key for each in plan.unmade}
    return Scenarios(
        without_buying=_scenario(plan, lambda key: key not in unmade | short),
        with_buying=_scenario(plan, lambda key: key not in held),
        still_waiting=_scenario(plan, lambda key: key in held),
    )


def _scenario(plan: BatchPlan, is_in: Callable[[str], bool]) -> Scenario:
    kits = [kit for kit in plan.kits if is_in(kit.key)]
    return Scenario(kit_keys=tuple(kit.key for kit in kits), gown_count=sum(kit.gown_count for kit in kits))


def left_overs(plan: BatchPlan) -> Iterator[LeftOver]:
    """What stays on the shelf of everything the plan cuts into: by lot where it names one, else by material."""
    for cut in plan.cuts:
        yield _left("cloth", cut.lot_key, cut.left_mm, is_useful=cut.is_left_useful)
    for trim in plan.trims:
        for left in trim.left_overs:
            yield _left("trim", left.supply_key, left.length_mm, is_useful=left.is_useful)
    for shade in plan.floss:
        for take in shade.takes:
            yield _left("floss", take.key, take.left_mm, is_useful=take.is_left_over_useful)
    for thread in plan.thread:
        yield _pooled("thread", thread.material_key, thread.left_mm)
    for notion in plan.notions:
        yield _pooled("notion", notion.material_key, notion.left_count)


def _left(kind: ShortageKind, supply_key: str, amount: float, *, is_useful: bool) -> LeftOver:
    return LeftOver(kind=kind, material_key=None, supply_key=supply_key, amount=amount, is_useful=is_useful)


def _pooled(kind: ShortageKind, material_key: str, amount: float) -> LeftOver:
    return LeftOver(kind=kind, material_key=material_key, supply_key=None, amount=amount, is_useful=None)
