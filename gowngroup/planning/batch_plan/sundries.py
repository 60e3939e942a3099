"""Sewing thread and notions of a batch: what is needed, what is there, and what to buy."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import accumulate

from gowngroup.planning.batch_plan.order import BatchKit, StockCount, StockLength
from gowngroup.planning.batch_plan.plan import NotionPlan, StitchClassLength, ThreadPlan
from gowngroup.planning.shopping.values import CountMissing, LengthMissing
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


def thread_missing(plans: Iterable[ThreadPlan], kits: Sequence[BatchKit]) -> Iterator[LengthMissing]:
    """Thread beyond what is on the spools, and the kits the spools do not reach."""
    for plan in plans:
        if plan.needed_mm > plan.on_hand_mm:
            needs = [
                (
                    kit.key,
                    kit.gown_count
                    * sum(each.length_mm for each in kit.thread if each.material_key == plan.material_key),
                )
                for kit in kits
            ]
            yield LengthMissing(
                material_key=plan.material_key,
                length_mm=plan.needed_mm - plan.on_hand_mm,
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


def notions_missing(plans: Iterable[NotionPlan], kits: Sequence[BatchKit]) -> Iterator[CountMissing]:
    """Things beyond what is on the shelf, and the kits that go without until then."""
    for plan in plans:
        if plan.needed_count > plan.on_hand_count:
            needs = [
                (
                    kit.key,
                    kit.gown_count
                    * sum(each.count for each in kit.notions if each.material_key == plan.material_key),
                )
                for kit in kits
            ]
            yield CountMissing(
                material_key=plan.material_key,
                count=plan.needed_count - plan.on_hand_count,
                kit_keys=_beyond(needs, plan.on_hand_count),
            )


def _beyond(needs: Sequence[tuple[str, float]], on_hand: float) -> tuple[str, ...]:
    """The kits that what is on hand does not reach when it is dealt out in order."""
    reached = accumulate(amount for _, amount in needs)
    return tuple(
        key for (key, amount), so_far in zip(needs, reached, strict=True) if amount and so_far > on_hand
    )
