"""The search through orders: the strip is filled again and again, from the end of any stretch of it on."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import product
from typing import TypeVar

from gowngroup.planning.chance import Chance
from gowngroup.planning.lay.heap import Heap
from gowngroup.planning.lay.skyline import Order, Rule, Side, Table, put_down

T = TypeVar("T")

# How many of the next items a level chooses from, the spare width that still counts as filled, and the side an item is
# pushed to: drawn anew for each trial. Always to the higher side, some lays are never met.
WINDOWS = (4, 8, 16, 32, 64)
FITS = (0.006, 0.015, 0.03)
SIDES: tuple[Side, ...] = ("higher", "higher", "left", "right")
START_RULES = (Rule(8, 0.03), Rule(16, 0.015), Rule(32, 0.006))
# The strip is filled in about so many stretches, of so many items at least.
STRETCHES, LEAST_STRETCH = 12, 6
# A trial this much longer than the last may still be gone on from, less and less so as the search goes on.
SLACK_SHARE = 0.005
SWAP_SHARE = 0.5
# Of the changes so many concern an item among the next stretches, that will soon be put down.
SOON_SHARE, SOON_STRETCHES = 0.7, 2


def searched(heap: Heap, effort: int, chance: Chance, *, enough: float = 0.0) -> Table:
    """The best filled table after about `effort` boxes put down, at least a few times each of them.

    The search ends before with the first table no longer than `enough`.
    """
    search = _Search(heap, chance, enough)
    search.start()
    search.refill(effort - search.spent)
    return search.best


class _Search:
    """The stages of the way gone on from, the last one full, and the best full table met."""

    def __init__(self, heap: Heap, chance: Chance, enough: float) -> None:
        self.heap = heap
        self.chance = chance
        self.enough = enough
        self.spent = 0
        self.stretch = max(len(heap.starts) // STRETCHES, LEAST_STRETCH)
        self.stages: list[Table] = []
        self.best = Table([])

    def start(self) -> None:
        """Take the best of some plain orders."""
        for order, rule in product(_plain_orders(self.heap), START_RULES):
            limit = self.stages[-1].length if self.stages else math.inf
            if limit <= self.enough:
                break
            self.stages = self._filled(Table(order[:]), rule, limit) or self.stages
        self.best = self.stages[-1]

    def refill(self, effort: int) -> None:
        """Fill the strip again from the end of any stretch on, with a changed order."""
        began, stop = self.spent, self.spent + effort
        while self.spent < stop and self.best.length > self.enough:
            slack = SLACK_SHARE * (stop - self.spent) / (stop - began)
            at = self.chance.below(len(self.stages) - 1)
            tried = self.stages[at].copy()
            self._change(tried.waiting)
            limit = self.stages[-1].length * (1 + slack * self.chance.share())
            filled = self._filled(tried, self._rule(), limit)
            if filled:
                self.stages[at + 1 :] = filled[1:]
                self.best = min(self.best, filled[-1], key=lambda table: table.length)

    def _filled(self, table: Table, rule: Rule, limit: float) -> list[Table]:
        """The table as it is, after each stretch, and full; empty where it does not keep within the limit."""
        stages = [table.copy()]
        while table.waiting:
            if not self._put_down(table, rule, limit=limit):
                return []
            stages.append(table.copy())
        return stages

    def _put_down(self, table: Table, rule: Rule, *, limit: float) -> bool:
        """One stretch more; whether it keeps within the limit."""
        before = len(table.spots)
        is_within = put_down(
            table, self.heap.boxes, self.heap.ground, rule=rule, count=self.stretch, limit=limit
        )
        self.spent += len(table.spots) - before
        return is_within

    def _rule(self) -> Rule:
        return Rule(self._any(WINDOWS), self._any(FITS), self._any(SIDES))

    def _any(self, choices: Sequence[T]) -> T:
        return choices[self.chance.below(len(choices))]

    def _change(self, waiting: Order) -> None:
        """Swap two items, or move one, or turn one that may lie several ways."""
        count = len(waiting)
        soon = min(count, SOON_STRETCHES * self.stretch) if self.chance.share() < SOON_SHARE else count
        one, two = self.chance.below(soon), self.chance.below(count)
        if self.chance.share() < SWAP_SHARE:
            waiting[one], waiting[two] = waiting[two], waiting[one]
        else:
            waiting.insert(two, waiting.pop(one))
        item, _ = waiting[two]
        turns = self.heap.turns.get(self.heap.starts[item], ())
        if len(turns) > 1:
            waiting[two] = item, turns[self.chance.below(len(turns))]


def _plain_orders(heap: Heap) -> Iterator[Order]:
    """Longest first, largest first, widest first."""
    sizes = [heap.sizes[form] for form in heap.starts]
    for key in (
        [(-along, -across) for across, along in sizes],
        [(-along * across, -along) for across, along in sizes],
        [(-across, -along) for across, along in sizes],
    ):
        yield [(item, heap.starts[item]) for item in sorted(range(len(sizes)), key=key.__getitem__)]
