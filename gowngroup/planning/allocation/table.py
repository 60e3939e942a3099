"""The cutting table: kits grouped by what must stay together, lots as they fill, every lay really laid once."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import chain

from gowngroup.planning.allocation.refusals import refuse_bad_cloth
from gowngroup.planning.allocation.suits import good_length_mm, lot_refusal, strip_of
from gowngroup.planning.allocation.values import ClothLot, CuttingSettings, KitCloth
from gowngroup.planning.lay.engines import fitters_of, shortest_lay
from gowngroup.planning.lay.values import (
    ClothLay,
    ClothTooShort,
    LayEngine,
    LayPiece,
    Strip,
    pieces_area_mm2,
)

# From a trial lay of fewer groups nothing can be said of the fullest one: it costs little to try them.
TELLING_GROUPS = 12
# Areas closer than this are the same area.
SAME_MM2 = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Kits that must come from one lot: a matched set, or one kit alone.

    `likeness` is the same for groups that are exchangeable: the same pieces, lots, gowns and rank.
    """

    kits: tuple[KitCloth, ...]
    pieces: tuple[LayPiece, ...]
    area_mm2: float
    lot_keys: tuple[str, ...]
    likeness: int = 0

    @property
    def kit_keys(self) -> tuple[str, ...]:
        return tuple(kit.key for kit in self.kits)

    @property
    def gown_count(self) -> int:
        return sum(kit.gown_count for kit in self.kits)

    @property
    def is_first(self) -> bool:
        return any(kit.is_first for kit in self.kits)


@dataclass(slots=True, kw_only=True)
class Bolt:
    """A lot while it is being filled."""

    lot: ClothLot
    strip: Strip
    area_mm2: float
    groups: list[Group] = field(default_factory=list)

    @property
    def filled_mm2(self) -> float:
        return sum(group.area_mm2 for group in self.groups)

    @property
    def likenesses(self) -> tuple[int, ...]:
        return tuple(sorted(group.likeness for group in self.groups))

    def room_mm2(self, share: float) -> float:
        return self.area_mm2 * share - self.filled_mm2


class Table:
    """What every way of dealing out has in common: lots, groups of kits, and the lays already known.

    `fitters` are asked in turn whether kits fit a lot, until one says yes; the first of them makes the trial lays.
    """

    def __init__(
        self,
        kits: Sequence[KitCloth],
        lots: Sequence[ClothLot],
        settings: CuttingSettings,
        *,
        engines: Sequence[LayEngine],
        fitters: Sequence[LayEngine] | None = None,
    ) -> None:
        refuse_bad_cloth(kits, lots)
        self.settings = settings
        fitters = fitters or fitters_of(engines)
        remembered = {engine: remembering(engine) for engine in (*engines, *fitters)}
        self.fitters = tuple(remembered[engine] for engine in fitters)
        self.engines = tuple(remembered.values())
        self.lots = {lot.key: lot for lot in sorted(lots, key=lambda each: each.key)}
        self.strips = {key: strip_of(lot, settings) for key, lot in self.lots.items()}
        self.groups = _likened([self._group(each) for each in _sets(kits)])
        self._fullest_share = 0.0
        # Length in mm of the lays that fit, by lot and the likenesses of the groups that lie on it.
        self.fitting: dict[tuple[str, tuple[int, ...]], float] = {}

    def bolts(self) -> dict[str, Bolt]:
        """The lots with nothing on them yet."""
        return {
            key: Bolt(lot=lot, strip=strip, area_mm2=strip.usable_width_mm * good_length_mm(strip))
            for (key, lot), strip in zip(self.lots.items(), self.strips.values(), strict=True)
        }

    def lay_on(self, lot_key: str, groups: Iterable[Group]) -> ClothLay:
        """The first lay of these groups that fits a lot, not yet checked; raises ClothTooShort."""
        return self._fitting(groups, self.strips[lot_key])

    def shortest_lay_on(self, lot_key: str, groups: Iterable[Group]) -> ClothLay:
        """The lay of these groups that is cut: the shortest any engine finds, checked; raises ClothTooShort."""
        pieces, strip = _pieces(in_key_order(groups)), self.strips[lot_key]
        return shortest_lay(pieces, strip, engines=self.engines, tolerance_mm=self.settings.tolerance_mm)

    def trial_lay(self, lot_key: str, groups: Iterable[Group]) -> ClothLay:
        """The lay of these groups on flawless cloth as wide as a lot and as long as it takes; nobody cuts it unchecked."""
        strip = replace(self.strips[lot_key], length_mm=math.inf, flaws=())
        return self._fitting(groups, strip)

    def needed_mm(self, bolt: Bolt) -> float:
        """Length the lay of a lot takes, whether the lot is long enough or not."""
        try:
            return self.lay_on(bolt.lot.key, bolt.groups).length_mm
        except ClothTooShort as refusal:
            return refusal.needed_mm

    def fits(self, bolt: Bolt) -> bool:
        """Whether an engine lays all that was put on a lot within its length; that lay is not checked yet."""
        if bolt.room_mm2(1.0) < -SAME_MM2:
            return False
        try:
            lay = self.lay_on(bolt.lot.key, bolt.groups)
        except ClothTooShort:
            return False
        self._fullest_share = max(self._fullest_share, lay.used_share)
        self.fitting[bolt.lot.key, bolt.likenesses] = lay.length_mm
        return True

    def _fitting(self, groups: Iterable[Group], strip: Strip) -> ClothLay:
        pieces = _pieces(in_key_order(groups))
        refusals = []
        for engine in self.fitters:
            try:
                return engine(pieces, strip)
            except ClothTooShort as refusal:
                refusals.append(refusal)
        raise min(refusals, key=lambda each: each.needed_mm)

    @cached_property
    def trial_share(self) -> float:
        """What share of the cloth a lay can fill, learnt from one of all these groups on the widest lot."""
        widest = max(self.strips, key=lambda key: self.strips[key].usable_width_mm, default=None)
        placeable = [group for group in self.groups if group.lot_keys]
        return self.trial_lay(widest, placeable).used_share if widest and placeable else 1.0

    @property
    def most_share(self) -> float:
        """The most an opened lot is asked to hold: what the fullest lay so far has filled, where kits enough tell."""
        if len(self.groups) < TELLING_GROUPS:
            return 1.0
        return max(self.trial_share, self._fullest_share)

    def _group(self, kits: tuple[KitCloth, ...]) -> Group:
        pieces = tuple(chain.from_iterable(kit.pieces for kit in kits))
        lot_keys = tuple(
            key
            for key, lot in self.lots.items()
            if all(lot_refusal(kit, lot, self.settings) is None for kit in kits)
        )
        return Group(kits=kits, pieces=pieces, area_mm2=pieces_area_mm2(pieces), lot_keys=lot_keys)


def remembering(engine: LayEngine) -> LayEngine:
    """The engine with a memory: it lays the same pieces on the same strip once."""
    known: dict[tuple[Strip, tuple[str, ...]], ClothLay | ClothTooShort] = {}

    def lay_or_remember(pieces: Sequence[LayPiece], strip: Strip) -> ClothLay:
        key = (strip, tuple(piece.key for piece in pieces))
        if key not in known:
            try:
                known[key] = engine(pieces, strip)
            except ClothTooShort as refusal:
                known[key] = refusal
        found = known[key]
        if isinstance(found, ClothTooShort):
            raise found
        return found

    return lay_or_remember


def _pieces(groups: Iterable[Group]) -> tuple[LayPiece, ...]:
    return tuple(chain.from_iterable(group.pieces for group in groups))


def in_key_order(groups: Iterable[Group]) -> list[Group]:
    """Groups by the keys of their kits."""
    return sorted(groups, key=lambda group: group.kit_keys)


def _sets(kits: Sequence[KitCloth]) -> list[tuple[KitCloth, ...]]:
    sets: dict[tuple[str, str], list[KitCloth]] = {}
    for kit in sorted(kits, key=lambda each: each.key):
        key = ("set", kit.matched_set_key) if kit.matched_set_key is not None else ("kit", kit.key)
        sets.setdefault(key, []).append(kit)
    return [tuple(each) for each in sets.values()]


def _likened(groups: Iterable[Group]) -> tuple[Group, ...]:
    numbers: dict[object, int] = {}
    return tuple(
        replace(group, likeness=numbers.setdefault(_likeness(group), len(numbers)))
        for group in in_key_order(groups)
    )


def _likeness(group: Group) -> object:
    shapes = tuple(sorted((piece.outline, piece.may_turn, piece.is_matched) for piece in group.pieces))
    return shapes, group.lot_keys, group.gown_count, group.is_first, len(group.kits)
