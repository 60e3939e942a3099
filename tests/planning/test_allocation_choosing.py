"""The best choice among fillings that have been laid, against every choice there is."""

import random
from collections.abc import Sequence
from itertools import product

import pytest

from gowngroup.planning.allocation.choosing import Laid, best_choice
from gowngroup.planning.allocation.patterns import Pattern
from gowngroup.planning.allocation.problem import Counts, Need, Problem, Room

ROOM = Room(area_mm2=2e6, capacity_mm2=2e6, least_left_mm2=3e5)
ROOMS = range(3)


def invented(seed: int) -> tuple[Problem, list[Laid]]:
    """Four needs, three rooms and up to five laid patterns a room."""
    chance = random.Random(seed)  # noqa: S311 - invented fillings, no secret
    needs = tuple(
        Need(
            count=chance.randint(1, 3),
            area_mm2=chance.randint(200, 700) * 1e3,
            gown_count=chance.randint(1, 2),
            is_first=chance.random() < 0.3,
            rooms=tuple(ROOMS),
        )
        for _ in range(4)
    )
    laid = [
        Laid(
            pattern=Pattern(
                room=room,
                groups=tuple(
                    (need, chance.randint(1, 2))
                    for need in sorted(chance.sample(range(4), chance.randint(1, 3)))
                ),
            ),
            used_up_mm2=chance.randint(2, 20) * 1e5,
        )
        for room in ROOMS
        for _ in range(chance.randint(0, 5))
    ]
    return Problem(needs=needs, rooms=(ROOM,) * len(ROOMS)), laid


def worth_m2(problem: Problem, counts: Counts, used_up_mm2: Sequence[float]) -> float:
    """Gowns made (no more groups than there are) less rooms opened and cloth used up, as the module weighs them."""
    made = [min(sum(row), need.count) for need, row in zip(problem.needs, counts, strict=True)]
    gain = sum(
        count * need.gown_count * (12 + 60 * need.is_first)
        for count, need in zip(made, problem.needs, strict=True)
    )
    return gain - 4 * len(used_up_mm2) - sum(used_up_mm2) / 1e6


def counts_of(problem: Problem, chosen: Sequence[Laid]) -> Counts:
    held = {(each.pattern.room, need): count for each in chosen for need, count in each.pattern.groups}
    return tuple(tuple(held.get((room, need), 0) for room in ROOMS) for need in range(len(problem.needs)))


@pytest.mark.parametrize("seed", range(12))
def test_no_other_choice_is_better(seed: int) -> None:
    """What is chosen is one of all the choices, and none of them is worth half a square metre more."""
    problem, laid = invented(seed)
    choices = product(*([None, *(each for each in laid if each.pattern.room == room)] for room in ROOMS))
    worths: dict[Counts, float] = {}
    for choice in choices:
        chosen = [each for each in choice if each is not None]
        counts = counts_of(problem, chosen)
        worth = worth_m2(problem, counts, [each.used_up_mm2 for each in chosen])
        worths[counts] = max(worth, worths.get(counts, worth))
    assert worths[best_choice(problem, laid)] >= max(worths.values()) - 0.5
