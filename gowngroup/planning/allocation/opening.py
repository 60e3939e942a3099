"""Which lots to open and what goes to which sort of them: small lots by whole fillings, large ones poured full together."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass

from gowngroup.planning.allocation.fillings import Filling, Size, total_mm2
from gowngroup.planning.allocation.packing import packed
from gowngroup.planning.allocation.patterns import MM2_PER_M2
from gowngroup.planning.allocation.problem import Counts, Problem, Reached
from gowngroup.planning.allocation.sorts import Sort
from gowngroup.planning.integer_programme import GaveUp, Programme, Solved, Terms

_ROUNDING = 1e-6
# Less than one whole lot or gown apart is the same number of them.
_WITHIN_ONE = 0.999
_MOST_NODES = 100
# So much to spare in a lot is enough to pack it without trouble, in m²; and how near to the most it need come.
_ENOUGH_M2, _NEAR_SHARE, _NEAR_M2 = 0.02, 0.1, 1e-4


@dataclass(frozen=True, slots=True, kw_only=True)
class _Way:
    """A way to use a room: by one filling, or poured full of groups that other rooms of its sort share.

    `chosen` and `poured_m2` are variables; `is_part` says that something useful is left over.
    """

    room: int
    chosen: int
    is_part: bool
    filling: Filling | None = None
    poured_m2: int = -1
    most_mm2: float = 0.0


class OpeningProgramme:
    """The rooms of each sort, the ways to use them, and how many groups of each need go to the sort.

    Where rooms are poured full a group may be parted between rooms of a sort, never between sorts, so what is proven
    holds for all dealings out; what is dealt out is packed into the rooms afterwards, if it can be.
    Source: variable-sized bin packing by patterns, bins alike taken together; textbook methods.
    """

    def __init__(
        self,
        problem: Problem,
        sorts: Sequence[Sort],
        reached: Reached,
        *,
        most_fillings: int,
        keeps_left_overs: bool = False,
    ) -> None:
        self.problem, self.sorts = problem, sorts
        self.most_fillings = most_fillings
        self.keeps_left_overs = keeps_left_overs
        self.programme = Programme(most_nodes=_MOST_NODES)
        self.solved: Solved | None = None
        self.made: list[dict[int, int]] = []
        self.poured: list[list[int]] = []
        self.ways: list[list[_Way]] = []
        for sort in sorts:
            self._add(sort)
        for number, need in enumerate(problem.needs):
            everywhere = {made[number]: 1.0 for made in self.made if number in made}
            self.programme.row(everywhere, most=float(need.count))
        self.opened = {way.chosen: 1.0 for ways in self.ways for way in ways}
        self.programme.row(self._gowns(first_only=True), least=float(reached.first))
        self.programme.row(self._gowns(first_only=False), least=float(reached.gowns))
        self.programme.row(self.opened, least=float(reached.least_rooms), most=float(reached.rooms))

    def _add(self, sort: Sort) -> None:
        """Groups of a sort, by need and by size, and the rooms that hold them."""
        variable, row = self.programme.variable, self.programme.row
        made = {number: variable(most=self.problem.needs[number].count) for number in sort.needs}
        poured = [variable(most=size.most) for size in sort.sizes]
        ways = [way for room in sort.rooms for way in self._ways(room, sort)]
        for room in sort.rooms:
            row({way.chosen: 1.0 for way in ways if way.room == room}, most=1.0)
        for place in range(len(sort.sizes)):
            held = {way.chosen: -float(way.filling[place]) for way in ways if way.filling}
            asked = {made[number]: 1.0 for number in sort.needs if sort.size_of[number] == place}
            row({**asked, **held, poured[place]: -1.0}, most=0.0)
        in_all = {each: size.area_mm2 / MM2_PER_M2 for each, size in zip(poured, sort.sizes, strict=True)}
        row({**in_all, **{way.poured_m2: -1.0 for way in ways if not way.filling}}, most=0.0)
        self.made.append(made)
        self.poured.append(poured)
        self.ways.append(ways)

    def _ways(self, number: int, sort: Sort) -> Iterator[_Way]:
        """Every way to use a room of a sort."""
        room = self.problem.rooms[number]
        yield from self._full_or_part(number, sort.full.get(number), room.capacity_mm2, is_part=False)
        if self.keeps_left_overs and room.part_mm2 > 0:
            yield from self._full_or_part(number, sort.part.get(number), room.part_mm2, is_part=True)

    def _full_or_part(
        self, room: int, fillings: Sequence[Filling] | None, most_mm2: float, *, is_part: bool
    ) -> Iterator[_Way]:
        variable = self.programme.variable
        if fillings is not None and len(fillings) <= self.most_fillings:
            for filling in filter(any, fillings):
                yield _Way(room=room, chosen=variable(most=1), is_part=is_part, filling=filling)
            return
        chosen, poured_m2 = variable(most=1), variable(is_whole=False)
        self.programme.row({poured_m2: 1.0, chosen: -most_mm2 / MM2_PER_M2}, most=0.0)
        yield _Way(room=room, chosen=chosen, is_part=is_part, poured_m2=poured_m2, most_mm2=most_mm2)

    def _gowns(self, *, first_only: bool) -> Terms:
        """Gowns that are made."""
        needs = self.problem.needs
        return {
            variable: float(needs[number].gown_count)
            for made in self.made
            for number, variable in made.items()
            if needs[number].is_first or not first_only
        }

    def _used_up_m2(self) -> Terms:
        """Cloth cut away or left over useless."""
        terms = {}
        for sort, ways in zip(self.sorts, self.ways, strict=True):
            for way in ways:
                room = self.problem.rooms[way.room]
                if not way.is_part:
                    terms[way.chosen] = room.area_mm2 / MM2_PER_M2
                elif way.filling:
                    filled_mm2 = total_mm2(way.filling, sort.sizes)
                    terms[way.chosen] = room.used_up_mm2(filled_mm2) / MM2_PER_M2
                else:
                    terms[way.poured_m2] = room.area_mm2 / room.capacity_mm2
        return terms

    def most_gowns(self, *, first_only: bool) -> int:
        """The number of gowns no dealing out exceeds."""
        return math.floor(self._bound(self._gowns(first_only=first_only), gap=_WITHIN_ONE) + _ROUNDING)

    def fewest_rooms(self) -> int:
        """The number of rooms no dealing out does with less of."""
        return math.ceil(-self._bound(_negative(self.opened), gap=_WITHIN_ONE) - _ROUNDING)

    def least_used_up_mm2(self, *, gap_share: float) -> float:
        """The cloth no dealing out uses up less of."""
        return -self._bound(_negative(self._used_up_m2()), gap_share=gap_share) * MM2_PER_M2

    def _bound(self, terms: Terms, *, gap: float = _ROUNDING, gap_share: float = 0.0) -> float:
        """What no dealing out exceeds; where the steps did not suffice for more, with everything parted at will."""
        with suppress(GaveUp):
            self.solved = self._maximised(terms, gap=gap, gap_share=gap_share)
            if math.isfinite(self.solved.bound):
                return self.solved.bound
        return self.programme.relaxed(terms).bound

    def _maximised(self, terms: Terms, *, gap: float, gap_share: float) -> Solved:
        """Without the solver's own long hunts for answers, which count no steps."""
        return self.programme.maximise(terms, gap=gap, gap_share=gap_share, is_start_good=True)

    def make_room(self, *, most_used_up_mm2: float | None = None) -> None:
        """Seek what leaves most to spare, by room, in the sort where least is; raises NoAnswer and GaveUp."""
        if most_used_up_mm2 is not None:
            self.programme.row(self._used_up_m2(), most=most_used_up_mm2 / MM2_PER_M2)
        least_m2 = self.programme.variable(most=_ENOUGH_M2, is_whole=False)
        for sort, poured, ways in zip(self.sorts, self.poured, self.ways, strict=True):
            held = {each: -size.area_mm2 / MM2_PER_M2 for each, size in zip(poured, sort.sizes, strict=True)}
            shared = [way for way in ways if not way.filling]
            whole = {way.chosen: way.most_mm2 / MM2_PER_M2 for way in shared if not way.is_part}
            part = {way.poured_m2: 1.0 for way in shared if way.is_part}
            others = len({way.room for way in shared}) - 1
            if others > 0:
                self.programme.row({**held, **whole, **part, least_m2: -float(others)}, least=0.0)
        self.solved = self._maximised({least_m2: 1.0}, gap_share=_NEAR_SHARE, gap=_NEAR_M2)

    def counts(self, *, more_mm2: float = 0.0) -> Counts | None:
        """What was found last, packed into the rooms; None where it does not go in.

        Rooms that something useful is left of may use up so much more in all.
        """
        if self.solved is None:
            return None
        counts = [[0] * len(self.problem.rooms) for _ in self.problem.needs]
        shared_mm2 = more_mm2 / max(1, sum(way.is_part for ways in self.ways for way in self._chosen(ways)))
        for at in range(len(self.sorts)):
            fillings = self._fillings(at, shared_mm2)
            if fillings is None:
                return None
            self._hand_out(at, fillings, counts)
        return tuple(map(tuple, counts))

    def _hand_out(self, at: int, fillings: Mapping[int, Filling], counts: list[list[int]]) -> None:
        """Count the groups of each need into the rooms of a sort that have places of their size."""
        places = {room: list(filling) for room, filling in fillings.items()}
        for number, variable in self.made[at].items():
            left, size = self._value(variable), self.sorts[at].size_of[number]
            for room, free in places.items():
                counts[number][room] = min(left, free[size])
                left -= counts[number][room]
                free[size] -= counts[number][room]

    def _fillings(self, at: int, shared_mm2: float) -> dict[int, Filling] | None:
        """A filling of every opened room of a sort; None where they do not hold what is poured into them."""
        ways = self._chosen(self.ways[at])
        poured = [way for way in ways if not way.filling]
        sizes = [
            Size(area_mm2=size.area_mm2, most=self._value(variable))
            for size, variable in zip(self.sorts[at].sizes, self.poured[at], strict=True)
        ]
        found = packed(sizes, [self._holds_mm2(way, shared_mm2) for way in poured])
        if found is None:
            return None
        whole = {way.room: way.filling for way in ways if way.filling}
        return whole | {way.room: filling for way, filling in zip(poured, found, strict=True)}

    def _chosen(self, ways: Sequence[_Way]) -> list[_Way]:
        return [way for way in ways if self._value(way.chosen)]

    def _value(self, variable: int) -> int:
        return round(self.solved.values[variable]) if self.solved else 0

    def _holds_mm2(self, way: _Way, shared_mm2: float) -> float:
        """What a room that is poured full may hold: all it can, or little more than was found best."""
        if not way.is_part or self.solved is None:
            return way.most_mm2
        room = self.problem.rooms[way.room]
        more_mm2 = shared_mm2 * room.capacity_mm2 / room.area_mm2
        return min(self.solved.values[way.poured_m2] * MM2_PER_M2 + more_mm2, way.most_mm2)


def _negative(terms: Terms) -> Terms:
    return {variable: -factor for variable, factor in terms.items()}
