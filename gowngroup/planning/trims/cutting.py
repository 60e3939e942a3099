"""Lace and ribbon cut so that none is wasted needlessly: proven, or the first cards that fit."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import replace
from math import inf

from gowngroup.planning.trims.first_fit import cut_of, first_fit_cards, left_over, pack_first_fit
from gowngroup.planning.trims.optimum import best_cutting
from gowngroup.planning.trims.problem import (
    Cutting,
    Problem,
    cutting_of,
    problem_of,
    score_of,
    table_length,
    table_mm,
)
from gowngroup.planning.trims.values import (
    ROUNDING_MM,
    CardNeed,
    TrimCut,
    TrimLeftOver,
    TrimPiece,
    TrimPlan,
    TrimSupply,
    refuse_bad_length,
    refuse_bad_trims,
)


def pack_trims(
    pieces: tuple[TrimPiece, ...], supplies: tuple[TrimSupply, ...], *, shortest_edge_mm: float
) -> TrimPlan:
    """The best cutting of unjoined pieces, with a bound that proves it; never worse than first fit.

    Judged in this order: most pieces cut, most length of them, fewest whole cards opened, fewest supplies cut, least
    useless left-over (shorter than `shortest_edge_mm`, in whole centimetres a supply). Lengths in mm; pieces are
    measured in whole millimetres, rounded up. Among equal pieces those of earlier keys are cut first (`2/…` before
    `10/…`), and the order given does not matter. Raises CannotCutTrims naming the piece or supply, or the shortest edge.
    Source: cutting stock by patterns, textbook method; which left-over is useful is common practice.
    """
    refuse_bad_trims(pieces, supplies)
    refuse_bad_length("shortest edge", shortest_edge_mm)
    quick = pack_first_fit(pieces, supplies, shortest_edge_mm=shortest_edge_mm)
    usable = _usable(pieces, supplies)
    if not usable:
        return quick
    problem = problem_of(pieces, usable, shortest_edge_mm=shortest_edge_mm)
    best, bound = best_cutting(problem, _begun(quick, pieces, usable, problem))
    plan = _plan(best, pieces, usable, problem)
    if _judged(quick, usable) < _judged(plan, usable):
        return quick
    return replace(plan, score=score_of(best, problem), bound=bound)


def cards_needed(pieces: tuple[TrimPiece, ...], *, card_mm: float) -> CardNeed:
    """Fewest new cards for unjoined pieces: six of 3.4 m need six cards of 5 m, though pooled metres say five.

    Lengths in mm, measured in whole millimetres. Raises CannotCutTrims naming the piece or the card. Source: as `pack_trims`.
    """
    refuse_bad_trims(pieces, ())
    refuse_bad_length("card", card_mm)
    fitting = tuple(piece for piece in pieces if piece.length_mm <= card_mm + ROUNDING_MM)
    too_long = tuple(piece for piece in pieces if piece.length_mm > card_mm + ROUNDING_MM)
    most = first_fit_cards(fitting, card_mm=card_mm)
    cards = tuple(TrimSupply(key=str(number), length_mm=card_mm) for number in range(most))
    plan = pack_trims(fitting, cards, shortest_edge_mm=0.0)
    return CardNeed(
        card_count=len({cut.supply_key for cut in plan.cuts}),
        too_long=too_long,
        is_proven=not fitting or _is_count_proven(plan),
    )


def natural(key: str) -> tuple[tuple[int, int, str], ...]:
    """A key in the order people count: `2/neck` comes before `10/neck`."""
    parts = re.findall(r"\d+|\D+", key)
    return tuple((0, int(part), "") if part.isdecimal() else (1, 0, part) for part in parts)


def _usable(pieces: Sequence[TrimPiece], supplies: Iterable[TrimSupply]) -> tuple[TrimSupply, ...]:
    """Supplies that hold a piece, opened ones first, so that the order given does not matter."""
    shortest = min((table_mm(piece) for piece in pieces), default=inf)
    holding = (supply for supply in supplies if table_length(supply) >= shortest)
    return tuple(sorted(holding, key=lambda supply: (not supply.is_opened, natural(supply.key))))


def _begun(
    quick: TrimPlan, pieces: Iterable[TrimPiece], supplies: Sequence[TrimSupply], problem: Problem
) -> Cutting:
    """The quick plan in whole millimetres, without what no longer fits."""
    lengths = {piece.key: table_mm(piece) for piece in pieces}
    place = {supply.key: number for number, supply in enumerate(supplies)}
    contents: dict[int, list[int]] = defaultdict(list)
    for cut in quick.cuts:
        length, number = lengths[cut.piece_key], place.get(cut.supply_key)
        if number is not None and sum(contents[number]) + length <= problem.supplies[number]:
            contents[number].append(length)
    return cutting_of(contents, problem)


def _plan(
    cutting: Cutting, pieces: Iterable[TrimPiece], supplies: Sequence[TrimSupply], problem: Problem
) -> TrimPlan:
    """Cuts supply by supply, long ones first; of equal pieces the first by key are cut."""
    waiting: dict[int, list[TrimPiece]] = defaultdict(list)
    for piece in sorted(pieces, key=lambda piece: natural(piece.key)):
        waiting[table_mm(piece)].append(piece)
    cuts: list[TrimCut] = []
    left_overs: list[TrimLeftOver] = []
    for pattern in cutting:
        supply, start_mm = supplies[pattern.supply], 0.0
        for length, count in zip(problem.lengths, pattern.counts, strict=True):
            for piece in waiting[length][:count]:
                cuts.append(cut_of(supply, piece, start_mm))
                start_mm += piece.length_mm
            del waiting[length][:count]
        left_overs.append(left_over(supply, start_mm, problem.shortest_edge))
    unplaced = (piece for length in sorted(waiting, reverse=True) for piece in waiting[length])
    return TrimPlan(cuts=tuple(cuts), unplaced=tuple(unplaced), left_overs=tuple(left_overs))


def _judged(plan: TrimPlan, supplies: Iterable[TrimSupply]) -> tuple[float, ...]:
    """What two plans are compared by, in their true lengths rounded to a micrometre."""
    whole = {supply.key for supply in supplies if not supply.is_opened}
    return (
        len(plan.unplaced),
        round(sum(piece.length_mm for piece in plan.unplaced), 3),
        sum(left.supply_key in whole for left in plan.left_overs),
        len(plan.left_overs),
    )


def _is_count_proven(plan: TrimPlan) -> bool:
    """Is the number of cards proven, whatever is left of them?"""
    return plan.score is not None and plan.bound is not None and plan.score.order[:3] == plan.bound.order[:3]
