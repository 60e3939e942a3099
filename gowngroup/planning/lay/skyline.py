"""Boxes put down one after the other on the lowest level of what lies there already, neighbours as near as they go."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from gowngroup.planning.lay.levels import NOBODY, SAME, Box, Level, cover, raise_level

# What counts as flush, as a share of the strip's width: 3 mm on cloth of 110 cm.
FLUSH = 0.003

Order = list[tuple[int, int]]  # items, each with the form it is to lie in


class Spot(NamedTuple):
    """Where the box of an item lies, in which form: its lower left corner."""

    item: int
    form: int
    across: float
    along: float


class _Place(NamedTuple):
    """What may lie on a level: how much room it has, how far its neighbours rise, which of them shares its floor."""

    width: float
    room: float
    left_rise: float
    right_rise: float
    wall: int
    is_right: bool


class _Choice(NamedTuple):
    """The item chosen, by its place among those waiting, in which form, and how far it leans over its wall."""

    number: int
    form: int
    saved: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """What the strip itself forbids: flawed stretches along it, and the step that matched forms must start on."""

    flaws: tuple[tuple[float, float], ...] = ()
    repeat: float = 0.0
    matched: frozenset[int] = frozenset()

    def room(self, height: float) -> float:
        """How far along a box that starts at this height may reach; nothing on a flaw."""
        for start, end in self.flaws:
            if end > height + SAME:
                return start - height
        return math.inf

    def beyond_flaw(self, height: float) -> float:
        """The end of the next flawed stretch."""
        return min((end for _, end in self.flaws if end > height + SAME), default=math.inf)

    def lifted(self, box: Box) -> Box:
        """The box, where its form is matched moved along to the next step and without the repeat kept for that."""
        if box.form not in self.matched:
            return box
        floor = math.ceil(box.floor / self.repeat - SAME) * self.repeat
        return box._replace(floor=floor, end=box.end - self.repeat + floor - box.floor)


class Boxes:
    """Every form's size, and how much nearer than their boxes two forms may lie, asked once for each pair.

    A matched form's size holds one repeat more than the form, so that it can be moved along to the next step.
    """

    def __init__(
        self,
        sizes: Sequence[tuple[float, float]],
        twins: Sequence[Sequence[int]],
        saved: Callable[[int, int], float],
    ) -> None:
        self.sizes = sizes
        self._twins = twins
        self._saved = saved
        self._beside: dict[tuple[int, bool], dict[int, tuple[float, int]]] = {}

    def known(self, place: _Place) -> dict[int, tuple[float, int]]:
        """What forms save beside the wall of a place, as far as it was asked before."""
        return self._beside.setdefault((place.wall, place.is_right), {})

    def saving(self, place: _Place, form: int) -> tuple[float, int]:
        """The most that a form or one of its twins saves beside the wall of a place, and which of them."""
        if place.wall == NOBODY:
            found = 0.0, form
        else:
            saved, minus_twin = max(
                (self._saved(*((twin, place.wall) if place.is_right else (place.wall, twin))), -twin)
                for twin in self._twins[form]
            )
            found = saved, -minus_twin
        self.known(place)[form] = found
        return found


class Table:
    """A strip being filled: what waits, in about which order, where what lies, and how far along it is filled."""

    def __init__(self, waiting: Order) -> None:
        self.waiting = waiting
        self.levels = [Level(0.0, 1.0, 0.0)]
        self.spots: list[Spot] = []
        self.length = 0.0

    def copy(self) -> Table:
        """Another table as far filled as this one."""
        other = Table(self.waiting[:])
        other.levels, other.spots = self.levels[:], self.spots[:]
        other.length = self.length
        return other


def put_down(
    table: Table,
    boxes: Boxes,
    ground: Ground,
    *,
    window: int,
    count: int | None = None,
    limit: float = math.inf,
) -> bool:
    """Put down so many of the waiting items, by default all: the lowest level takes the one that fits it best.

    Of the next `window` items the one that fills the level's width and ends flush with a neighbour is taken, else the
    first that fits; a level too small for any is given up. Whether all were put down within `limit`.
    Source: best-fit on the lowest level, textbook method; pushing neighbours together is our own.
    """
    levels, waiting = table.levels, table.waiting
    left = 0 if count is None else max(len(waiting) - count, 0)
    while len(waiting) > left:
        heights = [level[2] for level in levels]
        at = heights.index(min(heights))
        place = _place(levels, at, ground)
        choice = _chosen(waiting, window, boxes, place)
        if choice.number < 0:
            _give_up(levels, at, ground)
            continue
        item, _ = waiting.pop(choice.number)
        box = ground.lifted(_box(levels[at], place, choice, boxes.sizes[choice.form]))
        table.spots.append(Spot(item, choice.form, box.start, box.floor))
        table.length = max(table.length, box.end)
        if table.length > limit:
            return False
        cover(levels, at, box)
    return True


def _place(levels: Sequence[Level], at: int, ground: Ground) -> _Place:
    _, width, height, *_ = levels[at]
    left_rise = right_rise = math.inf
    left_wall = right_wall = NOBODY
    if at:
        _, _, top, _, _, wall, floor = levels[at - 1]
        left_rise = top - height
        left_wall = wall if floor == height else NOBODY
    if at + 1 < len(levels):
        _, _, top, wall, floor, _, _ = levels[at + 1]
        right_rise = top - height
        right_wall = wall if floor == height else NOBODY
    is_right = left_wall == NOBODY and (right_wall != NOBODY or right_rise > left_rise)
    room = ground.room(height) if ground.flaws else math.inf
    return _Place(width, room, left_rise, right_rise, right_wall if is_right else left_wall, is_right)


def _chosen(waiting: Order, window: int, boxes: Boxes, place: _Place) -> _Choice:
    """The best of the next few items, or failing that the first that fits; number -1 where none does."""
    width, room, left, right, _, _ = place
    known, sizes = boxes.known(place), boxes.sizes
    best, found, last = 0, _Choice(-1, 0, 0.0), -1
    for number, (_, form) in enumerate(waiting):
        if best and number >= window:
            break
        if form == last:
            continue
        last = form
        across, along = sizes[form]
        saved, twin = known.get(form) or boxes.saving(place, form)
        spare = width + saved - across
        if spare < -SAME or along > room:
            continue
        score = 4 if spare <= FLUSH else 1
        if -FLUSH < along - left < FLUSH or -FLUSH < along - right < FLUSH:
            score += 2
        if score > best:
            best, found = score, _Choice(number, twin, saved)
    return found


def _box(level: Level, place: _Place, choice: _Choice, size: tuple[float, float]) -> Box:
    across, along = size
    start = level.start - choice.saved
    if place.is_right:
        start = level.start + level.width - across + choice.saved
    return Box(start, start + across, level.height + along, choice.form, level.height)


def _give_up(levels: list[Level], at: int, ground: Ground) -> None:
    """Raise a level that takes nothing more to its lower neighbour, or beyond a flaw that is nearer."""
    height = levels[at].height
    neighbours = [levels[number].height for number in (at - 1, at + 1) if 0 <= number < len(levels)]
    raise_level(levels, at, min(*neighbours, ground.beyond_flaw(height), math.inf))
