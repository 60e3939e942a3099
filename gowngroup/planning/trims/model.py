"""The patterns of a cutting, and what they prove stage by stage (Gilmore and Gomory 1961, supplies of many lengths)."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from math import ceil, inf

from gowngroup.planning.trims.left_overs import LeftOvers
from gowngroup.planning.trims.patterns import Worths, all_patterns, best_patterns
from gowngroup.planning.trims.problem import Cutting, Pattern, Problem, missing_of, score_of
from gowngroup.planning.trims.programme import Column, Programme, Relaxed, relaxed, whole_within
from gowngroup.planning.trims.widening import fitting_patterns

# The last of the stages a cutting is judged by: its useless left-overs.
USELESS = 4

# Budgets in steps rather than seconds, so that the same pieces always give the same cutting.
MOST_ROUNDS = 40
MOST_NODES = 10
WIDE_NODES = 200
_NEARLY = 1e-4
# More than any cutting wastes.
_STOPGAP_CM = 1e4


class PatternModel:
    """All patterns of a problem where they can be written out, else those that pay; equal supplies count as one group."""

    def __init__(
        self,
        problem: Problem,
        begun: Cutting,
        left_overs: LeftOvers | None = None,
        *,
        most_rounds: int = MOST_ROUNDS,
    ) -> None:
        self.most_rounds = most_rounds
        self.problem = problem
        self.left_overs = left_overs or LeftOvers(shortest_edge=problem.shortest_edge)
        groups: dict[tuple[int, bool], list[int]] = defaultdict(list)
        for supply, kind in enumerate(zip(problem.supplies, problem.is_whole, strict=True)):
            if supply not in self.left_overs.never_cut:
                groups[kind].append(supply)
        self.groups = {members[0]: members for members in groups.values()}
        every = all_patterns(problem, list(self.groups))
        self.is_complete = every is not None
        self.patterns = (
            [each for each in every if self._is_possible(each)] if every else self._of_firsts(begun)
        )

    def _of_firsts(self, cutting: Cutting) -> list[Pattern]:
        """A cutting's patterns, as far as they may be, each as if cut from the first supply of its group."""
        first_of = {supply: first for first, members in self.groups.items() for supply in members}
        firsts = [
            Pattern(supply=first_of[each.supply], counts=each.counts)
            for each in cutting
            if each.supply in first_of
        ]
        return [each for each in dict.fromkeys(firsts) if self._is_possible(each)]

    def _is_possible(self, pattern: Pattern) -> bool:
        left = self.problem.supplies[pattern.supply] - pattern.filled(self.problem)
        return self.left_overs.is_possible(left)

    def least(self, kept: Sequence[int]) -> int:
        """A bound on the next stage that no cutting goes under which keeps the stages before; where it is none, nothing."""
        priced = self._priced(kept)
        return max(ceil(priced[0] - _NEARLY), 0) if priced else 0

    def _priced(self, kept: Sequence[int]) -> tuple[float, Worths] | None:
        """The value of the relaxed programme over all patterns, and what each length is then worth.

        It is reached by adding those that still pay (column generation); None where the rounds run out first.
        """
        for _ in range(self.most_rounds):
            answer = relaxed(self._programme(kept))
            worths = self._worths(len(kept), answer)
            if self.is_complete or not self._add(best_patterns(self.problem, worths, self.left_overs)):
                return answer.value, worths
        return None

    def better(self, kept: Sequence[int], than: int) -> tuple[Cutting | None, bool]:
        """A cutting whose next stage is less than a value, None where none was found, and whether none exists then."""
        answer = whole_within(self._programme(kept), than - 1, node_count=MOST_NODES, hunts=True)
        if answer.amounts is None:
            return None, answer.is_finished and self.is_complete
        return self._sound(answer.amounts, self.patterns, len(kept), than), False

    def widened(self, kept: Sequence[int], than: int) -> tuple[Cutting | None, bool]:
        """As `better`, over all patterns that such a cutting could hold, unless they are too many to be written out."""
        priced = self._priced(kept)
        if priced is None:
            return None, False
        value, worths = priced
        patterns = fitting_patterns(self.problem, worths, self.left_overs, slack=than - 1 - value)
        if patterns is None:
            return None, False
        found = whole_within(self._programme(kept, patterns), than - 1, node_count=WIDE_NODES, hunts=False)
        if found.amounts is None:
            return None, found.is_finished
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

    def _worths(self, stage: int, answer: Relaxed) -> Worths:
        length_count = len(self.problem.lengths)
        lengths, rest = answer.prices[:length_count], answer.prices[length_count:]
        group_prices, useful_price = rest[: len(self.groups)], rest[len(self.groups)]
        kept_prices = rest[len(self.groups) + 1 :]
        costs = {}
        for first, price in zip(self.groups, group_prices, strict=True):
            shares = self._supply_shares(first)
            held = sum(kept * share for kept, share in zip(kept_prices, shares, strict=False))
            costs[first] = shares[stage] - price - held
        useless_cm = float(stage == USELESS)
        return Worths(lengths=lengths, supplies=costs, useless_cm=useless_cm, useful=-useful_price)

    def _supply_shares(self, supply: int) -> tuple[float, ...]:
        """What opening a supply adds to each stage, whatever is cut from it."""
        return (0.0, 0.0, float(self.problem.is_whole[supply]), 1.0, 0.0)

    def _programme(self, kept: Sequence[int], patterns: Sequence[Pattern] | None = None) -> Programme:
        rows = [(float(count), float(count)) for count in self.problem.wanted]
        must_cut = self.left_overs.must_cut
        rows += [(float(len(must_cut & set(each))), float(len(each))) for each in self.groups.values()]
        useful_count = self.left_overs.useful_count
        rows.append((0.0, inf) if useful_count is None else (float(useful_count), float(useful_count)))
        return Programme(
            columns=[
                *map(self._pattern_column, self.patterns if patterns is None else patterns),
                *self._missing_columns(),
                *(
                    self._stopgap(row)
                    for row, (least, _) in enumerate(rows)
                    if least and len(kept) == USELESS
                ),
            ],
            rows=rows,
            kept=kept,
        )

    @staticmethod
    def _stopgap(row: int) -> Column:
        """What keeps a row while there are no patterns for it yet, at a price that is never worth it."""
        return Column(entries=((row, 1.0),), shares=(0.0, 0.0, 0.0, 0.0, _STOPGAP_CM))

    def _pattern_column(self, pattern: Pattern) -> Column:
        given = [(place, float(count)) for place, count in enumerate(pattern.counts) if count]
        row = len(self.problem.lengths) + list(self.groups).index(pattern.supply)
        left = self.problem.supplies[pattern.supply] - pattern.filled(self.problem)
        is_useful = [(len(self.problem.lengths) + len(self.groups), 1.0)] * self.left_overs.is_counted(left)
        useless = float(self.problem.useless_cms(left))
        return Column(
            entries=(*given, (row, 1.0), *is_useful),
            shares=(*self._supply_shares(pattern.supply)[:USELESS], useless),
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
