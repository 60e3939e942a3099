"""Cuttings by filling one supply after the other as full as its pieces allow."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from gowngroup.planning.trims.problem import Cutting, Problem, cutting_of, missing_of, score_of
from gowngroup.planning.trims.refilling import refilled
from gowngroup.planning.trims.sums import fullest
from gowngroup.planning.trims.values import TrimScore

# Orders of filling to try, each forwards and backwards.
MOST_STARTS = 4

# A filling that misses more pieces than these is not worth sharing out anew.
FEW_MISSING = 3


def filled_in_turn(problem: Problem, supplies: Sequence[int], *, longest_first: bool) -> Cutting:
    """Fill these supplies in this order; with `longest_first` each starts with the longest piece still left."""
    left = sorted(
        (length for length, count in zip(problem.lengths, problem.wanted, strict=True) for _ in range(count)),
        reverse=True,
    )
    contents: dict[int, list[int]] = {}
    for supply in supplies:
        room = problem.supplies[supply]
        first = next((length for length in left if length <= room), None) if longest_first else None
        taken = [] if first is None else [first]
        for length in taken:
            left.remove(length)
        more = fullest(left, room - sum(taken))
        for length in more:
            left.remove(length)
        contents[supply] = taken + more
    return cutting_of(contents, problem)


def filled_cuttings(problem: Problem, supply_count: int, card_count: int) -> Iterator[Cutting]:
    """Fillings of the longest remnants and cards, so many in all, in a number of orders."""
    chosen = longest_supplies(problem, supply_count, card_count)
    for start in range(0, len(chosen), -(-len(chosen) // MOST_STARTS)):
        turned = chosen[start:] + chosen[:start]
        for order in (turned, turned[::-1]):
            for longest_first in (False, True):
                yield filled_in_turn(problem, order, longest_first=longest_first)


def longest_supplies(problem: Problem, supply_count: int, card_count: int) -> list[int]:
    """The longest of the whole cards and of the remnants, shortest first."""
    by_length = sorted(range(len(problem.supplies)), key=lambda supply: (-problem.supplies[supply], supply))
    whole = [supply for supply in by_length if problem.is_whole[supply]][:card_count]
    opened = [supply for supply in by_length if not problem.is_whole[supply]][: supply_count - card_count]
    return sorted((*whole, *opened), key=lambda supply: (problem.supplies[supply], supply))


def best_filling(problem: Problem, begun: Cutting) -> Cutting:
    """The best of a cutting begun with and the fillings of few supplies, tried from the least that could do."""
    best, start = begun, score_of(begun, problem)
    for cards, supplies in budgets(problem, start):
        hoped = (0, 0, cards, supplies)
        for filled in filled_cuttings(problem, supplies, cards):
            is_near = sum(missing_of(filled, problem)) <= FEW_MISSING
            cutting = refilled(filled, problem, looks_a_piece=0) if is_near else filled
            best = min(best, cutting, key=lambda each: score_of(each, problem).order)
            if score_of(best, problem).order[: len(hoped)] <= hoped:
                return refilled(best, problem)
    return best


def budgets(problem: Problem, start: TrimScore) -> Iterator[tuple[int, int]]:
    """Cards and supplies in all that could hold every piece, the least first, none worse than at the start."""
    total = sum(length * count for length, count in zip(problem.lengths, problem.wanted, strict=True))
    whole_count = sum(problem.is_whole)
    opened_count = len(problem.supplies) - whole_count
    most_cards = whole_count if start.missing_count else start.cards_opened
    is_any = False
    for cards in range(most_cards + 1):
        for supplies in range(cards, cards + opened_count + 1):
            chosen = longest_supplies(problem, supplies, cards)
            if sum(problem.supplies[supply] for supply in chosen) >= total:
                is_any = True
                yield cards, supplies
    if not is_any:
        yield whole_count, len(problem.supplies)
