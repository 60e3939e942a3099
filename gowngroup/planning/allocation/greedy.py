"""Kits to cloth lots one after another: few lots opened, each filled well; an answer at once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from gowngroup.planning.allocation.filled import Filled, Homeless, finished, rehouse, trim_to_length
from gowngroup.planning.allocation.table import Bolt, Group, Table
from gowngroup.planning.allocation.values import Allocation, ClothLot, CuttingSettings, KitCloth
from gowngroup.planning.lay.engines import ENGINES
from gowngroup.planning.lay.values import LayEngine


def allocate(
    kits: Sequence[KitCloth],
    lots: Sequence[ClothLot],
    settings: CuttingSettings,
    *,
    engines: Sequence[LayEngine] = ENGINES,
    fitters: Sequence[LayEngine] | None = None,
) -> Allocation:
    """Give every kit whole to one lot that suits it, a matched set to the same lot, opening few lots.

    Kits that are to be served first come first, then those with the fewest suiting lots, then the largest; each goes
    to the open lot it fills best, by the share of cloth a trial lay of all of them uses. Then every lot is laid:
    where the lay comes out too long its smallest kits move elsewhere, or are reported unmade with the reason.
    `fitters` are tried in turn while kits are dealt out, by default the engines stopping as soon as their lay fits; in
    the end the shortest lay of any engine is cut.
    Lengths in mm, areas in mm². Raises BadCloth, naming the kit or lot. Source: best-fit decreasing, textbook method.
    """
    table = Table(kits, lots, settings, engines=engines, fitters=fitters)
    return finished(greedy(table), table)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Filling:
    """The lots being filled, and the share of their cloth that pieces may be expected to fill."""

    filled: Filled
    share: float

    def bolt(self, key: str) -> Bolt:
        return self.filled.bolts[key]

    def room_mm2(self, key: str) -> float:
        return self.bolt(key).room_mm2(self.share)


def greedy(table: Table) -> Filled:
    """The lots as filled one kit after another; first kits are laid before any other is dealt out."""
    filling = _Filling(
        filled=Filled(bolts=table.bolts()), share=table.settings.lot_fill_share * table.trial_share
    )
    for is_first in (True, False):
        groups = [group for group in table.groups if group.is_first is is_first]
        groups.sort(key=lambda group: (len(group.lot_keys), -group.area_mm2, group.kit_keys))
        homeless: list[Homeless] = [(group, None) for group in _put_by_area(groups, filling)]
        for key, bolt in filling.filled.bolts.items():
            homeless.extend((group, key) for group in trim_to_length(bolt, table))
        rehouse(homeless, filling.filled, table)
    return filling.filled


def _put_by_area(groups: Sequence[Group], filling: _Filling) -> list[Group]:
    """Put each group by the area a lay is expected to use; returns those that find no room."""
    homeless: list[Group] = []
    for number, group in enumerate(groups):
        fitting = [key for key in group.lot_keys if filling.room_mm2(key) >= group.area_mm2]
        opened = [key for key in fitting if filling.bolt(key).groups]
        if opened:
            key = min(opened, key=filling.room_mm2)
        elif fitting:
            key = _lot_to_open(fitting, groups[number:], filling)
        else:
            homeless.append(group)
            continue
        filling.bolt(key).groups.append(group)
    return homeless


def _lot_to_open(keys: Sequence[str], waiting: Sequence[Group], filling: _Filling) -> str:
    """The lot that can serve most of what still waits, and of several such the smallest."""

    def service(key: str) -> tuple[float, float]:
        asked_mm2 = sum(group.area_mm2 for group in waiting if key in group.lot_keys)
        return min(asked_mm2, filling.room_mm2(key)), -filling.room_mm2(key)

    return max(keys, key=service)
