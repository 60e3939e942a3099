"""Sorts of rooms: those that suit the same needs, so that what may lie in one of them may lie in each."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from gowngroup.planning.allocation.fillings import Filling, Size, every, fullest
from gowngroup.planning.allocation.problem import Problem

# A room that can be filled in more ways is not filled by whole fillings; with left-overs kept there are more ways.
MANY_FILLINGS = 400
_MANY_WITH_LEFT_OVER = 50


@dataclass(frozen=True, slots=True, kw_only=True)
class Sort:
    """Rooms that suit the same needs, by number, the sizes of these needs, and small rooms with all their fillings.

    `size_of` says which size a need is of. `full` are the fillings of rooms of which nothing useful is left, `part` those that leave something useful.
    """

    needs: tuple[int, ...]
    rooms: tuple[int, ...]
    sizes: tuple[Size, ...]
    size_of: dict[int, int]
    full: dict[int, tuple[Filling, ...]]
    part: dict[int, tuple[Filling, ...]]


def sorts_of(problem: Problem) -> tuple[Sort, ...]:
    """The sorts of all rooms that suit anything."""
    alike: dict[tuple[int, ...], list[int]] = defaultdict(list)
    for room in range(len(problem.rooms)):
        alike[tuple(number for number, need in enumerate(problem.needs) if room in need.rooms)].append(room)
    return tuple(_sort(problem, needs, rooms) for needs, rooms in alike.items() if needs)


def _sort(problem: Problem, needs: tuple[int, ...], rooms: Sequence[int]) -> Sort:
    most: Counter[float] = Counter()
    for number in needs:
        most[problem.needs[number].area_mm2] += problem.needs[number].count
    areas_mm2 = sorted(most, reverse=True)
    sizes = tuple(Size(area_mm2=area_mm2, most=most[area_mm2]) for area_mm2 in areas_mm2)
    full = {room: fullest(sizes, problem.rooms[room].capacity_mm2, at_most=MANY_FILLINGS) for room in rooms}
    part = {room: every(sizes, problem.rooms[room].part_mm2, at_most=_MANY_WITH_LEFT_OVER) for room in rooms}
    return Sort(
        needs=needs,
        rooms=tuple(rooms),
        sizes=sizes,
        size_of={number: areas_mm2.index(problem.needs[number].area_mm2) for number in needs},
        full={room: fillings for room, fillings in full.items() if fillings is not None},
        part={room: fillings for room, fillings in part.items() if fillings is not None},
    )
