"""Lace cut from remnants: the proven optimum beside first fit, measured here and now."""

import random
import time
from collections.abc import Callable
from typing import Any

from gowngroup.planning.trims import TrimPiece, TrimPlan, TrimScore, TrimSupply, pack_first_fit, pack_trims

SEEDS = (1, 2, 3, 4, 5)
GOWN_COUNT, REMNANT_COUNT, CARD_COUNT, CARD_MM = 34, 25, 5, 10_000.0
# How much of the remnants the pieces fill: an easy shelf, a tight one, one that needs a card.
FILLS = (0.6, 0.85, 0.97, 1.05)
# Few sizes are the harder: three or six lengths can hardly fill a remnant to its end.
SIZE_COUNTS = (1, 2, 8)

Say = Callable[[str], Any]


def trim_section(say: Say) -> None:
    """136 edges of 34 gowns from 25 remnants and five cards of 10 m, five seeds, the worst of each column."""
    say("Lace, 136 edges of 34 gowns, 25 remnants and 5 cards of 10 m; worst of five seeds")
    say(
        "sizes filled  seconds  of processor  proven  open cm   cards  supplies  useless cm   first fit: cards supplies useless cm"
    )
    for size_count in SIZE_COUNTS:
        for fill in FILLS:
            say(_line(size_count, fill))


def _line(size_count: int, fill: float) -> str:
    runs = [_run(size_count, fill, seed) for seed in SEEDS]
    best = [plan.score for _, plan, _ in runs if plan.score]
    proven = sum(plan.is_proven for _, plan, _ in runs)
    seconds, of_processor = (max(spent) for spent in zip(*(spent for spent, _, _ in runs), strict=True))
    open_cm = max(_open_cm(plan) for _, plan, _ in runs)
    quick = _worst([score for _, _, score in runs])
    return f"{size_count:5} {fill:6.0%} {seconds:8.2f} {of_processor:13.2f} {proven:2} of 5 {open_cm:8}{_worst(best)}        {quick}"


def _open_cm(plan: TrimPlan) -> int:
    """How much waste a better cutting might save where none was proven."""
    return (
        0
        if plan.is_proven or not (plan.score and plan.bound)
        else plan.score.useless_cm - plan.bound.useless_cm
    )


def _worst(scores: list[TrimScore]) -> str:
    cards = max(score.cards_opened for score in scores)
    supplies = max(score.supplies_cut for score in scores)
    return f"{cards:7} {supplies:9} {max(score.useless_cm for score in scores):11}"


def _run(size_count: int, fill: float, seed: int) -> tuple[tuple[float, float], TrimPlan, TrimScore]:
    """Seconds on the clock and of the processor, the plan, and what the quick one comes to."""
    pieces, supplies = _lace(size_count, fill, seed)
    shortest_mm = min(piece.length_mm for piece in pieces)
    started, began = time.perf_counter(), time.process_time()
    plan = pack_trims(pieces, supplies, shortest_edge_mm=shortest_mm)
    spent = time.perf_counter() - started, time.process_time() - began
    quick = pack_first_fit(pieces, supplies, shortest_edge_mm=shortest_mm)
    return spent, plan, _score(quick, supplies)


def _lace(size_count: int, fill: float, seed: int) -> tuple[tuple[TrimPiece, ...], tuple[TrimSupply, ...]]:
    """Each gown has a neck, two sleeve hems and a hem; remnants are of any length."""
    chance = random.Random(seed)  # noqa: S311 - a trial, no secret
    sizes = [(276 + 25 * size, 190 + 16 * size, 900 + 95 * size) for size in range(size_count)]
    pieces = []
    for gown in range(GOWN_COUNT):
        neck, sleeve, hem = chance.choice(sizes)
        for place, length in (("neck", neck), ("left", sleeve), ("right", sleeve), ("hem", hem)):
            pieces.append(TrimPiece(key=f"{gown}/{place}", length_mm=float(length)))
    raw = [chance.uniform(300, 4000) for _ in range(REMNANT_COUNT)]
    scale = sum(piece.length_mm for piece in pieces) / fill / sum(raw)
    remnants = [
        TrimSupply(key=f"remnant {number}", length_mm=float(round(length * scale)), is_opened=True)
        for number, length in enumerate(raw)
    ]
    cards = [TrimSupply(key=f"card {number}", length_mm=CARD_MM) for number in range(CARD_COUNT)]
    return tuple(pieces), (*remnants, *cards)


def _score(plan: TrimPlan, supplies: tuple[TrimSupply, ...]) -> TrimScore:
    """What a quick plan is judged by."""
    whole = {supply.key for supply in supplies if not supply.is_opened}
    return TrimScore(
        missing_count=len(plan.unplaced),
        missing_mm=round(sum(piece.length_mm for piece in plan.unplaced)),
        cards_opened=sum(left.supply_key in whole for left in plan.left_overs),
        supplies_cut=len(plan.left_overs),
        useless_cm=sum(int(left.length_mm // 10) for left in plan.left_overs if not left.is_useful),
    )
