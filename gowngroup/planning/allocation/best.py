"""Kits to cloth lots by linear and integer programmes, laid in earnest, put right where a lay is longer than was expected."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import suppress
from dataclasses import replace
from itertools import accumulate, groupby

from gowngroup.planning.allocation.chains import make_room
from gowngroup.planning.allocation.choosing import Laid, best_choice
from gowngroup.planning.allocation.filled import Filled, fill_up, finished, rehouse, trim_to_length
from gowngroup.planning.allocation.greedy import greedy
from gowngroup.planning.allocation.patterns import Pattern
from gowngroup.planning.allocation.problem import Counts, Need, Problem, Room
from gowngroup.planning.allocation.programme import deal_out
from gowngroup.planning.allocation.table import Bolt, Group, Table
from gowngroup.planning.allocation.values import Allocation, ClothLot, CuttingSettings, KitCloth, KitMove
from gowngroup.planning.integer_programme import CannotSolve
from gowngroup.planning.lay.engines import ENGINES
from gowngroup.planning.lay.values import ClothLay, LayEngine

# Dealing out, laying and learning from the lays is done this often; our own trials gained nothing after it.
ROUNDS = 3
MOST_DIVES = 8
# A lot this full shows what share of it a lay can use; from an emptier one nothing is learnt.
_FULL_SHARE = 0.8
# A capacity that changes by less is the same capacity.
_SAME_SHARE = 0.002
# Groups in a trial lay: more of them hardly change the share it uses.
_TRIAL_GROUPS = 8


def allocate_best(
    kits: Sequence[KitCloth],
    lots: Sequence[ClothLot],
    settings: CuttingSettings,
    *,
    engines: Sequence[LayEngine] = ENGINES,
    fitters: Sequence[LayEngine] | None = None,
    gap_share: float = 0.01,
    effort: int = ROUNDS,
    most_dives: int = MOST_DIVES,
) -> Allocation:
    """Give every kit whole to one lot that suits it, as `allocate` does and never worse, by programme.

    First the most first gowns, then the most gowns, from the fewest lots, then the least cloth used up, useless
    left-overs included; a left-over of `settings.least_left_mm` is not useless. The programme reckons with the share
    of each lot that a trial lay uses; then every lot is really laid. Where a lay comes out longer than its lot, kits
    move (and are named), room is made for those left over, and the programme is solved again with what the lays have
    taught, up to `effort` times; in the end it is asked which of all that was laid goes best together, and what its
    lays as cut leave cloth for is put there too. Should the solver refuse, the best found without it stands. The budget is counted in steps, so the same kits and lots, in
    whatever order, give the same allocation. `engines` and `fitters` as in `allocate`. Lengths in mm, areas in mm².
    What is proven is proven of areas, were every lot filled by the share a trial lay leads one to expect, or as full
    as it is here where that is more: that no dealing out makes more gowns by more than the gap told; that none opens
    fewer lots than told for as many; and that none uses up less cloth by more than the gap, with as many gowns from as
    few lots as the programme finds to do. It says nothing of a better lay of one lot. Raises BadCloth, naming the kit
    or lot.
    Source: bin packing by whole fillings, textbook methods, as said in `opening`; shares from our own lays.
    """
    table = Table(kits, lots, settings, engines=engines, fitters=fitters)
    course = Course(table, greedy(table))
    if course.alike:
        with suppress(CannotSolve):
            course.run(gap_share=gap_share, effort=effort, most_dives=most_dives)
            course.choose_anew()
        course.fill_up()
        with suppress(CannotSolve):
            course.prove(gap_share=gap_share)
    return replace(
        finished(course.to_cut(), table),
        proven_gap_share=course.gap_share,
        least_lot_count=course.least_lots,
    )


class Course:
    """The rounds of dealing out: what lots are thought to hold, the best filling so far and what it is worth."""

    def __init__(self, table: Table, best: Filled) -> None:
        self.table = table
        self.start = self.best = best
        self.gap_share: float | None = None
        self.least_lots: int | None = None
        placeable = [group for group in table.groups if group.lot_keys]
        self.alike = [list(run) for _, run in groupby(sorted(placeable, key=_alike_first), key=_likeness)]
        self.lot_keys = [key for key in table.lots if any(key in group.lot_keys for group in placeable)]
        self.capacity_mm2 = {key: _capacity_mm2(best.bolts[key], placeable, table) for key in self.lot_keys}
        self.expected_mm2 = dict(self.capacity_mm2)
        self.learnt_mm2 = dict(self.capacity_mm2)
        self.homes: dict[tuple[str, ...], str] = {}
        self.too_long: set[str] = set()

    def run(self, *, gap_share: float, effort: int, most_dives: int) -> None:
        """Deal out, lay and learn, so often at most. Raises CannotSolve."""
        for _ in range(effort):
            problem, start = self.problem(), self.counts(self.best)
            dealt = deal_out(problem, start=start, gap_share=gap_share, most_dives=most_dives)
            self.keep_better(self.filled(dealt.counts))
            if not self.has_learnt():
                break

    def choose_anew(self) -> None:
        """Choose for every lot among all that has been laid on it so far. Raises CannotSolve."""
        self.keep_better(self.filled(best_choice(self.problem(), self._laid())))

    def fill_up(self) -> None:
        """Put on the best filling what its lays as they are cut leave cloth for."""
        placed = {group.kit_keys for group in fill_up(self.best, self.table)}
        if self.best is not self.start:
            self.best.moves.extend(move for move in self._moves(self.best) if move.kit_keys in placed)

    def to_cut(self) -> Filled:
        """The best filling; of two with as many gowns from as many lots, the one whose lays as cut take less cloth."""
        if _counts(self.best) != _counts(self.start):
            return self.best
        lay_on = self.table.shortest_lay_on
        return min((self.best, self.start), key=lambda each: _cloth_mm2(each, self.table, lay_on))

    def _laid(self) -> Iterator[Laid]:
        """All that has been laid and fits."""
        rooms = {key: number for number, key in enumerate(self.lot_keys)}
        needs = {groups[0].likeness: number for number, groups in enumerate(self.alike)}
        for (key, likenesses), length_mm in self.table.fitting.items():
            counts = Counter(needs[likeness] for likeness in likenesses)
            strip = self.table.strips[key]
            is_useful = strip.length_mm - length_mm >= self.table.settings.least_left_mm
            used_up_mm = length_mm if is_useful else strip.length_mm
            yield Laid(
                pattern=Pattern(room=rooms[key], groups=tuple(sorted(counts.items()))),
                used_up_mm2=used_up_mm * strip.usable_width_mm,
            )

    def prove(self, *, gap_share: float) -> None:
        """Prove what others could gain on the best filling, with every lot as full as expected or as in it, if fuller.

        Raises CannotSolve.
        """
        self.capacity_mm2 = {
            key: max(self.expected_mm2[key], self.best.bolts[key].filled_mm2) for key in self.lot_keys
        }
        problem, counts = self.problem(), self.counts(self.best)
        dealt = deal_out(problem, start=counts, gap_share=gap_share, most_dives=0)
        self.gap_share = problem.gap_share(counts, dealt.proof)
        # Lots needed for more gowns than are made here prove nothing of these.
        is_of_these = problem.gowns(dealt.counts) == problem.gowns(counts)
        self.least_lots = dealt.proof.least_lots if is_of_these else None

    def problem(self) -> Problem:
        """What the programme is asked: needs of groups alike, and the lots as they are thought of now."""
        numbers = {key: number for number, key in enumerate(self.lot_keys)}
        return Problem(
            needs=tuple(
                Need(
                    count=len(groups),
                    area_mm2=groups[0].area_mm2,
                    gown_count=groups[0].gown_count,
                    is_first=groups[0].is_first,
                    rooms=tuple(numbers[key] for key in groups[0].lot_keys),
                )
                for groups in self.alike
            ),
            rooms=tuple(self._room(key) for key in self.lot_keys),
        )

    def _room(self, key: str) -> Room:
        bolt = self.best.bolts[key]
        return Room(
            area_mm2=bolt.area_mm2,
            capacity_mm2=self.capacity_mm2[key],
            least_left_mm2=self.table.settings.least_left_mm * bolt.strip.usable_width_mm,
        )

    def counts(self, filled: Filled) -> Counts:
        """How many groups of each need lie on each lot."""
        lying = [[group.likeness for group in filled.bolts[key].groups] for key in self.lot_keys]
        return tuple(tuple(each.count(groups[0].likeness) for each in lying) for groups in self.alike)

    def filled(self, counts: Counts) -> Filled:
        """The lots as dealt, laid: what does not fit moves on, and each lay teaches what its lot holds."""
        filled = Filled(bolts=self.table.bolts())
        homeless = [
            (group, None)
            for groups, row in zip(self.alike, counts, strict=True)
            for group in self._put(groups, row, filled)
        ]
        if not self.homes:
            self.homes = {group.kit_keys: bolt.lot.key for bolt in filled.opened for group in bolt.groups}
        taken_off = [(group, bolt.lot.key) for bolt in filled.opened for group in self._trimmed(bolt)]
        homeless_here = [group for group in self.table.groups if not group.lot_keys]
        rehouse([*homeless, *taken_off, *((group, None) for group in homeless_here)], filled, self.table)
        make_room(filled, self.table)
        filled.moves = list(self._moves(filled))
        return filled

    def _put(self, groups: Sequence[Group], row: Sequence[int], filled: Filled) -> list[Group]:
        """Put groups alike on their lots, each where it lay at first if it can stay; returns those left over."""
        left = dict(zip(self.lot_keys, row, strict=True))
        waiting = []
        for group in groups:
            home = self.homes.get(group.kit_keys)
            if home is not None and left[home]:
                left[home] -= 1
                filled.bolts[home].groups.append(group)
            else:
                waiting.append(group)
        places = [key for key, count in left.items() for _ in range(count)]
        for group, key in zip(waiting, places, strict=False):
            filled.bolts[key].groups.append(group)
        return waiting[len(places) :]

    def _trimmed(self, bolt: Bolt) -> list[Group]:
        key, filled_mm2 = bolt.lot.key, bolt.filled_mm2
        # A lay never fills more than the cloth: what it proves beyond is only a share carried on.
        could_fill_mm2 = min(filled_mm2 * bolt.strip.length_mm / self.table.needed_mm(bolt), bolt.area_mm2)
        taken_off = trim_to_length(bolt, self.table)
        if taken_off:
            self.too_long.add(key)
            least_mm2 = min(group.area_mm2 for group in taken_off)
            self.learnt_mm2[key] = min(could_fill_mm2, filled_mm2 - least_mm2 / 2)
        elif filled_mm2 >= _FULL_SHARE * self.capacity_mm2[key]:
            self.learnt_mm2[key] = max(could_fill_mm2, self.capacity_mm2[key])
        return taken_off

    def _moves(self, filled: Filled) -> Iterator[KitMove]:
        """Kits no longer on the lot they were dealt to at first, where that lot's lay came out too long."""
        for bolt in filled.opened:
            for group in bolt.groups:
                home = self.homes.get(group.kit_keys, bolt.lot.key)
                if home != bolt.lot.key and home in self.too_long:
                    yield KitMove(kit_keys=group.kit_keys, from_lot_key=home, to_lot_key=bolt.lot.key)

    def keep_better(self, filled: Filled) -> None:
        """Keep the better filling."""
        self.best = min(self.best, filled, key=lambda each: _worth(each, self.table))

    def has_learnt(self) -> bool:
        """Take over what the lays taught; False where it was nothing new."""
        changes = [
            abs(self.learnt_mm2[key] / self.capacity_mm2[key] - 1) > _SAME_SHARE for key in self.lot_keys
        ]
        self.capacity_mm2 = dict(self.learnt_mm2)
        return any(changes)


def _likeness(group: Group) -> int:
    return group.likeness


def _alike_first(group: Group) -> tuple[int, tuple[str, ...]]:
    return group.likeness, group.kit_keys


def _capacity_mm2(bolt: Bolt, groups: Iterable[Group], table: Table) -> float:
    """What pieces are expected to fill of a lot, by a trial lay of the largest groups it might hold."""
    suited = [group for group in groups if bolt.lot.key in group.lot_keys]
    suited.sort(key=lambda group: (-group.area_mm2, group.kit_keys))
    areas_mm2 = accumulate(group.area_mm2 for group in suited)
    enough = sum(area_mm2 < bolt.area_mm2 for area_mm2 in areas_mm2) + 1
    trial = suited[: min(enough, _TRIAL_GROUPS)]
    share = table.trial_lay(bolt.lot.key, trial).used_share
    expected_mm2 = min(share * table.settings.lot_fill_share, 1.0) * bolt.area_mm2
    return max(expected_mm2, bolt.filled_mm2)


def _worth(filled: Filled, table: Table) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """What fillings are compared by, the better one less: gowns not made, lots opened, cloth used up and cut in mm²."""
    return _counts(filled), _cloth_mm2(filled, table, table.lay_on)


def _counts(filled: Filled) -> tuple[int, ...]:
    """First gowns and gowns not made, lots opened."""
    return (
        sum(group.gown_count for group in filled.unmade if group.is_first),
        sum(group.gown_count for group in filled.unmade),
        len(filled.opened),
    )


def _cloth_mm2(
    filled: Filled, table: Table, lay_on: Callable[[str, Iterable[Group]], ClothLay]
) -> tuple[int, ...]:
    """Cloth cut or left over useless, and cloth cut, as the lots are laid so."""
    left = [
        (bolt.strip.length_mm - lay_on(bolt.lot.key, bolt.groups).length_mm, bolt.strip)
        for bolt in filled.opened
    ]
    useless_mm2 = sum(mm * strip.usable_width_mm for mm, strip in left if mm < table.settings.least_left_mm)
    used_mm2 = sum((strip.length_mm - mm) * strip.usable_width_mm for mm, strip in left)
    return round(used_mm2 + useless_mm2), round(used_mm2)
