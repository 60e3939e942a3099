"""What comes first: one wish after another is brought to its best, and kept while the next is sought."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import dropwhile

from gowngroup.planning.integer_programme import GaveUp, NoAnswer, Solved, Terms, total_of
from gowngroup.planning.mix.fences import Fence, Fences
from gowngroup.planning.mix.packing import comes_out_whole
from gowngroup.planning.mix.problem import Problem
from gowngroup.planning.mix.programme import MixProgramme, served_by_ward

# Counts are whole, so an answer less than one short of the bound is the best.
_WHOLE_GAP = 0.999
# Cloth breaks ties with weights that add up to less than a half; so does the gap.
_HALF = 0.49
# Looked at lot by lot, an answer takes long to be better than the first few found.
_WHOLE_NODES = 20
_NEARLY = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Decided:
    """The best answer, with the programme it answers and what it comes to, in gowns."""

    model: MixProgramme
    solved: Solved
    fences: tuple[Fence, ...]
    memorial_count: int
    worn_count: int
    served: Mapping[str, int]
    safety_count: int
    design_count: int
    worst_cover: Fraction | None
    # The wards among which the worst served was sought.
    ward_keys: tuple[str, ...]
    is_proven: bool

    @property
    def levels(self) -> tuple[int, Fraction, int, int, int]:
        """What was sought, in the order it was sought; greater is better."""
        worst = self.worst_cover or Fraction(0)
        return self.memorial_count, worst, self.worn_count, self.safety_count, -self.design_count

    @property
    def total_count(self) -> int:
        return self.memorial_count + self.worn_count


def decide(problem: Problem) -> Decided:
    """The best mix: memorial gowns, then the worst-served ward, then the total, safety stock, few designs.

    Asked first of pooled cloth, which is quick, with fences against gowns no lots can hold; an answer that comes whole
    out of the lots is the best. Where none is found the lots are looked at one by one for how well the wards can be
    served, starting from what the pooled cloth would allow; the rest is asked of pooled cloth again. Raises CannotSolve.
    Source: lexicographic (preemptive) goal programming; branch and cut with knapsack cuts, textbook methods.
    """
    fences = Fences(problem)
    pools = _Levels(MixProgramme(problem.pooled()), fences, is_bound_near=True)
    pools.serve_the_wards()
    pooled = _settled(pools)
    if comes_out_whole(problem, pooled.model, pooled.solved):
        return pooled
    hoped = pooled if pooled.is_proven else None
    lots = _Levels(MixProgramme(problem, most_nodes=_WHOLE_NODES), fences, is_bound_near=False)
    lots.serve_the_wards(hoped)
    pools = _Levels(MixProgramme(problem.pooled()), fences, is_bound_near=True)
    pools.serve_as(lots)
    pooled = _settled(pools, hoped=hoped)
    if comes_out_whole(problem, pooled.model, pooled.solved):
        return pooled
    return _settled(lots, hoped=hoped)


def _settled(levels: _Levels, *, hoped: Decided | None = None) -> Decided:
    """The best answer to one programme once it is known how the wards are served; none is better than what is hoped."""
    levels.most_safety_of_fewest_designs()
    levels.little_made_of_little_cloth()
    model, solved = levels.model, levels.solved
    served = served_by_ward(model, solved, "worn")
    decided = Decided(
        model=model,
        solved=solved,
        fences=tuple(levels.fences.found),
        memorial_count=levels.count(levels.memorial),
        worn_count=levels.count(levels.worn),
        served=served,
        safety_count=levels.count(model.served("safety")),
        design_count=len(designs_made(model, solved)),
        worst_cover=levels.worst_of(served),
        ward_keys=tuple(levels.asked),
        is_proven=levels.is_proven,
    )
    return replace(decided, is_proven=True) if hoped and decided.levels == hoped.levels else decided


def designs_made(model: MixProgramme, solved: Solved) -> set[str]:
    """The designs anything is made in."""
    return {
        choice.design_key
        for number, choice in enumerate(model.problem.choices)
        if round(sum(solved.values[variable] for variable in model.of_choice(number)))
    }


class _Levels:
    """A programme under more and more rows; each level adds those that keep what was reached.

    With `is_bound_near` an answer that comes up to a bound is sought before the best is.
    """

    def __init__(self, model: MixProgramme, fences: Fences, *, is_bound_near: bool) -> None:
        self.model = model
        self.programme = model.programme
        self.fences = fences
        self.is_bound_near = is_bound_near
        for fence in fences.found:
            model.keep_worth(fence)
        self.is_proven = True
        self.solved: Solved
        self.memorial, self.worn = model.served("memorial"), model.served("worn")
        self.memorial_row, self.worn_row = self.programme.row(self.memorial), self.programme.row(self.worn)
        asked = model.problem.asked("worn")
        # A ward that nothing can be had for does not hold the others back.
        self.asked = {key: count for key, count in asked.items() if model.served("worn", key)}
        self.ward_rows = {key: self.programme.row(model.served("worn", key), least=0.0) for key in self.asked}
        self.little_cloth = total_of(self._little_cloth())

    def _fenced(self, solve: Callable[[], Solved]) -> Solved:
        """Solve again until the answer lies within every fence that can be found."""
        while fence := self.fences.against(self.model.cut_counts(solved := solve())):
            self.model.keep_worth(fence)
        return solved

    def _solve(self, terms: Terms, *, gap: float = _WHOLE_GAP) -> Solved:
        solved = self._fenced(lambda: self.programme.maximise(terms, gap=gap))
        self.is_proven = self.is_proven and solved.is_proven
        return solved

    def _bound(self, terms: Terms) -> float | None:
        """What these terms cannot exceed, gowns being split; None where not even then there is an answer."""
        try:
            return self._fenced(lambda: self.programme.relaxed(terms)).total(terms) + _NEARLY
        except NoAnswer:
            return None

    def _whole_bound(self, terms: Terms) -> int:
        return math.floor(self._bound(terms) or 0)

    def count(self, terms: Terms) -> int:
        """What whole terms come to."""
        return round(self.solved.total(terms))

    def worst_of(self, served: Mapping[str, int]) -> Fraction | None:
        """The cover of the worst-served ward."""
        covers = (Fraction(served[key], count) for key, count in self.asked.items())
        return min(covers, default=None)

    def serve_the_wards(self, hoped: Decided | None = None) -> None:
        """Memorial gowns, the worst-served ward and the total, each brought to its best in turn."""
        self.most_memorial(hoped)
        self.raise_the_worst(hoped)

    def serve_as(self, other: _Levels) -> None:
        """Serve the wards no worse than another programme does, whose answer cannot be bettered if it is proven."""
        self.is_proven = other.is_proven
        self.programme.raise_row(self.memorial_row, least=float(other.count(other.memorial)))
        self._ask_of_every_ward(
            other.worst_of(served_by_ward(other.model, other.solved, "worn")) or Fraction(0)
        )
        self.programme.raise_row(self.worn_row, least=float(other.count(other.worn)))
        self.solved = self._solve(self.little_cloth, gap=math.inf)

    def most_memorial(self, hoped: Decided | None) -> None:
        """Memorial gowns first: as many as the bound, until that turns out to be too many."""
        most = hoped.memorial_count if hoped else self._whole_bound(self.memorial)
        self.programme.raise_row(self.memorial_row, least=float(most))

    def raise_the_worst(self, hoped: Decided | None) -> None:
        """Raise the cover of the worst-served ward as far as it goes, then the total under it."""
        if not self._raise_within(self._covers(hoped.worst_cover if hoped else self._highest_cover())):
            self._ask_of_every_ward(Fraction(0))
            self.programme.raise_row(self.memorial_row, least=0.0)
            self.solved = self._solve(self.memorial)
            self.programme.raise_row(self.memorial_row, least=self.count(self.memorial))
            self._raise_within(self._covers(self._highest_cover()))
        self.programme.raise_row(self.worn_row, least=self.count(self.worn))

    def _highest_cover(self) -> float:
        """What the worst cover cannot exceed, gowns being split; 0 where even that cannot be."""
        cover = self.programme.variable(most=1.0, is_whole=False)
        rows = [
            self.programme.row({**self.model.served("worn", key), cover: -float(count)}, least=0.0)
            for key, count in self.asked.items()
        ]
        highest = self._bound({cover: 1.0})
        for row in rows:
            self.programme.raise_row(row, least=-math.inf)
        return highest or 0.0

    def _covers(self, highest: Fraction | float | None) -> list[Fraction]:
        """The covers a worst-served ward may have, the best first, without those that split gowns could not give."""
        every = {Fraction(n, count) for count in self.asked.values() for n in range(1, count + 1)}
        covers = sorted((each for each in every if each <= (highest or 0)), reverse=True)
        return [*dropwhile(self._is_out_of_reach, covers), Fraction(0)]

    def _is_out_of_reach(self, cover: Fraction) -> bool:
        self._ask_of_every_ward(cover)
        return self._bound(self.worn) is None

    def _raise_within(self, covers: Iterable[Fraction]) -> bool:
        """Keep the first of these covers that can be had, with the most gowns under it; can any?"""
        for cover in covers:
            if found := self._most_at(cover):
                self.solved = found
                return True
        return False

    def _most_at(self, cover: Fraction) -> Solved | None:
        """The most gowns with every ward served so far; None where that cannot be."""
        self._ask_of_every_ward(cover)
        try:
            return self._most(self.worn, self.worn_row, self._whole_bound(self.worn))
        except (NoAnswer, GaveUp) as none:
            self.is_proven = self.is_proven and isinstance(none, NoAnswer)
            return None

    def _most(self, terms: Terms, row: int, bound: int) -> Solved:
        """The most of these terms, which have a row. Raises NoAnswer where nothing can be had at all, and GaveUp."""
        reached = self._reaching(row, bound) or self._reaching(row, bound - 1) if self.is_bound_near else None
        return reached or self._solve(terms)

    def _reaching(self, row: int, least: int) -> Solved | None:
        """An answer in which a row comes to no less; None where none is found."""
        self.programme.raise_row(row, least=float(least))
        try:
            return self._solve(self.little_cloth, gap=math.inf)
        except (NoAnswer, GaveUp):
            return None
        finally:
            self.programme.raise_row(row, least=-math.inf)

    def _needed(self, cover: Fraction) -> dict[str, int]:
        return {key: -(-cover * count // 1) for key, count in self.asked.items()}

    def _ask_of_every_ward(self, cover: Fraction) -> None:
        for key, needed in self._needed(cover).items():
            self.programme.raise_row(self.ward_rows[key], least=float(needed))

    def most_safety_of_fewest_designs(self) -> None:
        """As much safety stock as the rest of the means allow, then few designs."""
        safety = self.model.served("safety")
        self._bring_up(safety, self._whole_bound(safety))
        used = self._designs_used()
        self._bring_up(dict.fromkeys(used, -1.0), -sum(map(self._is_needed, used)))

    def _bring_up(self, terms: Terms, bound: int) -> None:
        """Bring terms to their most and keep them there."""
        row = self.programme.row(terms)
        if self.count(terms) < bound:
            self.solved = self._most(terms, row, bound)
        self.programme.raise_row(row, least=self.count(terms))

    def _is_needed(self, used: int) -> bool:
        """Can this design not be left out, even with gowns split? If so it is kept from now on."""
        is_needed = (self._bound({used: -1.0}) or 0) < 0
        if is_needed:
            self.programme.row({used: 1.0}, least=1.0)
        return is_needed

    def little_made_of_little_cloth(self) -> None:
        """Give gowns that are there already before any is made, and of answers else alike take one of little cloth."""
        goal = total_of([dict.fromkeys(self.model.given.values(), 1.0), self.little_cloth])
        if goal:
            self.solved = self.programme.maximise(goal, gap=_HALF)

    def _designs_used(self) -> list[int]:
        """A variable for each design, 1 where any gown is made in it."""
        model, wanted = self.model, self.model.problem.wanted_counts()
        of_design: dict[str, list[int]] = defaultdict(list)
        for number, choice in enumerate(model.problem.choices):
            if model.of_choice(number):
                of_design[choice.design_key].append(number)
        made = designs_made(model, self.solved)
        used = []
        for design_key, numbers in of_design.items() if len(of_design) > 1 else ():
            variable = self.programme.variable(most=1, start=1.0)
            used.append(variable)
            self._know(variable, float(design_key in made))
            for number in numbers:
                most = -float(wanted[model.problem.choices[number].line])
                of_choice = dict.fromkeys(model.of_choice(number), 1.0)
                self.programme.row({**of_choice, variable: most}, most=0.0)
        return used

    def _know(self, variable: int, value: float) -> None:
        """The answer with the value a variable has that came after it."""
        values = self.solved.values
        self.solved = replace(self.solved, values=(*values, *[0.0] * (variable - len(values)), value))

    def _little_cloth(self) -> Iterator[Terms]:
        """Weights that together stay under a half, so that cloth only decides between answers else alike."""
        problem = self.model.problem
        largest_mm2 = max((choice.cloth_mm2 for choice in problem.choices), default=0.0)
        all_mm2 = 2.1 * largest_mm2 * problem.wanted_counts().total()
        if all_mm2:
            for room in problem.rooms:
                yield {key: -mm2 / all_mm2 for key, mm2 in self.model.cloth_mm2(room.lot_key).items()}
