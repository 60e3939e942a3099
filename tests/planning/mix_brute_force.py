"""Every way a small month could be served, tried one by one: what the mix programme is checked against."""

from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import product

from gowngroup.planning.mix.problem import Problem, Tier, is_for
from gowngroup.planning.mix.values import SEWING_STAGES, GownChoice

Levels = tuple[int, Fraction, int, int, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """One way to serve one unit: from a supply, or made in designs from a lot; neither where it is left."""

    supply: int | None = None
    choices: tuple[GownChoice, ...] = ()
    lot_key: str | None = None


LEFT = Way()
Unit = tuple[Tier, str, int, list[Way]]


def best_levels(problem: Problem) -> Levels:
    """The greatest levels (memorial, worst cover, worn, safety, −designs) of all ways that keep every limit."""
    units = list(_units(problem))
    wards = {ward for tier, ward, _, ways in units if tier == "worn" and len(ways) > 1}
    asked = problem.asked("worn")
    possible = (ways for ways in product(*(ways for _, _, _, ways in units)) if _is_possible(problem, ways))
    return max(_levels(units, ways, wards, asked) for ways in possible)


def _units(problem: Problem) -> Iterator[Unit]:
    for want in problem.wants:
        made = [
            Way(choices=(choice,), lot_key=key)
            for choice in problem.choices
            if choice.line == want.line and is_for(choice.ward_keys, want.ward_key)
            for key in choice.lot_keys
        ]
        given = [
            Way(supply=number)
            for number, supply in enumerate(problem.supplies)
            if (supply.size_name, supply.purpose) == want.line
            and supply.expected_count
            and is_for(supply.ward_keys, want.ward_key)
        ]
        for _each in range(want.count):
            yield want.tier, want.ward_key, 1, [LEFT, *given, *made]
    for each in problem.sets:
        lines = [line for line, count in each.gowns for _ in range(count)]
        suiting = [
            [
                choice
                for choice in problem.choices
                if choice.line == line and is_for(choice.ward_keys, each.ward_key)
            ]
            for line in lines
        ]
        made = [
            Way(choices=choices, lot_key=room.lot_key)
            for choices in product(*suiting)
            for room in problem.rooms
            if all(room.lot_key in choice.lot_keys for choice in choices)
        ]
        yield each.tier, each.ward_key, each.count, [LEFT, *made]


def _is_possible(problem: Problem, ways: tuple[Way, ...]) -> bool:
    given = Counter(way.supply for way in ways if way.supply is not None)
    if any(count > problem.supplies[number].expected_count for number, count in given.items()):
        return False
    made = [choice for way in ways for choice in way.choices]
    if sum(choice.minutes.total for choice in made) > problem.hours.total_min + 1e-6:
        return False
    for stage in SEWING_STAGES:
        offered = problem.hours.of(stage)
        if offered is not None and sum(choice.minutes.of(stage) for choice in made) > offered + 1e-6:
            return False
    taken: dict[str, float] = defaultdict(float)
    for way in ways:
        if way.lot_key is not None:
            taken[way.lot_key] += sum(choice.cloth_mm2 for choice in way.choices)
    return all(taken[room.lot_key] <= room.area_mm2 + 1e-6 for room in problem.rooms)


def _levels(units: list[Unit], ways: tuple[Way, ...], wards: set[str], asked: Counter[str]) -> Levels:
    served: dict[Tier, Counter[str]] = {"memorial": Counter(), "worn": Counter(), "safety": Counter()}
    for (tier, ward, count, _), way in zip(units, ways, strict=True):
        served[tier][ward] += count * (way is not LEFT)
    worst = min((Fraction(served["worn"][ward], asked[ward]) for ward in wards), default=Fraction(0))
    designs = {choice.design_key for way in ways for choice in way.choices}
    return (
        served["memorial"].total(),
        worst,
        served["worn"].total(),
        served["safety"].total(),
        -len(designs),
    )
