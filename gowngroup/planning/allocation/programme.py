"""Dealing kits out to lots by patterns: the most gowns, the fewest lots, then the least cloth used up."""

from __future__ import annotations

import math
from collections.abc import Callable
from contextlib import suppress
from dataclasses import replace
from functools import partial
from itertools import takewhile

from gowngroup.planning.allocation.columns import Aim, Columns, Reached
from gowngroup.planning.allocation.opening import Opening, OpeningProgramme
from gowngroup.planning.allocation.patterns import MM2_PER_M2
from gowngroup.planning.allocation.problem import Counts, Dealt, Problem, Proof
from gowngroup.planning.allocation.settling import settled
from gowngroup.planning.allocation.squeezing import squeezed
from gowngroup.planning.integer_programme import GaveUp, NoAnswer

_ROUNDING = 1e-6
# More dives for gowns still missing: each sets out from more patterns than the one before.
_MORE_GOWNS_DIVES = 5
_DIVES_FOR_LOTS = 2
# Lots to dive into need not be the very thriftiest.
_GOOD_SHARE = 5e-3
# Kits in rooms are looked over whole, after the dives, only where there are fewer counts than this.
_MOST_WHOLE = 350


def deal_out(problem: Problem, *, start: Counts, gap_share: float, most_dives: int) -> Dealt:
    """The best counts of groups in rooms: most first gowns, most gowns, fewest rooms, least cloth used up.

    `start` is a dealing out known already, used where it keeps to the capacities. Looks no further once within
    `gap_share` of what is proven, or after `most_dives`, so the same problem always gives the same counts. Areas in mm².
    Raises CannotSolve. Source: Gilmore and Gomory 1961 and 1963, column generation (from memory); what it proves holds
    for all dealings out, what it finds may fall short by the gap it tells.
    """
    return _Dealing(problem, start, most_dives=most_dives).dealt(gap_share)


class _Dealing:
    """The best dealing out so far, and the patterns from which better ones are sought."""

    def __init__(self, problem: Problem, start: Counts, *, most_dives: int) -> None:
        self.problem = problem
        self.columns = Columns(problem)
        self.dives_left = most_dives
        nothing = tuple((0,) * len(problem.rooms) for _ in problem.needs)
        self.counts = settled(problem, start if problem.is_possible(start) else nothing)
        self.columns.take_up(self.counts)

    def dealt(self, gap_share: float) -> Dealt:
        """Every stage in turn, each keeping what the stages before it reached."""
        most_first = self._most_gowns(first_only=True)
        most_gowns = self._most_gowns(first_only=False)
        least_lots = self._fewest_lots()
        least_used_up_mm2 = self._least_used_up(gap_share)
        return Dealt(
            counts=self.counts,
            proof=Proof(
                most_first=most_first,
                most_gowns=most_gowns,
                least_lots=least_lots,
                least_used_up_mm2=least_used_up_mm2,
            ),
        )

    def _reached(self, **targets: int) -> Reached:
        """What is reached already, with all rooms open to it, but for the targets that are named."""
        problem, counts = self.problem, self.counts
        reached = Reached(
            first=problem.gowns(counts, first_only=True),
            gowns=problem.gowns(counts),
            rooms=len(problem.rooms),
        )
        return replace(reached, **targets)

    def _most_gowns(self, *, first_only: bool) -> int:
        """What no dealing out can make more of; where the start makes all of them there is nothing to search."""
        gains = [need.gown_count * (need.is_first or not first_only) for need in self.problem.needs]
        all_of_them = sum(gain * need.count for gain, need in zip(gains, self.problem.needs, strict=True))
        if self._made(first_only=first_only) == all_of_them:
            return all_of_them
        kept = self._reached(first=0, gowns=0) if first_only else self._reached(gowns=0)
        self.columns.seek(Aim(gains=tuple(map(float, gains))), kept)
        poured = OpeningProgramme(self.problem, kept).most_gowns(first_only=first_only)
        most = min(math.floor(self.columns.bound(is_whole=True) + _ROUNDING), round(poured.bound))
        target = replace(kept, first=most) if first_only else replace(kept, gowns=most)
        if self._made(first_only=first_only) < most:
            self._dive_thriftily(target, OpeningProgramme(self.problem, target))
        for _ in range(_MORE_GOWNS_DIVES):
            if self._made(first_only=first_only) < most:
                self._dive(target, self._all_rooms)
        if self._made(first_only=first_only) < most:
            ask = partial(OpeningProgramme.most_gowns, first_only=first_only)
            most = min(most, round(self._kept_whole(kept, most, ask)))
        return most

    def _made(self, *, first_only: bool) -> int:
        return self.problem.gowns(self.counts, first_only=first_only)

    def _fewest_lots(self) -> int:
        """What no dealing out that makes as many gowns can do with less of."""
        opening = OpeningProgramme(self.problem, self._reached())
        least = round(opening.fewest().bound)
        if least < self._opened:
            self._squeeze_thriftily(opening, least)
        opened = self._opened
        if least < opened:
            self.columns.seek(Aim(gains=self._none, per_room=1.0), self._reached())
            by_patterns = self.columns.bound(enough=1 - opened - 2 * _ROUNDING, is_whole=True)
            least = max(math.ceil(-by_patterns - _ROUNDING), least)
        for lots in takewhile(lambda lots: lots < self._opened, range(least, opened)):
            self._dive_for_lots(opening, lots)
        if self._opened > least:
            least = max(least, round(self._kept_whole(self._reached(), least, OpeningProgramme.fewest)))
        return least

    @property
    def _opened(self) -> int:
        return len(self.problem.opened(self.counts))

    def _least_used_up(self, gap_share: float) -> float:
        """The mm² that no dealing out with as many gowns from as few lots can use up less of."""
        reached = self._reached(rooms=self._opened)
        ask = partial(OpeningProgramme.thriftiest, most_rooms=reached.rooms)
        opening = ask(OpeningProgramme(self.problem, reached))
        least_mm2 = opening.bound
        if not self._is_within(gap_share, least_mm2):
            self._dive(reached, opening.rooms)
        if not self._is_within(gap_share, least_mm2):
            self.columns.seek(Aim(gains=self._none, per_m2=1.0), reached)
            least_mm2 = max(-self.columns.bound() * MM2_PER_M2, least_mm2)
        if not self._is_within(gap_share, least_mm2):
            ask = partial(ask, gap_share=gap_share)
            least_mm2 = max(least_mm2, self._kept_whole(reached, least_mm2, ask))
        return least_mm2

    def _is_within(self, gap_share: float, least_mm2: float) -> bool:
        return self.problem.used_up_mm2(self.counts) * (1 - gap_share) <= least_mm2

    def _kept_whole(
        self, reached: Reached, bound: float, ask: Callable[[OpeningProgramme], Opening]
    ) -> float:
        """The bound with every kit kept whole, and the dealing out that comes with it; as it was for too many."""
        if sum(len(need.rooms) for need in self.problem.needs) > _MOST_WHOLE:
            return bound
        with suppress(NoAnswer, GaveUp):
            opening = ask(OpeningProgramme(self.problem, reached, keeps_whole=True))
            self._keep_better(opening.counts or self.counts)
            bound = opening.bound
        return bound

    @property
    def _none(self) -> tuple[float, ...]:
        return (0.0,) * len(self.problem.needs)

    @property
    def _all_rooms(self) -> frozenset[int]:
        return frozenset(range(len(self.problem.rooms)))

    def _dive_thriftily(self, target: Reached, opening: OpeningProgramme) -> None:
        """Dive into the lots that look best for a target; where so few cannot hold it there is nothing to find."""
        with suppress(NoAnswer, GaveUp):
            lots = round(opening.fewest().bound)
            rooms = opening.thriftiest(most_rooms=lots, gap_share=_GOOD_SHARE).rooms
            self._dive(replace(target, rooms=lots), rooms)

    def _dive_for_lots(self, opening: OpeningProgramme, lots: int) -> None:
        """Dive for all that is made in so few lots: a second dive sets out from the patterns of the first."""
        with suppress(NoAnswer, GaveUp):
            rooms = opening.thriftiest(most_rooms=lots, gap_share=_GOOD_SHARE).rooms
            for _ in takewhile(lambda _: self._opened > lots, range(_DIVES_FOR_LOTS)):
                self._dive(self._reached(rooms=lots), rooms)

    def _squeeze_thriftily(self, opening: OpeningProgramme, lots: int) -> None:
        """Squeeze all that is dealt out into the lots that look best, which takes little where there is room enough."""
        with suppress(NoAnswer, GaveUp):
            found = self._squeezed(
                self.counts, opening.thriftiest(most_rooms=lots, gap_share=_GOOD_SHARE).rooms
            )
            self._keep_better(found or self.counts)

    def _dive(self, target: Reached, rooms: frozenset[int]) -> None:
        """Keep what a dive for a target into these rooms finds, and what can be squeezed in there, where it is better."""
        if not self.dives_left:
            return
        self.dives_left -= 1
        self.columns.seek(Aim(gains=self._none, per_m2=1.0), target)
        found = self.columns.dive(rooms)
        self._keep_better(found)
        filled_up = found
        while (more := self._with_one_more(filled_up, target, rooms)) is not None:
            filled_up = more
        if filled_up is not found:
            self._keep_better(filled_up)

    def _with_one_more(self, counts: Counts, target: Reached, rooms: frozenset[int]) -> Counts | None:
        """The smallest group left out squeezed in, too; None where it cannot be, or the target is met already."""
        problem = self.problem
        first_only = problem.gowns(counts, first_only=True) < target.first
        left_out = [
            (need.area_mm2, number, min(rooms.intersection(need.rooms)))
            for number, (need, row) in enumerate(zip(problem.needs, counts, strict=True))
            if sum(row) < need.count
            and not rooms.isdisjoint(need.rooms)
            and (need.is_first or not first_only)
        ]
        if not left_out or not (first_only or problem.gowns(counts) < target.gowns):
            return None
        _, number, room = min(left_out)
        more = [list(row) for row in counts]
        more[number][room] += 1
        return self._squeezed(tuple(map(tuple, more)), rooms)

    def _squeezed(self, counts: Counts, into: frozenset[int]) -> Counts | None:
        """These counts, which may be too much for a room, brought into no other rooms than these."""
        capacities_mm2 = [
            room.capacity_mm2 * (number in into) for number, room in enumerate(self.problem.rooms)
        ]
        return squeezed(self.problem, counts, capacities_mm2)

    def _keep_better(self, counts: Counts) -> None:
        found = settled(self.problem, counts)
        if self.problem.worth(found) < self.problem.worth(self.counts):
            self.counts = found
        self.columns.take_up(found)
