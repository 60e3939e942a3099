"""Lots filled with kits: what still has to be laid, moved or left out, and the allocation it comes to."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, field, replace
from itertools import chain

from gowngroup.planning.allocation.suits import NEARNESS, lot_refusal
from gowngroup.planning.allocation.table import SAME_MM2, Bolt, Group, Table, in_key_order
from gowngroup.planning.allocation.values import (
    BEFORE_CUTTING,
    Allocation,
    KitMove,
    LotCut,
    UnmadeKit,
)
from gowngroup.planning.lay.values import ClothTooShort
from gowngroup.planning.reason import Reason, reason

Homeless = tuple[Group, str | None]


@dataclass(slots=True, kw_only=True)
class Filled:
    """The lots with all that was put on them, and the groups no lot was found for."""

    bolts: dict[str, Bolt]
    unmade: list[Group] = field(default_factory=list)
    moves: list[KitMove] = field(default_factory=list)
    refused: set[tuple[object, ...]] = field(default_factory=set)

    @property
    def opened(self) -> list[Bolt]:
        return [bolt for bolt in self.bolts.values() if bolt.groups]


def by_rank(group: Group) -> tuple[bool, float, tuple[str, ...]]:
    """First kits first, then by size, the largest first."""
    return not group.is_first, -group.area_mm2, group.kit_keys


def trim_to_length(bolt: Bolt, table: Table) -> list[Group]:
    """Take the last in rank off a lot until its lay fits; returns what was taken off."""
    taken_off: list[Group] = []
    while bolt.groups and not table.fits(bolt):
        last = max(bolt.groups, key=by_rank)
        bolt.groups.remove(last)
        taken_off.append(last)
    return taken_off


def rehouse(homeless: Iterable[Homeless], filled: Filled, table: Table) -> None:
    """Try every homeless group on every lot that suits it, by really laying it there."""
    filled.refused.clear()
    for group, from_key in sorted(homeless, key=lambda each: by_rank(each[0])):
        to_key = next(
            (key for key in _by_room(group, filled, table) if _joins(group, key, filled, table)), None
        )
        if to_key is None:
            filled.unmade.append(group)
        elif from_key not in (None, to_key):
            filled.moves.append(
                KitMove(kit_keys=group.kit_keys, from_lot_key=str(from_key), to_lot_key=to_key)
            )


def _by_room(group: Group, filled: Filled, table: Table) -> list[str]:
    """Lots that might still hold a group: opened ones first, the fullest of them first.

    An opened lot that would have to be fuller than any lay so far is not tried.
    """
    least_mm2 = group.area_mm2 - SAME_MM2
    bolts = [filled.bolts[key] for key in group.lot_keys]
    roomy = [bolt for bolt in bolts if bolt.room_mm2(table.most_share if bolt.groups else 1.0) >= least_mm2]
    roomy.sort(key=lambda bolt: (not bolt.groups, bolt.room_mm2(1.0), bolt.lot.key))
    return [bolt.lot.key for bolt in roomy]


def _joins(group: Group, lot_key: str, filled: Filled, table: Table) -> bool:
    """Whether the group fits on the lot with what lies there; if so it is put there.

    Groups alike fare alike, so what a lot refused once is not laid again while the lot holds as much.
    """
    bolt = filled.bolts[lot_key]
    tried = (lot_key, len(bolt.groups), group.likeness)
    if tried in filled.refused:
        return False
    trial = replace(bolt, groups=[*bolt.groups, group])
    if not table.fits(trial):
        filled.refused.add(tried)
        return False
    bolt.groups.append(group)
    return True


def fill_up(filled: Filled, table: Table) -> list[Group]:
    """Put groups left out where the lay that is cut, shorter than the one that fitted, leaves cloth enough: these."""
    placed = []
    for group in sorted(filled.unmade, key=by_rank):
        bolts = [filled.bolts[key] for key in group.lot_keys]
        home = next((bolt for bolt in bolts if _goes_behind(group, bolt, table)), None)
        if home is not None:
            home.groups.append(group)
            filled.unmade.remove(group)
            placed.append(group)
    return placed


def _goes_behind(group: Group, bolt: Bolt, table: Table) -> bool:
    lot_key = bolt.lot.key
    used_mm = table.shortest_lay_on(lot_key, bolt.groups).length_mm if bolt.groups else 0.0
    left_mm = bolt.strip.length_mm - used_mm
    if group.area_mm2 > left_mm * bolt.strip.usable_width_mm:
        return False
    if table.trial_lay(lot_key, [group]).length_mm > left_mm:
        return False
    with suppress(ClothTooShort):
        table.shortest_lay_on(lot_key, [*bolt.groups, group])
        return True
    return False


def finished(filled: Filled, table: Table) -> Allocation:
    """The allocation, every lot laid as it is cut and every kit left out with its reason."""
    cuts = tuple(_cut(bolt, table) for bolt in filled.opened)
    left_mm = {key: strip.length_mm for key, strip in table.strips.items()}
    left_mm |= {cut.lot_key: cut.left_mm for cut in cuts}
    reasons = [(group, _why_unmade(group, left_mm, table)) for group in filled.unmade]
    unmade = [UnmadeKit(kit_key=key, reason=why) for group, why in reasons for key in group.kit_keys]
    return Allocation(
        cuts=cuts,
        moves=tuple(filled.moves),
        unmade=tuple(sorted(unmade, key=lambda each: each.kit_key)),
    )


def _why_unmade(group: Group, left_mm: Mapping[str, float], table: Table) -> Reason:
    if not table.lots:
        return reason("no_cloth")
    if group.lot_keys:
        return _shortest_miss(group, left_mm, table)
    refusals = [
        refusal
        for lot in table.lots.values()
        for kit in group.kits
        if (refusal := lot_refusal(kit, lot, table.settings)) is not None
    ]
    return max(refusals, key=lambda each: NEARNESS.index(each.code))


def _shortest_miss(group: Group, left_mm: Mapping[str, float], table: Table) -> Reason:
    """How much this group alone needs, against what is left of the lot where the least is missing.

    A lot where even the area of the pieces asks for more than was found missing elsewhere is not laid.
    """
    least_mm = {
        key: group.area_mm2 / table.strips[key].usable_width_mm - left_mm[key] for key in group.lot_keys
    }
    misses: list[tuple[float, str, float]] = []
    for key in sorted(least_mm, key=lambda each: (least_mm[each], each)):
        if misses and least_mm[key] > min(misses)[0]:
            break
        needed_mm = table.trial_lay(key, [group]).length_mm
        misses.append((needed_mm - left_mm[key], key, needed_mm))
    _, key, needed_mm = min(misses)
    return reason("cloth_too_short", lot=key, needed_mm=needed_mm, left_mm=left_mm[key])


def left_of(bolt: Bolt, table: Table) -> float:
    """Length of a lot left after the first lay that fitted, in mm."""
    used_mm = table.lay_on(bolt.lot.key, bolt.groups).length_mm if bolt.groups else 0.0
    return bolt.strip.length_mm - used_mm


def _cut(bolt: Bolt, table: Table) -> LotCut:
    groups: Sequence[Group] = in_key_order(bolt.groups)
    lay = table.shortest_lay_on(bolt.lot.key, groups)
    left_mm = bolt.strip.length_mm - lay.length_mm
    return LotCut(
        lot_key=bolt.lot.key,
        kit_keys=tuple(sorted(chain.from_iterable(group.kit_keys for group in groups))),
        strip=bolt.strip,
        pieces=tuple(chain.from_iterable(group.pieces for group in groups)),
        lay=lay,
        before_cutting=BEFORE_CUTTING[bolt.lot.state],
        left_mm=left_mm,
        is_left_useful=left_mm >= table.settings.least_left_mm,
    )
