"""Sewing thread and notions of a batch: what is needed, what is there, and what to buy."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import accumulate

from gowngroup.planning.batch_plan.order import BatchKit, StockCount, StockLength
from gowngroup.planning.batch_plan.plan import NotionPlan, Shortage, StitchClassLength, ThreadPlan
from gowngroup.planning.shopping.units import ShopRules, to_um, whole_units
from gowngroup.planning.thread import StitchClass


def thread_plans(kits: Sequence[BatchKit], spools: Sequence[StockLength]) -> tuple[ThreadPlan, ...]:
    """Sewing thread needed by material and stitch class, against what is on the spools."""
    needed = _thread_by_class(kits)
    return tuple(_thread_plan(key, needed[key], spools) for key in sorted(needed))


def _thread_by_class(kits: Iterable[BatchKit]) -> dict[str, dict[StitchClass, float]]:
    needed: dict[str, dict[StitchClass, float]] = {}
    for kit in kits:
        for need in kit.thread:
            classes = needed.setdefault(need.material_key, {})
            before_mm = classes.get(need.stitch_class, 0.0)
            classes[need.stitch_class] = before_mm + need.length_mm * kit.gown_count
    return needed


def _thread_plan(
    material_key: str, classes: Mapping[StitchClass, float], spools: Iterable[StockLength]
) -> ThreadPlan:
    needed_mm = sum(classes.values())
    on_hand_mm = sum(spool.length_mm for spool in spools if spool.material_key == material_key)
    return ThreadPlan(
        material_key=material_key,
        by_class=tuple(
            StitchClassLength(stitch_class=name, length_mm=length_mm)
            for name, length_mm in sorted(classes.items())
        ),
        needed_mm=needed_mm,
        on_hand_mm=on_hand_mm,
        left_mm=max(on_hand_mm - needed_mm, 0.0),
    )


def thread_shortages(
    plans: Iterable[ThreadPlan], kits: Sequence[BatchKit], rules: ShopRules
) -> Iterator[Shortage]:
    """Spools to buy, and the kits the thread on the shelf does not reach."""
    for plan in plans:
        order = whole_units(to_um(plan.needed_mm - plan.on_hand_mm), unit_um=rules.spool_um)
        if order.unit_count:
            needs = [
                (
                    kit.key,
                    kit.gown_count
                    * sum(each.length_mm for each in kit.thread if each.material_key == plan.material_key),
                )
                for kit in kits
            ]
            yield Shortage(
                kind="thread",
                material_key=plan.material_key,
                unit="spool",
                unit_count=order.unit_count,
                unit_mm=order.unit_um / 1000,
                short_mm=order.short_um / 1000,
                kit_keys=_beyond(needs, plan.on_hand_mm),
            )


def notion_plans(kits: Sequence[BatchKit], stock: Iterable[StockCount]) -> tuple[NotionPlan, ...]:
    """Fastenings, labels and bags needed, against what is on the shelf."""
    on_hand: Counter[str] = Counter()
    for each in stock:
        on_hand[each.material_key] += each.count
    needed: Counter[str] = Counter()
    for kit in kits:
        for need in kit.notions:
            needed[need.material_key] += need.count * kit.gown_count
    return tuple(
        NotionPlan(
            material_key=key,
            needed_count=needed[key],
            on_hand_count=on_hand[key],
            left_count=max(on_hand[key] - needed[key], 0),
        )
        for key in sorted(needed)
    )


def notion_shortages(plans: Iterable[NotionPlan], kits: Sequence[BatchKit]) -> Iterator[Shortage]:
    """Things to buy by the piece, and the kits that go without until then."""
    for plan in plans:
        short_count = plan.needed_count - plan.on_hand_count
        if short_count > 0:
            needs = [
                (
                    kit.key,
                    kit.gown_count
                    * sum(each.count for each in kit.notions if each.material_key == plan.material_key),
                )
                for kit in kits
            ]
            yield Shortage(
                kind="notion",
                material_key=plan.material_key,
                unit="piece",
                unit_count=short_count,
                unit_mm=None,
                short_mm=None,
                kit_keys=_beyond(needs, plan.on_hand_count),
            )


def _beyond(needs: Sequence[tuple[str, float]], on_hand: float) -> tuple[str, ...]:
    """The kits that what is on hand does not reach when it is dealt out in order."""
    reached = accumulate(amount for _, amount in needs)
    return tuple(
        key for (key, amount), so_far in zip(needs, reached, strict=True) if amount and so_far > on_hand
    )
