"""Floss of a batch: cuts taken from the skeins there are, wound kit by kit, and skeins to buy."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import chain, groupby

from gowngroup.planning.batch_plan.order import BatchKit, StockLength
from gowngroup.planning.batch_plan.plan import FlossShadePlan, KitWinding
from gowngroup.planning.floss import FlossRules
from gowngroup.planning.shopping.values import CutsMissing
from gowngroup.planning.skeins import SkeinSupply, SkeinTake, allocate_cuts

KitCuts = tuple[str, int]


def floss_plans(
    kits: Sequence[BatchKit], stock: Iterable[StockLength], rules: FlossRules
) -> tuple[FlossShadePlan, ...]:
    """Which cuts come from which skein, shade by shade; earlier kits are wound first."""
    skeins = list(stock)
    needs = _cuts_by_shade(kits)
    return tuple(_shade_plan(shade, needs[shade], skeins, rules) for shade in sorted(needs))


def _cuts_by_shade(kits: Iterable[BatchKit]) -> dict[str, list[KitCuts]]:
    needs: dict[str, list[KitCuts]] = {}
    for kit in kits:
        for need in kit.floss:
            needs.setdefault(need.material_key, []).append((kit.key, need.kit_cuts(kit.gown_count)))
    return needs


def _shade_plan(
    shade: str, needs: Sequence[KitCuts], stock: Iterable[StockLength], rules: FlossRules
) -> FlossShadePlan:
    cuts = sum(count for _, count in needs)
    skeins = tuple(
        SkeinSupply(key=skein.key, length_mm=skein.length_mm, is_part=skein.is_part)
        for skein in stock
        if skein.material_key == shade
    )
    found = allocate_cuts(cuts, skeins, rules)
    return FlossShadePlan(
        material_key=shade,
        cuts=cuts,
        takes=found.takes,
        windings=tuple(_windings(needs, found.takes)),
        short_cuts=found.short_cuts,
    )


def _windings(needs: Iterable[KitCuts], takes: Iterable[SkeinTake]) -> Iterator[KitWinding]:
    """Deal the skeins' cuts out to the kits in turn until there are none left."""
    kits = chain.from_iterable([kit_key] * count for kit_key, count in needs)
    skeins = chain.from_iterable([take.key] * take.cuts for take in takes)
    for (kit_key, skein_key), cuts in groupby(zip(kits, skeins, strict=False)):
        yield KitWinding(kit_key=kit_key, skein_key=skein_key, cuts=len(list(cuts)))


def cuts_missing(plans: Iterable[FlossShadePlan], kits: Sequence[BatchKit]) -> Iterator[CutsMissing]:
    """Cuts of the shades that run short, and the kits not wound in full."""
    needs = _cuts_by_shade(kits)
    for plan in plans:
        if plan.short_cuts:
            yield CutsMissing(
                material_key=plan.material_key,
                cuts=plan.short_cuts,
                kit_keys=_short_kits(needs[plan.material_key], plan.windings),
            )


def _short_kits(needs: Iterable[KitCuts], windings: Sequence[KitWinding]) -> tuple[str, ...]:
    return tuple(
        kit_key
        for kit_key, wanted in needs
        if wanted > sum(winding.cuts for winding in windings if winding.kit_key == kit_key)
    )
