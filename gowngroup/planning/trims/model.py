"""The patterns of a cutting, and what they prove stage by stage (Gilmore and Gomory 1961, supplies of many lengths)."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from math import ceil, inf

from gowngroup.planning.trims.filling import longest_supplies
from gowngroup.planning.trims.patterns import Worths, all_patterns, best_patterns
from gowngroup.planning.trims.problem import Cutting, Pattern, Problem, missing_of, score_of
from gowngroup.planning.trims.programme import Column, Programme, Relaxed, relaxed, whole_within
from gowngroup.planning.trims.widening import fitting_patterns, some_patterns

USELESS = 4

# Budgets in steps rather than seconds, so that the same pieces always give the same cutting.
MOST_ROUNDS = 40
MOST_NODES = 10
WIDE_NODES = 200
_NEARLY = 1e-4


class PatternModel:
    """All patterns of a problem where they can be written out, else those that pay; equal supplies count as one group."""

    def __init__(self, problem: Problem, begun: Cutting, *, most_rounds: int = MOST_ROUNDS) -> None:
        self.most_rounds = most_rounds
        self.problem = problem
        groups: dict[tuple[int, bool], list[int]] = defaultdict(list)
        for supply, kind in enumerate(zip(problem.supplies, problem.is_whole, strict=True)):
            groups[kind].append(supply)
        self.groups = {members[0]: members for members in groups.values()}
        every = all_patterns(problem, list(self.groups))
        self.is_complete = every is not None
        self.patterns = list(every or self._of_firsts(begun))

    def _of_firsts(self, cutting: Cutting) -> list[Pattern]:
        """A cutting's patterns, each as if cut from the first supply of its group."""
        first_of = {supply: first for first, members in self.groups.items() for supply in members}
        return list(
            dict.fromkeys(Pattern(supply=first_of[each.supply], counts=each.counts) for each in cutting)
        )

    def least(self, kept: Sequence[int]) -> int:
        """A bound on the next stage that no cutting goes under which keeps the stages before.

        The relaxed programme over all patterns, reached by adding those that still pay (column generation); where the
        rounds run out first, nothing.
        """
        for _ in range(self.most_rounds):
            answer = relaxed(self._programme(kept))
            if self.is_complete or not self._add(self._paying(len(kept), answer)):
                return max(ceil(answer.value - _NEARLY), 0)
        return 0

    def better(self, kept: Sequence[int], than: int) -> tuple[Cutting | None, bool]:
        """A cutting whose next stage is less than a value, None where none was found, and whether none exists then."""
        answer = whole_within(self._programme(kept), than - 1, node_count=MOST_NODES)
        if answer.amounts is None:
            return None, answer.is_finished and self.is_complete
        return self._sound(answer.amounts, self.patterns, len(kept), than), False

    def is_wide(self, kept: Sequence[int], than: int) -> bool:
        """Are the patterns that waste less too many to be written out?"""
        if len(kept) < USELESS or self.is_complete:
            return False
        value, worths = self._priced(kept)
        spare = self._spare_mm(kept)
        return fitting_patterns(self.problem, worths, slack=than - 1 - value, most_left=spare) is None

    def _spare_mm(self, kept: Sequence[int]) -> float:
        """What all the supplies of a cutting leave together at most, once it is settled how many there are."""
        if len(kept) < USELESS:
            return inf
        wanted = sum(a * b for a, b in zip(self.problem.lengths, self.problem.wanted, strict=True))
        longest = longest_supplies(self.problem, kept[3], kept[2])
        return sum(self.problem.supplies[supply] for supply in longest) - (wanted - kept[1])

    def _priced(self, kept: Sequence[int]) -> tuple[float, Worths]:
        """The value of the relaxed programme over the patterns there are, and what each length is then worth."""
        answer = relaxed(self._programme(kept))
        return answer.value, self._worths(len(kept), answer)

    def widened(self, kept: Sequence[int], than: int) -> tuple[Cutting | None, bool]:
        """As `better`, over all patterns that such a cutting could hold; where they are too many, over more of them."""
        value, worths = self._priced(kept)
        spare = self._spare_mm(kept)
        every = fitting_patterns(self.problem, worths, slack=than - 1 - value, most_left=spare)
        if every is None:
            some = some_patterns(self.problem, worths, most_left=spare)
            patterns = tuple(dict.fromkeys((*self.patterns, *some)))
            found = whole_within(self._programme(kept, patterns), than - 1, node_count=MOST_NODES)
        else:
            patterns = every
            found = whole_within(self._programme(kept, patterns), than - 1, node_count=WIDE_NODES)
        if found.amounts is None:
            is_all = every is not None and not best_patterns(self.problem, worths)
            return None, found.is_finished and is_all
        return self._sound(found.amounts, patterns, len(kept), than), False

    def _sound(
        self, amounts: Sequence[int], patterns: Sequence[Pattern], stage: int, than: int
    ) -> Cutting | None:
        """The cutting of these amounts, where it cuts no piece twice and is better."""
        cutting = self._cutting(amounts, patterns)
        is_sound = min(missing_of(cutting, self.problem)) >= 0
        return cutting if is_sound and self._reached(cutting, stage) < than else None

    def _reached(self, cutting: Cutting, stage: int) -> int:
        return score_of(cutting, self.problem).order[stage]

    def _add(self, patterns: Iterable[Pattern]) -> bool:
        known = set(self.patterns)
        new = [pattern for pattern in patterns if pattern not in known]
        self.patterns.extend(new)
        return bool(new)

    def _paying(self, stage: int, answer: Relaxed) -> list[Pattern]:
        return best_patterns(self.problem, self._worths(stage, answer))

    def _worths(self, stage: int, answer: Relaxed) -> Worths:
        length_count = len(self.problem.lengths)
        lengths, rest = answer.prices[:length_count], answer.prices[length_count:]
        group_prices, kept_prices = rest[: len(self.groups)], rest[len(self.groups) :]
        costs = {}
        for first, price in zip(self.groups, group_prices, strict=True):
            shares = self._supply_shares(first)
            held = sum(kept * share for kept, share in zip(kept_prices, shares, strict=False))
            costs[first] = shares[stage] - price - held
        return Worths(lengths=lengths, supplies=costs, useless_cm=float(stage == USELESS))

    def _supply_shares(self, supply: int) -> tuple[float, ...]:
        """What opening a supply adds to each stage, whatever is cut from it."""
        return (0.0, 0.0, float(self.problem.is_whole[supply]), 1.0, 0.0)

    def _programme(self, kept: Sequence[int], patterns: Sequence[Pattern] | None = None) -> Programme:
        wanted = [(float(count), float(count)) for count in self.problem.wanted]
        return Programme(
            columns=[
                *map(self._pattern_column, self.patterns if patterns is None else patterns),
                *self._missing_columns(),
            ],
            rows=[*wanted, *((-inf, float(len(members))) for members in self.groups.values())],
            kept=kept,
        )

    def _pattern_column(self, pattern: Pattern) -> Column:
        given = [(place, float(count)) for place, count in enumerate(pattern.counts) if count]
        row = len(self.problem.lengths) + list(self.groups).index(pattern.supply)
        useless = self.problem.useless_cm(pattern.supply, pattern.filled(self.problem))
        return Column(
            entries=(*given, (row, 1.0)), shares=(*self._supply_shares(pattern.supply)[:USELESS], useless)
        )

    def _missing_columns(self) -> list[Column]:
        return [
            Column(entries=((place, 1.0),), shares=(1.0, float(length), 0.0, 0.0, 0.0))
            for place, length in enumerate(self.problem.lengths)
        ]

    def _cutting(self, amounts: Sequence[int], patterns: Sequence[Pattern]) -> Cutting:
        free = {first: iter(members) for first, members in self.groups.items()}
        cut = [
            Pattern(supply=next(free[pattern.supply]), counts=pattern.counts)
            for pattern, amount in zip(patterns, amounts, strict=False)
            for _ in range(amount)
        ]
        return tuple(sorted(cut, key=lambda pattern: pattern.supply))
