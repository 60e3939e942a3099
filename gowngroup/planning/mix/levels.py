"""What comes first: one wish after another is brought to its best, and kept while the next is sought."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction

from gowngroup.planning.integer_programme import GaveUp, NoAnswer, Solved, Terms, total_of
from gowngroup.planning.mix.packing import comes_out_whole
from gowngroup.planning.mix.problem import Problem
from gowngroup.planning.mix.programme import MixProgramme, served_by_ward

# Counts are whole, so an answer less than one short of the bound is the best.
_WHOLE_GAP = 0.999
# Cloth breaks ties with weights that add up to less than a half; so does the gap.
_HALF = 0.49
# Cut whole gowns from whole lots, and some cloth is left over at every end.
_FILL_SHARES = (1.0, 0.99, 0.975, 0.95, 0.9, 0.8)
_FEW_CUTS = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Decided:
    """The best answer, with the programme it answers and what it comes to, in gowns."""

    model: MixProgramme
    solved: Solved
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

    Asked first of pooled cloth, which is quick; an answer that comes whole out of the lots and is as good as that of
    all the pooled cloth is the best. Where none is found the lots are looked at one by one if they are few, else the
    best answer that comes out is taken as it is, not proven. Raises CannotSolve.
    Source: lexicographic (preemptive) goal programming, textbook method.
    """
    bound = _decide(MixProgramme(problem.pooled()))
    found = list(_pooled_answers(problem, bound))
    if found and bound.is_proven and found[0].levels == bound.levels:
        return found[0]
    whole = MixProgramme(problem)
    if not found or len(whole.cut) + len(whole.set_cut) <= _FEW_CUTS:
        found.append(_decide(whole))
    return max(found, key=lambda each: (each.levels, each.is_proven))


def _pooled_answers(problem: Problem, bound: Decided) -> Iterator[Decided]:
    """The best answer found that comes whole out of the lots, leaving more and more cloth; none where none does."""
    for fill_share in _FILL_SHARES:
        pooled = bound if fill_share == 1 else _decide(MixProgramme(problem.pooled(fill_share)))
        if comes_out_whole(problem, pooled.model, pooled.solved):
            is_best = pooled.levels == bound.levels and bound.is_proven
            yield replace(pooled, is_proven=is_best)
            return


def _decide(model: MixProgramme) -> Decided:
    levels = _Levels(model)
    levels.most()
    levels.raise_the_worst()
    levels.most_safety_of_fewest_designs()
    served = served_by_ward(model, levels.solved, "worn")
    return Decided(
        model=model,
        solved=levels.solved,
        memorial_count=levels.count(levels.memorial),
        worn_count=levels.count(levels.worn),
        served=served,
        safety_count=levels.count(model.served("safety")),
        design_count=len(designs_made(model, levels.solved)),
        worst_cover=levels.worst_of(served),
        ward_keys=tuple(levels.asked),
        is_proven=levels.is_proven,
    )


def designs_made(model: MixProgramme, solved: Solved) -> set[str]:
    """The designs anything is made in."""
    return {
        choice.design_key
        for number, choice in enumerate(model.problem.choices)
        if round(sum(solved.values[variable] for variable in model.of_choice(number)))
    }


class _Levels:
    """A programme under more and more rows; each level adds those that keep what was reached."""

    def __init__(self, model: MixProgramme) -> None:
        self.model = model
        self.programme = model.programme
        self.is_proven = True
        self.memorial, self.worn = model.served("memorial"), model.served("worn")
        asked = model.problem.asked("worn")
        # A ward that nothing can be had for does not hold the others back.
        self.asked = {key: count for key, count in asked.items() if model.served("worn", key)}
        self.ward_rows = {key: self.programme.row(model.served("worn", key), least=0.0) for key in self.asked}

    def _solve(self, terms: Terms, *, gap: float = _WHOLE_GAP) -> Solved:
        solved = self.programme.maximise(terms, gap=gap)
        self.is_proven = self.is_proven and solved.is_proven
        return solved

    def count(self, terms: Terms) -> int:
        return round(self.solved.total(terms))

    def worst_of(self, served: Mapping[str, int]) -> Fraction | None:
        """The cover of the worst-served ward."""
        covers = (Fraction(served[key], count) for key, count in self.asked.items())
        return min(covers, default=None)

    def most(self) -> None:
        """Memorial gowns first, then as many to wear as the rest of the means allow."""
        weight = 1.0 + self.model.problem.asked("worn").total()
        weighted = {variable: weight * each for variable, each in self.memorial.items()}
        self.solved = self._solve(total_of([weighted, self.worn]))
        self.programme.row(self.memorial, least=self.count(self.memorial))

    def raise_the_worst(self) -> None:
        """Raise the cover of the worst-served ward as far as it goes, then the total under it."""
        low = self.worst_of(served_by_ward(self.model, self.solved, "worn"))
        if low is None:
            return
        total = self.count(self.worn)
        covers = [cover for cover in self._covers(total) if cover > low]
        best, reached = self.solved, low
        while covers:
            middle = len(covers) // 2
            self._ask_of_every_ward(covers[middle])
            try:
                best = self._solve(self.worn)
            except (NoAnswer, GaveUp) as none:
                self.is_proven = self.is_proven and isinstance(none, NoAnswer)
                covers = covers[:middle]
            else:
                reached, covers = covers[middle], covers[middle + 1 :]
        self._ask_of_every_ward(reached)
        self.solved = best
        self.programme.row(self.worn, least=self.count(self.worn))

    def _covers(self, total: int) -> list[Fraction]:
        """The covers a worst-served ward may have when no more than `total` gowns are shared out, ascending."""
        every = {Fraction(n, count) for count in self.asked.values() for n in range(1, count + 1)}
        return sorted(cover for cover in every if sum(self._needed(cover).values()) <= total)

    def _needed(self, cover: Fraction) -> dict[str, int]:
        return {key: -(-cover * count // 1) for key, count in self.asked.items()}

    def _ask_of_every_ward(self, cover: Fraction) -> None:
        for key, needed in self._needed(cover).items():
            self.programme.raise_row(self.ward_rows[key], least=float(needed))

    def most_safety_of_fewest_designs(self) -> None:
        """As much safety stock as the rest of the means allow, then few designs, then little made and little cloth.

        Little is made where gowns that are there already are given first.
        """
        used, given = self._designs_used(), dict.fromkeys(self.model.given.values(), 1.0)
        weight = 1.0 + self.model.problem.wanted_counts().total()
        safety_weight = weight * (1.0 + len(used))
        safety = {variable: safety_weight * each for variable, each in self.model.served("safety").items()}
        designs = dict.fromkeys(used, -weight)
        goal = total_of([safety, designs, given, *self._little_cloth()])
        if goal:
            self.solved = self._solve(goal, gap=_HALF)

    def _designs_used(self) -> list[int]:
        """A variable for each design, 1 where any gown is made in it."""
        model, wanted = self.model, self.model.problem.wanted_counts()
        of_design: dict[str, list[int]] = defaultdict(list)
        for number, choice in enumerate(model.problem.choices):
            if model.of_choice(number):
                of_design[choice.design_key].append(number)
        used = []
        for numbers in of_design.values() if len(of_design) > 1 else ():
            variable = self.programme.variable(most=1, start=1.0)
            used.append(variable)
            for number in numbers:
                most = -float(wanted[model.problem.choices[number].line])
                made = dict.fromkeys(model.of_choice(number), 1.0)
                self.programme.row({**made, variable: most}, most=0.0)
        return used

    def _little_cloth(self) -> Iterator[Terms]:
        """Weights that together stay under a half, so that cloth only decides between answers else alike."""
        problem = self.model.problem
        largest_mm2 = max((choice.cloth_mm2 for choice in problem.choices), default=0.0)
        all_mm2 = 2.1 * largest_mm2 * problem.wanted_counts().total()
        if all_mm2:
            for room in problem.rooms:
                yield {key: -mm2 / all_mm2 for key, mm2 in self.model.cloth_mm2(room.lot_key).items()}
