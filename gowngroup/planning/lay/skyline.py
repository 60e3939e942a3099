"""Boxes put down one after the other on the lowest level of what lies there already, neighbours as near as they go."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, NamedTuple

from gowngroup.planning.lay.contours import Contours, Savings
from gowngroup.planning.lay.levels import NOBODY, SAME, Box, Level, cover, raise_level

# What counts as ending flush with a neighbour, as a share of the strip's width: 7 mm on cloth of 110 cm.
FLUSH = 0.006
# How much it counts that an item fills the level's width, that it ends flush with a neighbour, or both.
FITS, ENDS_FLUSH = 3, 2
BEST = 1 + FITS + ENDS_FLUSH

Order = list[tuple[int, int]]  # items, each with the form it is to lie in


Side = Literal["higher", "left", "right"]


class Rule(NamedTuple):
    """How an item is chosen and put: among so many of the next, the spare width at which one still fills a level.

    It is pushed to a side where neither neighbour saves more than the other.
    """

    window: int
    fit: float
    side: Side = "higher"


class Spot(NamedTuple):
    """Where the box of an item lies, in which form: its lower left corner."""

    item: int
    form: int
    across: float
    along: float


class _Place(NamedTuple):
    """What may lie on a level: how much room it has, how far its neighbours rise, what is saved beside them."""

    width: float
    room: float
    left_rise: float
    right_rise: float
    left: Savings
    right: Savings

    @property
    def is_hopeless(self) -> bool:
        """Whether even the narrowest form is too wide."""
        return self.width < self.left.least + self.right.least - SAME

    def is_flush(self, along: float) -> bool:
        """Whether a box so long ends with one of the neighbours."""
        return -FLUSH < along - self.left_rise < FLUSH or -FLUSH < along - self.right_rise < FLUSH


class _Choice(NamedTuple):
    """The item chosen, by its place among those waiting, and in which form."""

    number: int
    form: int


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


@dataclass(frozen=True, slots=True, kw_only=True)
class Boxes:
    """Every form's size, the forms it may be changed for, and its sides.

    A matched form's size holds one repeat more than the form, so that it can be moved along to the next step.
    """

    sizes: Sequence[tuple[float, float]]
    twins: Sequence[Sequence[int]]
    contours: Contours


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
    rule: Rule,
    count: int,
    limit: float = math.inf,
) -> bool:
    """Put down so many of the waiting items: the lowest level takes the one that fits it best.

    Of the next few items the one that fills the level's width and ends flush with a neighbour is taken, else the
    first that fits; a level too small for any is given up. Whether all were put down within `limit`.
    Source: best-fit on the lowest level, textbook method; pushing neighbours together is our own.
    """
    levels, waiting = table.levels, table.waiting
    left = max(len(waiting) - count, 0)
    narrowest = boxes.contours.no_wall.least - SAME  # nothing narrower is worth asking what fits it
    while len(waiting) > left:
        heights = [level[2] for level in levels]
        at = heights.index(min(heights))
        choice = None
        if levels[at][1] >= narrowest:
            place = _place(levels, at, boxes.contours, ground)
            choice = None if place.is_hopeless else _chosen(waiting, rule, boxes, place)
        if choice is None:
            _give_up(levels, at, ground)
            continue
        item, _ = waiting.pop(choice.number)
        box = ground.lifted(_box(levels[at], place, choice.form, boxes.sizes[choice.form], side=rule.side))
        table.spots.append(Spot(item, choice.form, box.start, box.floor))
        table.length = max(table.length, box.end)
        if table.length > limit:
            return False
        cover(levels, at, box)
    return True


def _place(levels: Sequence[Level], at: int, contours: Contours, ground: Ground) -> _Place:
    _, width, height, *_ = levels[at]
    left_rise = right_rise = math.inf
    left = right = contours.no_wall
    if at:
        _, _, top, _, _, wall, floor = levels[at - 1]
        left_rise = top - height
        if wall != NOBODY and floor <= height + SAME:
            left = contours.beside(wall, height - floor, is_right=False)
    if at + 1 < len(levels):
        _, _, top, wall, floor, _, _ = levels[at + 1]
        right_rise = top - height
        if wall != NOBODY and floor <= height + SAME:
            right = contours.beside(wall, height - floor, is_right=True)
    room = ground.room(height) if ground.flaws else math.inf
    return _Place(width, room, left_rise, right_rise, left, right)


def _chosen(waiting: Order, rule: Rule, boxes: Boxes, place: _Place) -> _Choice | None:
    """The best of the next few items, or failing that the first that fits."""
    best, found, last = 0, None, -1
    width, sizes = place.width + SAME, boxes.sizes
    left, right = place.left.best, place.right.best
    for number, (_, form) in enumerate(waiting):
        if best and number >= rule.window:
            break
        if form == last:
            continue
        last = form
        across, along = sizes[form]
        if across - left[form] - right[form] > width or along > place.room:
            continue
        score, twin = _scored(form, rule.fit, boxes, place)
        if score > best:
            best, found = score, _Choice(number, twin)
            if score == BEST:
                break
    return found


def _scored(form: int, fit: float, boxes: Boxes, place: _Place) -> tuple[int, int]:
    """How well a form suits a level, nought where it does not fit, and which of its twins saves most there."""
    across, along = boxes.sizes[form]
    left, right = place.left.each, place.right.each
    saved, twin = -1.0, form
    for each in boxes.twins[form]:
        if left[each] + right[each] > saved:
            saved, twin = left[each] + right[each], each
    spare = place.width + saved - across
    if spare < -SAME:
        return 0, twin
    fits = FITS if spare <= fit else 0
    return 1 + fits + (ENDS_FLUSH if place.is_flush(along) else 0), twin


def _box(level: Level, place: _Place, form: int, size: tuple[float, float], *, side: Side) -> Box:
    """The box pushed to the wall beside which it saves more, or else to a side."""
    across, along = size
    left, right = place.left.each[form], place.right.each[form]
    start = level.start - left
    is_right = place.right_rise > place.left_rise if side == "higher" else side == "right"
    if right > left + SAME or (is_right and left <= right + SAME):
        start = level.start + level.width - across + right
    return Box(start, start + across, level.height + along, form, level.height)


def _give_up(levels: list[Level], at: int, ground: Ground) -> None:
    """Raise a level that takes nothing more to its lower neighbour, or beyond a flaw that is nearer."""
    height = levels[at].height
    limit = ground.beyond_flaw(height) if ground.flaws else math.inf
    before = levels[at - 1].height if at else math.inf
    after = levels[at + 1].height if at + 1 < len(levels) else math.inf
    raise_level(levels, at, min(before, after, limit))
