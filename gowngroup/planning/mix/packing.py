"""Whether gowns chosen against pooled cloth come whole out of its lots."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from itertools import chain

from gowngroup.planning.integer_programme import Solved
from gowngroup.planning.mix.problem import Problem
from gowngroup.planning.mix.programme import MixProgramme
from gowngroup.planning.mix.values import ROUNDING

_STEPS = 400


@dataclass(frozen=True, slots=True, kw_only=True)
class _Unit:
    """What must come from one lot, and the lots that suit it."""

    name: tuple[int, int]
    area_mm2: float
    lot_keys: tuple[str, ...]


def comes_out_whole(problem: Problem, model: MixProgramme, solved: Solved) -> bool:
    """Whether the gowns and sets of an answer to the pooled question fit into the lots one by one.

    Tried gown by gown, then lot by lot: a no may be wrong, a yes never is.
    """
    units = _units(problem, model, solved)
    return _gown_by_gown(problem, units) or _lot_by_lot(problem, units)


def _gown_by_gown(problem: Problem, units: Mapping[_Unit, int]) -> bool:
    """Largest first, each into the fullest lot that still holds it (best-fit decreasing, textbook method)."""
    left_mm2 = {room.lot_key: room.area_mm2 for room in problem.rooms}
    in_order = sorted(units, key=lambda unit: (-unit.area_mm2, len(unit.lot_keys), unit.name))
    for unit in chain.from_iterable([each] * units[each] for each in in_order):
        needed_mm2 = unit.area_mm2 * (1 - ROUNDING)
        roomy = [(left_mm2[key], key) for key in unit.lot_keys if left_mm2[key] >= needed_mm2]
        if not roomy:
            return False
        left_mm2[min(roomy)[1]] -= unit.area_mm2
    return True


def _lot_by_lot(problem: Problem, units: Mapping[_Unit, int]) -> bool:
    """Each lot as full as it gets, those that suit the fewest first (minimum bin slack, textbook method)."""
    left = Counter(units)
    suited = Counter(key for unit in units for key in unit.lot_keys)
    for room in sorted(problem.rooms, key=lambda room: (suited[room.lot_key], room.area_mm2, room.lot_key)):
        here = {unit: count for unit, count in left.items() if count and room.lot_key in unit.lot_keys}
        left -= _fullest(here, room.area_mm2)
    return not left


def _fullest(units: Mapping[_Unit, int], area_mm2: float) -> Counter[_Unit]:
    """The units that fill an area best, by sums of areas that can be reached, in steps of a four-hundredth."""
    reached: dict[int, tuple[float, tuple[_Unit, ...]]] = {0: (0.0, ())}
    step_mm2 = area_mm2 / _STEPS
    for unit in sorted(units, key=lambda unit: (-unit.area_mm2, unit.name)):
        for _each in range(units[unit]):
            added = {}
            for sum_mm2, chosen in reached.values():
                total_mm2 = sum_mm2 + unit.area_mm2
                step = int(total_mm2 / step_mm2)
                if total_mm2 <= area_mm2 and step not in reached:
                    added[step] = (total_mm2, (*chosen, unit))
            if not added:
                break
            reached |= added
    return Counter(max(reached.values(), key=lambda each: each[0])[1])


def _units(problem: Problem, model: MixProgramme, solved: Solved) -> Counter[_Unit]:
    units: Counter[_Unit] = Counter()
    kinds = problem.kinds()
    for (number, _), variable in model.cut.items():
        if count := round(solved.values[variable]):
            kind = kinds[number]
            unit = _Unit(name=(0, number), area_mm2=kind.area_mm2, lot_keys=kind.lot_keys)
            units[unit] += count
    for number in range(len(problem.sets)):
        cut = _set_counts(model, solved, number)
        if cut:
            units[_set_unit(problem, number, cut)] = 1
    return units


def _set_unit(problem: Problem, number: int, cut: Mapping[int, int]) -> _Unit:
    choices = [problem.choices[each] for each in cut]
    return _Unit(
        name=(1, number),
        area_mm2=sum(problem.choices[each].cloth_mm2 * count for each, count in cut.items()),
        lot_keys=tuple(sorted(set.intersection(*(set(each.lot_keys) for each in choices)))),
    )


def _set_counts(model: MixProgramme, solved: Solved, set_number: int) -> Counter[int]:
    counts: Counter[int] = Counter()
    for (number, _, choice_number, _), variable in model.set_cut.items():
        if number == set_number and (count := round(solved.values[variable])):
            counts[choice_number] += count
    return counts
