"""Room made for kits left out: one kit takes the place of a smaller one, which moves on to another lot."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from gowngroup.planning.allocation.filled import Filled, left_of
from gowngroup.planning.allocation.table import Group, Table

# Kits that move on in one chain, and lays tried in all.
_MOST_MOVES = 2
_MOST_TRIES = 150
# Left-overs come in drips: a lay may well hold this share of its lot more than its left-over seems to.
_HOPE_SHARE = 0.02


@dataclass(frozen=True, slots=True, kw_only=True)
class _Step:
    """A group that comes onto a lot, and the one that leaves it."""

    lot_key: str
    comes: Group
    leaves: Group | None


def make_room(filled: Filled, table: Table) -> None:
    """Find room for groups left out by moving others along, every lot on the way laid in earnest.

    Source: ejection chains, textbook method.
    """
    chains = _Chains(filled, table)
    for group in sorted(filled.unmade, key=lambda each: (not each.is_first, each.area_mm2, each.kit_keys)):
        steps = chains.steps(group, _MOST_MOVES, frozenset())
        if steps:
            chains.take(steps)
            filled.unmade.remove(group)


class _Chains:
    def __init__(self, filled: Filled, table: Table) -> None:
        self.filled, self.table = filled, table
        self.tries_left = _MOST_TRIES
        self.spare_mm2 = {key: self._spare_mm2(key) for key in filled.bolts}

    def _spare_mm2(self, key: str) -> float:
        """What might still be laid on a lot: what the fullest lay would, or its left-over filled like the rest and a little."""
        bolt = self.filled.bolts[key]
        if not bolt.groups:
            return bolt.area_mm2 * self.table.most_share
        used_share = self.table.lay_on(key, bolt.groups).used_share
        left_mm2 = left_of(bolt, self.table) * bolt.strip.usable_width_mm
        hoped_mm2 = left_mm2 * used_share + _HOPE_SHARE * bolt.area_mm2
        return max(hoped_mm2, bolt.room_mm2(self.table.most_share))

    def steps(self, group: Group, moves: int, barred: frozenset[str]) -> list[_Step]:
        """Steps that bring a group onto a lot, the last of them onto free room; none where none are found."""
        for step in self._options(group, moves, barred):
            if not self._fits(step):
                continue
            if step.leaves is None:
                return [step]
            rest = self.steps(step.leaves, moves - 1, barred | {step.lot_key})
            if rest:
                return [step, *rest]
        return []

    def _options(self, group: Group, moves: int, barred: frozenset[str]) -> Iterator[_Step]:
        """Steps that look possible: onto free room first, then in place of the smallest groups."""
        keys = [key for key in group.lot_keys if key not in barred]
        for key in sorted(keys, key=lambda each: -self.spare_mm2[each]):
            if self.spare_mm2[key] >= group.area_mm2:
                yield _Step(lot_key=key, comes=group, leaves=None)
        if not moves:
            return
        leaving = {
            (key, out.likeness): out
            for key in keys
            for out in self.filled.bolts[key].groups
            if group.area_mm2 - self.spare_mm2[key] <= out.area_mm2 < group.area_mm2
        }
        for (key, _), out in sorted(leaving.items(), key=lambda each: (each[1].area_mm2, each[0])):
            yield _Step(lot_key=key, comes=group, leaves=out)

    def _fits(self, step: _Step) -> bool:
        if not self.tries_left:
            return False
        self.tries_left -= 1
        bolt = self.filled.bolts[step.lot_key]
        groups = [group for group in bolt.groups if group is not step.leaves]
        return self.table.fits(replace(bolt, groups=[*groups, step.comes]))

    def take(self, steps: list[_Step]) -> None:
        """Carry out the steps found."""
        for step in steps:
            bolt = self.filled.bolts[step.lot_key]
            bolt.groups = [group for group in bolt.groups if group is not step.leaves]
            bolt.groups.append(step.comes)
        for step in steps:
            self.spare_mm2[step.lot_key] = self._spare_mm2(step.lot_key)
