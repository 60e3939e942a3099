"""How long a month's mix takes and how much better than by hand it is, on five invented months."""

import random
import time
from collections.abc import Callable
from typing import Any

from gowngroup.planning.mix import (
    ClothRoom,
    GownChoice,
    GownSupply,
    HoursOffered,
    MixRules,
    PastDemand,
    StageMinutes,
    WardAsk,
)
from gowngroup.planning.mix.by_hand import mix_by_hand
from gowngroup.planning.mix.levels import Decided, decide
from gowngroup.planning.mix.limits import binding_limits
from gowngroup.planning.mix.problem import Problem, problem_of
from gowngroup.planning.mix.values import Purpose

SIZES, WARDS, LOTS = 8, 4, 12
SEEDS = range(1, 6)
PURPOSES: tuple[Purpose, ...] = ("worn", "memorial")
# Sizes a design is made in, and minutes of pleating, smocking and making up.
DESIGNS = {
    "round neck": (range(3, 8), (18.0, 150.0, 150.0)),
    "yoke": (range(1, 7), (18.0, 90.0, 160.0)),
    "wrap": (range(3), (0.0, 0.0, 140.0)),
}
CLOTHS: tuple[tuple[str, ...], ...] = (("round neck", "yoke", "wrap"), ("yoke", "wrap"), ("wrap",))
SMOCKING_SHARE = 0.36
Say = Callable[[str], Any]


def mix_section(say: Say) -> None:
    """Eight sizes, four wards, two purposes, twelve lots: the programme beside the same month by hand."""
    say("Size mix, 8 sizes × 4 wards × 2 purposes, 12 lots; worst cover and gowns to wear, ratio to by hand")
    say(
        "Seconds of the processor, those on the clock, and those of the processor with what would free more gowns"
    )
    say("month         seconds  on clock  with limits  proven  worst cover  by hand   gowns  by hand  ratio")
    for name, hours_a_gown, metres in (("few hours", 1.4, (2.0, 6.0)), ("little cloth", 4.2, (0.4, 3.0))):
        worst_s = worst_on_clock_s = 0.0
        for seed in SEEDS:
            problem = invented_month(seed, hours_a_gown=hours_a_gown, metres=metres)
            started, began = time.perf_counter(), time.process_time()
            decided = decide(problem)
            on_clock_s, spent_s = time.perf_counter() - started, time.process_time() - began
            binding_limits(decided)
            told_s = time.process_time() - began
            worst_s, worst_on_clock_s = max(worst_s, spent_s), max(worst_on_clock_s, on_clock_s)
            figures = (
                f"{seed} {name:12} {spent_s:6.2f} {on_clock_s:9.2f} {told_s:12.2f} {decided.is_proven!s:>7}"
            )
            say(f"{figures} {_beside_by_hand(problem, decided)}")
        say(f"worst of five, {name}: {worst_s:.2f} s of the processor, {worst_on_clock_s:.2f} s on the clock")


def _beside_by_hand(problem: Problem, decided: Decided) -> str:
    hand = mix_by_hand(problem)
    worst, hand_worst = float(decided.worst_cover or 0), float(hand.worst_cover or 0)
    hand_count = hand.memorial_count + hand.worn_count
    return (
        f"{worst:11.3f} {hand_worst:8.3f} {decided.total_count:7} {hand_count:8}"
        f" {decided.total_count / hand_count:6.3f}"
    )


def invented_month(seed: int, *, hours_a_gown: float, metres: tuple[float, float]) -> Problem:
    """Requests, shelf, hours and cloth of an invented month."""
    chance = random.Random(seed)  # noqa: S311 - invented months, no secret
    asks = list(_asks(chance))
    gown_count = sum(ask.gown_count for ask in asks)
    minutes = gown_count * hours_a_gown * 60
    return problem_of(
        asks,
        supplies=[
            GownSupply(
                size_name=f"size {size}",
                purpose=purpose,
                shelf_count=chance.randint(0, 3),
                out_count=chance.randint(0, 4),
                share_passed=0.9,
            )
            for size in range(SIZES)
            for purpose in PURPOSES
        ],
        choices=_choices(),
        cloth=[
            ClothRoom(lot_key=f"lot {lot:02}", area_mm2=chance.uniform(*metres) * 1.1e6 * 0.8)
            for lot in range(LOTS)
        ],
        hours=HoursOffered(total_min=minutes, smock_min=minutes * SMOCKING_SHARE),
        demands=[
            PastDemand(size_name=f"size {size}", monthly_mean=chance.uniform(0.2, 12))
            for size in range(SIZES)
        ],
        rules=MixRules(),
    )


def _asks(chance: random.Random) -> list[WardAsk]:
    asks: list[WardAsk] = []
    for ward in range(WARDS):
        for size in range(SIZES):
            asks.append(_ask(ward, size, "worn", chance.randint(0, 9)))
            asks.append(_ask(ward, size, "memorial", max(chance.randint(-2, 3), 0)))
        first = chance.randrange(SIZES - 1)
        asks.extend(_ask(ward, size, "worn", 1, set_key="twins") for size in (first, first + 1))
    return asks


def _ask(ward: int, size: int, purpose: Purpose, count: int, *, set_key: str | None = None) -> WardAsk:
    return WardAsk(
        ward_key=f"ward {ward}",
        size_name=f"size {size}",
        purpose=purpose,
        gown_count=count,
        matched_set_key=set_key,
    )


def _choices() -> list[GownChoice]:
    return [
        GownChoice(
            size_name=f"size {size}",
            purpose=purpose,
            design_key=design,
            minutes=StageMinutes(pleat=pleat, smock=smock and smock + 6 * size, make_up=make_up + 3 * size),
            cloth_mm2=9e4 * (1 + 0.45 * size) + (0 if design == "wrap" else 4e4),
            lot_keys=tuple(f"lot {lot:02}" for lot in range(LOTS) if design in CLOTHS[lot % len(CLOTHS)]),
        )
        for design, (sizes, (pleat, smock, make_up)) in DESIGNS.items()
        for size in sizes
        for purpose in PURPOSES
    ]
