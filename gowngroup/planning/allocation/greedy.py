"""Kits to cloth lots: few lots opened, each filled well, every lay really laid before it is believed."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from itertools import chain

from gowngroup.planning.allocation.suits import NEARNESS, good_length_mm, lot_refusal, strip_of
from gowngroup.planning.allocation.values import (
    BEFORE_CUTTING,
    Allocation,
    ClothLot,
    CuttingSettings,
    KitCloth,
    KitMove,
    LotCut,
    UnmadeKit,
)
from gowngroup.planning.lay.engines import ENGINES, shortest_lay
from gowngroup.planning.lay.values import (
    ClothLay,
    ClothTooShort,
    LayEngine,
    LayPiece,
    Strip,
    pieces_area_mm2,
)
from gowngroup.planning.reason import Reason, reason


@dataclass(frozen=True, slots=True, kw_only=True)
class _Group:
    """Kits that must come from one lot: a matched set, or one kit alone."""

    kits: tuple[KitCloth, ...]
    pieces: tuple[LayPiece, ...]
    area_mm2: float
    lot_keys: tuple[str, ...]

    @property
    def kit_keys(self) -> tuple[str, ...]:
        return tuple(kit.key for kit in self.kits)


@dataclass(slots=True, kw_only=True)
class _Bolt:
    """A lot while it is being filled."""

    lot: ClothLot
    strip: Strip
    area_mm2: float
    groups: list[_Group] = field(default_factory=list)

    @property
    def filled_mm2(self) -> float:
        return sum(group.area_mm2 for group in self.groups)

    def room_mm2(self, share: float) -> float:
        return self.area_mm2 * share - self.filled_mm2


class _Table:
    """Everything one allocation works on: the lots with what has been put on them so far."""

    def __init__(
        self, lots: Sequence[ClothLot], settings: CuttingSettings, engines: Sequence[LayEngine]
    ) -> None:
        self.settings = settings
        self.engines = engines
        self.lays: dict[str, ClothLay] = {}
        self.share = settings.lot_fill_share
        strips = {lot.key: strip_of(lot, settings) for lot in lots}
        self.bolts = {
            lot.key: _Bolt(
                lot=lot,
                strip=strips[lot.key],
                area_mm2=strips[lot.key].usable_width_mm * good_length_mm(strips[lot.key]),
            )
            for lot in sorted(lots, key=lambda each: each.key)
        }

    def lay(self, groups: Iterable[_Group], strip: Strip) -> ClothLay:
        """The checked lay of these groups; raises ClothTooShort."""
        pieces = tuple(chain.from_iterable(group.pieces for group in groups))
        return shortest_lay(pieces, strip, engines=self.engines, tolerance_mm=self.settings.tolerance_mm)

    def room_mm2(self, key: str) -> float:
        return self.bolts[key].room_mm2(self.share)

    def try_lay(self, groups: Iterable[_Group]) -> None:
        """Learn what share of the cloth a lay can use, from one of all these groups on the widest lot."""
        widest = max(self.bolts.values(), key=lambda bolt: bolt.strip.usable_width_mm, default=None)
        placeable = [group for group in groups if group.lot_keys]
        if widest and placeable:
            endless = replace(widest.strip, length_mm=math.inf, flaws=())
            self.share = self.settings.lot_fill_share * self.lay(placeable, endless).used_share


def allocate(
    kits: Sequence[KitCloth],
    lots: Sequence[ClothLot],
    settings: CuttingSettings,
    *,
    engines: Sequence[LayEngine] = ENGINES,
) -> Allocation:
    """Give every kit whole to one lot that suits it, a matched set to the same lot, opening few lots.

    Kits with the fewest suiting lots come first, then the largest; each goes to the open lot it fills best, by the
    share of cloth a trial lay of all of them uses. Then every lot is laid: where the lay comes out too long its smallest kits move elsewhere, or are reported unmade
    with the reason. Lengths in mm, areas in mm². Source: best-fit decreasing, textbook method.
    """
    table = _Table(lots, settings, engines)
    groups = [_group(kits_of_set, table) for kits_of_set in _sets(kits)]
    groups.sort(key=lambda group: (len(group.lot_keys), -group.area_mm2, group.kit_keys))
    table.try_lay(groups)
    homeless: list[tuple[_Group, str | None]] = [(group, None) for group in _put_by_area(groups, table)]
    for key in sorted(table.bolts):
        homeless.extend((group, key) for group in _trim_to_length(table.bolts[key], table))
    moves, unmade = _rehouse(homeless, table)
    return Allocation(
        cuts=tuple(_cut(bolt, table) for bolt in table.bolts.values() if bolt.groups),
        moves=moves,
        unmade=unmade,
    )


def _sets(kits: Sequence[KitCloth]) -> list[tuple[KitCloth, ...]]:
    sets: dict[tuple[str, str], list[KitCloth]] = {}
    for kit in sorted(kits, key=lambda each: each.key):
        key = ("set", kit.matched_set_key) if kit.matched_set_key is not None else ("kit", kit.key)
        sets.setdefault(key, []).append(kit)
    return [tuple(each) for each in sets.values()]


def _group(kits: tuple[KitCloth, ...], table: _Table) -> _Group:
    pieces = tuple(chain.from_iterable(kit.pieces for kit in kits))
    lot_keys = tuple(
        key
        for key, bolt in table.bolts.items()
        if all(lot_refusal(kit, bolt.lot, table.settings) is None for kit in kits)
    )
    return _Group(kits=kits, pieces=pieces, area_mm2=pieces_area_mm2(pieces), lot_keys=lot_keys)


def _put_by_area(groups: Sequence[_Group], table: _Table) -> list[_Group]:
    """Put each group by the area a lay is expected to use; returns those that find no room."""
    homeless: list[_Group] = []
    for number, group in enumerate(groups):
        fitting = [key for key in group.lot_keys if table.room_mm2(key) >= group.area_mm2]
        opened = [key for key in fitting if table.bolts[key].groups]
        if opened:
            key = min(opened, key=table.room_mm2)
        elif fitting:
            key = _lot_to_open(fitting, groups[number:], table)
        else:
            homeless.append(group)
            continue
        table.bolts[key].groups.append(group)
    return homeless


def _lot_to_open(keys: Sequence[str], waiting: Sequence[_Group], table: _Table) -> str:
    """The lot that can serve most of what still waits, and of several such the smallest."""

    def service(key: str) -> tuple[float, float]:
        asked_mm2 = sum(group.area_mm2 for group in waiting if key in group.lot_keys)
        return min(asked_mm2, table.room_mm2(key)), -table.room_mm2(key)

    return max(keys, key=service)


def _trim_to_length(bolt: _Bolt, table: _Table) -> list[_Group]:
    """Lay the lot, taking off its smallest group until the lay fits; returns what was taken off."""
    taken_off: list[_Group] = []
    while bolt.groups:
        try:
            table.lays[bolt.lot.key] = table.lay(bolt.groups, bolt.strip)
        except ClothTooShort:
            smallest = min(bolt.groups, key=lambda group: (group.area_mm2, group.kit_keys))
            bolt.groups.remove(smallest)
            taken_off.append(smallest)
        else:
            break
    return taken_off


def _rehouse(
    homeless: Sequence[tuple[_Group, str | None]], table: _Table
) -> tuple[tuple[KitMove, ...], tuple[UnmadeKit, ...]]:
    """Try every homeless group on every lot that suits it, by really laying it there."""
    moves: list[KitMove] = []
    unmade: list[UnmadeKit] = []
    for group, from_key in sorted(homeless, key=lambda each: (-each[0].area_mm2, each[0].kit_keys)):
        to_key = next((key for key in _by_room(group, table) if _joins(group, table.bolts[key], table)), None)
        if to_key is None:
            why = _why_unmade(group, table)
            unmade.extend(UnmadeKit(kit_key=key, reason=why) for key in group.kit_keys)
        elif from_key not in (None, to_key):
            moves.append(KitMove(kit_keys=group.kit_keys, from_lot_key=str(from_key), to_lot_key=to_key))
    return tuple(moves), tuple(sorted(unmade, key=lambda each: each.kit_key))


def _by_room(group: _Group, table: _Table) -> list[str]:
    """Lots that might still hold a group: opened ones first, the fullest of them first."""
    roomy = [key for key in group.lot_keys if table.bolts[key].room_mm2(1.0) >= group.area_mm2]
    return sorted(roomy, key=lambda key: (not table.bolts[key].groups, table.room_mm2(key), key))


def _joins(group: _Group, bolt: _Bolt, table: _Table) -> bool:
    """Whether the group fits on the lot with what lies there; if so it is put there."""
    try:
        table.lays[bolt.lot.key] = table.lay([*bolt.groups, group], bolt.strip)
    except ClothTooShort:
        return False
    bolt.groups.append(group)
    return True


def _why_unmade(group: _Group, table: _Table) -> Reason:
    if not table.bolts:
        return reason("no_cloth")
    if group.lot_keys:
        return _shortest_miss(group, table)
    refusals = [
        refusal
        for bolt in table.bolts.values()
        for kit in group.kits
        if (refusal := lot_refusal(kit, bolt.lot, table.settings)) is not None
    ]
    return max(refusals, key=lambda each: NEARNESS.index(each.code))


def _shortest_miss(group: _Group, table: _Table) -> Reason:
    """How much this group alone needs, against what is left of the lot where the least is missing."""
    misses = []
    for key in group.lot_keys:
        bolt = table.bolts[key]
        needed_mm = table.lay([group], replace(bolt.strip, length_mm=math.inf, flaws=())).length_mm
        left_mm = bolt.strip.length_mm - (table.lays[key].length_mm if bolt.groups else 0.0)
        misses.append((needed_mm - left_mm, key, needed_mm, left_mm))
    _, key, needed_mm, left_mm = min(misses)
    return reason("cloth_too_short", lot=key, needed_mm=needed_mm, left_mm=left_mm)


def _cut(bolt: _Bolt, table: _Table) -> LotCut:
    lay = table.lays[bolt.lot.key]
    left_mm = bolt.strip.length_mm - lay.length_mm
    return LotCut(
        lot_key=bolt.lot.key,
        kit_keys=tuple(sorted(chain.from_iterable(group.kit_keys for group in bolt.groups))),
        strip=bolt.strip,
        pieces=tuple(chain.from_iterable(group.pieces for group in bolt.groups)),
        lay=lay,
        before_cutting=BEFORE_CUTTING[bolt.lot.state],
        left_mm=left_mm,
        is_left_useful=left_mm >= table.settings.least_left_mm,
    )
