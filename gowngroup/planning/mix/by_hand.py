"""The mix as a careful coordinator works it out by hand, gown by gown: what the programme is measured against."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from fractions import Fraction

from gowngroup.planning.mix.problem import Problem, SetWant, Tier, is_for
from gowngroup.planning.mix.values import ROUNDING, SEWING_STAGES, GownChoice


@dataclass(frozen=True, slots=True, kw_only=True)
class HandMix:
    """What a mix worked out by hand comes to, in gowns; the cover is that of the worst-served ward."""

    memorial_count: int
    worn_count: int
    worst_cover: Fraction | None


@dataclass(slots=True, kw_only=True)
class _Unit:
    """What is made together or not at all, in the designs that take the fewest minutes."""

    ward_key: str
    choices: tuple[GownChoice, ...]
    can_be_given: bool
    name: tuple[str, ...]

    @property
    def minutes(self) -> float:
        return sum(choice.minutes.total for choice in self.choices)

    @property
    def cloth_mm2(self) -> float:
        return sum(choice.cloth_mm2 for choice in self.choices)


@dataclass(slots=True, kw_only=True)
class _Table:
    problem: Problem
    left_mm2: dict[str, float]
    left_min: dict[str, float]
    served: dict[Tier, Counter[str]] = field(
        default_factory=lambda: {"memorial": Counter(), "worn": Counter()}
    )

    def cover(self, tier: Tier, ward_key: str) -> Fraction:
        return Fraction(self.served[tier][ward_key], self.problem.asked(tier)[ward_key])

    def lot_for(self, unit: _Unit) -> str | None:
        """The lot with the least room that holds the unit, so that large lots stay for large sets."""
        keys = [
            key
            for key, left in self.left_mm2.items()
            if left * (1 + ROUNDING) >= unit.cloth_mm2
            and all(key in choice.lot_keys for choice in unit.choices)
        ]
        return min(keys, key=lambda key: (self.left_mm2[key], key), default=None)

    def can_make(self, unit: _Unit) -> bool:
        spent = _minutes(unit)
        enough = all(spent[stage] <= left * (1 + ROUNDING) for stage, left in self.left_min.items())
        return enough and bool(unit.choices) and self.lot_for(unit) is not None

    def make(self, unit: _Unit) -> None:
        self.left_mm2[self.lot_for(unit) or ""] -= unit.cloth_mm2
        spent = _minutes(unit)
        for stage in self.left_min:
            self.left_min[stage] -= spent[stage]


def mix_by_hand(problem: Problem) -> HandMix:
    """Memorial gowns first, then gown after gown for the ward served worst, the quickest of its gowns first.

    What is on the shelf is handed out the same way before anything is made. Source: greedy max-min fairness, textbook
    method.
    """
    hours = problem.hours
    table = _Table(
        problem=problem,
        left_mm2={room.lot_key: room.area_mm2 for room in problem.rooms},
        left_min={"all": hours.total_min}
        | {stage: left for stage in SEWING_STAGES if (left := hours.of(stage)) is not None},
    )
    tiers: tuple[Tier, ...] = ("memorial", "worn")
    for tier in tiers:
        _make(tier, _hand_out(tier, list(_units(problem, tier)), table), table)
    asked = problem.asked("worn")
    return HandMix(
        memorial_count=table.served["memorial"].total(),
        worn_count=table.served["worn"].total(),
        worst_cover=min((table.cover("worn", key) for key in asked), default=None),
    )


def _minutes(unit: _Unit) -> dict[str, float]:
    by_stage: dict[str, float] = {
        stage: sum(choice.minutes.of(stage) for choice in unit.choices) for stage in SEWING_STAGES
    }
    return {**by_stage, "all": unit.minutes}


def _units(problem: Problem, tier: Tier) -> Iterator[_Unit]:
    for want in problem.wants:
        if want.tier == tier:
            choices = [problem.choices[number] for number in problem.choices_for(want.line, want.ward_key)]
            for _each in range(want.count):
                yield _Unit(
                    ward_key=want.ward_key,
                    choices=_quickest(choices),
                    can_be_given=True,
                    name=want.line,
                )
    for each in problem.sets:
        if each.tier == tier:
            yield _Unit(
                ward_key=each.ward_key,
                choices=_set_choices(problem, each),
                can_be_given=False,
                name=(each.set_key,) * each.count,
            )


def _quickest(choices: list[GownChoice]) -> tuple[GownChoice, ...]:
    with_cloth = [choice for choice in choices if choice.lot_keys]
    return tuple(sorted(with_cloth, key=lambda choice: (choice.minutes.total, choice.design_key))[:1])


def _set_choices(problem: Problem, wanted: SetWant) -> tuple[GownChoice, ...]:
    found: list[GownChoice] = []
    for line, count in wanted.gowns:
        choices = [problem.choices[number] for number in problem.choices_for(line, wanted.ward_key)]
        quickest = _quickest(choices)
        if not quickest:
            return ()
        found += quickest * count
    return tuple(found)


def _hand_out(tier: Tier, units: list[_Unit], table: _Table) -> list[_Unit]:
    for supply in table.problem.supplies:
        for _each in range(supply.expected_count):
            fitting = [
                unit
                for unit in units
                if unit.can_be_given
                and unit.name == (supply.size_name, supply.purpose)
                and is_for(supply.ward_keys, unit.ward_key)
            ]
            if not fitting:
                break
            unit = min(fitting, key=lambda each: (table.cover(tier, each.ward_key), each.ward_key))
            table.served[tier][unit.ward_key] += 1
            units.remove(unit)
    return units


def _make(tier: Tier, units: list[_Unit], table: _Table) -> None:
    while possible := [unit for unit in units if table.can_make(unit)]:
        unit = min(
            possible,
            key=lambda each: (
                table.cover(tier, each.ward_key),
                each.minutes / len(each.choices),
                each.ward_key,
                each.name,
            ),
        )
        table.make(unit)
        table.served[tier][unit.ward_key] += len(unit.choices)
        units.remove(unit)
