"""Dealing kits out to lots by programme: the most gowns, the fewest lots, then the least cloth used up."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import replace
from itertools import takewhile

from gowngroup.planning.allocation.opening import OpeningProgramme
from gowngroup.planning.allocation.problem import Counts, Dealt, Problem, Proof, Reached
from gowngroup.planning.allocation.settling import settled
from gowngroup.planning.allocation.sorts import MANY_FILLINGS, sorts_of
from gowngroup.planning.integer_programme import GaveUp, NoAnswer

# Rooms with few fillings are looked at whole first; those with many only where that leaves something to find or prove.
_FEW_FILLINGS = 150
# Shares of the gap allowed: how near to the best is near enough to prove, to pack from there, and to look for room in.
_PROVEN, _PACKED, _SOUGHT = 0.3, 0.5, 0.9


def deal_out(problem: Problem, *, start: Counts, gap_share: float, most_dives: int) -> Dealt:
    """The best counts of groups in rooms: most first gowns, most gowns, fewest rooms, least cloth used up.

    `start` is a dealing out known already, used where it keeps to the capacities. Looks no further once within
    `gap_share` of what is proven, or after `most_dives` for something better, counted in steps, so the same problem
    always gives the same counts. Areas in mm². Raises CannotSolve. What it proves holds for all dealings out; what it finds may fall short by the
    gap it tells.
    """
    return _Dealing(problem, start, most_dives=most_dives).dealt(gap_share)


class _Dealing:
    """The best dealing out so far."""

    def __init__(self, problem: Problem, start: Counts, *, most_dives: int) -> None:
        self.problem = problem
        self.dives_left = most_dives
        nothing = tuple((0,) * len(problem.rooms) for _ in problem.needs)
        self.counts = settled(problem, start if problem.is_possible(start) else nothing)
        self.sorts = sorts_of(problem)
        numbers = {len(fillings) for sort in self.sorts for fillings in sort.full.values()}
        is_one_look = not any(number > _FEW_FILLINGS for number in numbers)
        self.looks = (_FEW_FILLINGS,) if is_one_look else (_FEW_FILLINGS, MANY_FILLINGS)

    def dealt(self, gap_share: float) -> Dealt:
        """Every stage in turn, each keeping what the stages before it reached."""
        most_first = self._most_gowns(first_only=True)
        most_gowns = self._most_gowns(first_only=False)
        least_lots = self._fewest_lots()
        least_used_up_mm2 = self._least_used_up(gap_share, least_lots)
        proof = Proof(
            most_first=most_first,
            most_gowns=most_gowns,
            least_lots=least_lots,
            least_used_up_mm2=least_used_up_mm2,
        )
        return Dealt(counts=self.counts, proof=proof)

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
        needs = [need for need in self.problem.needs if need.is_first or not first_only]
        most = sum(need.gown_count * need.count for need in needs)
        kept = self._reached(first=0, gowns=0) if first_only else self._reached(gowns=0)
        for most_fillings in self.looks:
            if self._made(first_only=first_only) < most:
                programme = self._programme(kept, most_fillings)
                most = min(most, programme.most_gowns(first_only=first_only))
            targets = range(most, self._made(first_only=first_only), -1)
            for target in takewhile(lambda target: self._made(first_only=first_only) < target, targets):
                self._dive(replace(kept, **{"first" if first_only else "gowns": target}), most_fillings)
        return most

    def _made(self, *, first_only: bool) -> int:
        return self.problem.gowns(self.counts, first_only=first_only)

    def _fewest_lots(self) -> int:
        """What no dealing out that makes as many gowns can do with less of."""
        least = 0
        for most_fillings in self.looks:
            # A later dive for what cannot be proves as much, and sooner.
            if least < self._opened and not (least and self.dives_left):
                least = max(least, self._programme(self._reached(), most_fillings).fewest_rooms())
            for lots in takewhile(lambda lots: lots < self._opened, range(least, self._opened)):
                if not self._dive(self._reached(rooms=lots), most_fillings):
                    least = lots + 1
        return least

    @property
    def _opened(self) -> int:
        return len(self.problem.opened(self.counts))

    def _least_used_up(self, gap_share: float, least_lots: int) -> float:
        """The mm² that no dealing out with as many gowns from as few lots can use up less of."""
        reached = self._reached(rooms=self._opened, least_rooms=least_lots)
        least_mm2 = 0.0
        for most_fillings in self.looks:
            if self._is_within(gap_share, least_mm2):
                break
            enough_mm2 = self.problem.used_up_mm2(self.counts) * (1 - _SOUGHT * gap_share)
            # After a first look it is quicker to ask whether anything much better exists than what the best is.
            if least_mm2 and not self._dive(reached, most_fillings, most_used_up_mm2=enough_mm2):
                least_mm2 = max(least_mm2, enough_mm2)
                break
            programme = self._programme(reached, most_fillings, keeps_left_overs=True)
            bound_mm2 = programme.least_used_up_mm2(gap_share=_PROVEN * gap_share)
            least_mm2 = max(bound_mm2, least_mm2)
            if not self._is_within(gap_share, least_mm2):
                self._keep_better(programme.counts(more_mm2=_PACKED * gap_share * least_mm2))
            if not self._is_within(gap_share, least_mm2):
                self._dive(reached, most_fillings, most_used_up_mm2=least_mm2 * (1 + _SOUGHT * gap_share))
        return least_mm2

    def _is_within(self, gap_share: float, least_mm2: float) -> bool:
        return self.problem.used_up_mm2(self.counts) * (1 - gap_share) <= least_mm2

    def _programme(
        self, reached: Reached, most_fillings: int, *, keeps_left_overs: bool = False
    ) -> OpeningProgramme:
        return OpeningProgramme(
            self.problem,
            self.sorts,
            reached,
            most_fillings=most_fillings,
            keeps_left_overs=keeps_left_overs,
        )

    def _dive(self, target: Reached, most_fillings: int, *, most_used_up_mm2: float | None = None) -> bool:
        """Look for a dealing out that reaches a target, and keep it if it is better; False where none can reach it."""
        if not self.dives_left:
            return True
        self.dives_left -= 1
        programme = self._programme(target, most_fillings, keeps_left_overs=most_used_up_mm2 is not None)
        with suppress(GaveUp):
            try:
                programme.make_room(most_used_up_mm2=most_used_up_mm2)
            except NoAnswer:
                return False
            self._keep_better(programme.counts())
        return True

    def _keep_better(self, counts: Counts | None) -> None:
        if counts is not None and self.problem.is_possible(counts):
            self.counts = min(self.counts, settled(self.problem, counts), key=self.problem.worth)
