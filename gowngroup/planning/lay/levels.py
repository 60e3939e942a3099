"""How far along a strip is filled across its width, and what stands at the ends of every level.

All lengths are shares of the strip's width, so that a lay of everything twice as large is the same lay.
"""

from __future__ import annotations

from typing import NamedTuple

SAME = 1e-9
NOBODY = -1


class Level(NamedTuple):
    """A stretch across, how far along it is filled, and whose side stands on which floor at either end of it."""

    start: float
    width: float
    height: float
    left: int = NOBODY
    left_floor: float = 0.0
    right: int = NOBODY
    right_floor: float = 0.0


class Box(NamedTuple):
    """A box just put down: from where to where across, how far along it reaches, which form it is on which floor."""

    start: float
    stop: float
    end: float
    form: int
    floor: float


def raise_level(levels: list[Level], at: int, height: float) -> None:
    """Give up what is left of a level up to this height."""
    start, width, *_ = levels[at]
    levels[at] = Level(start, width, height)
    _merge(levels, at)


def cover(levels: list[Level], at: int, box: Box) -> None:
    """Put a box on a level; where it leans over neighbours that end lower it takes that part of their tops."""
    first = last = at
    while first and levels[first].start > box.start + SAME:
        first -= 1
    while last + 1 < len(levels) and levels[last + 1].start < box.stop - SAME:
        last += 1
    start, stop = box.start, box.stop
    before: list[Level] = []
    after: list[Level] = []
    for number in range(first, last + 1):
        level = levels[number]
        if number < at and level.height >= box.end - SAME:
            before.append(level)
            start = level.start + level.width
        elif number > at and level.height >= box.end - SAME:
            after.append(level)
            stop = min(stop, level.start)
        else:
            before.extend(_left_of(level, start))
            after.extend(_right_of(level, stop))
    seen = Level(start, stop - start, box.end, box.form, box.floor, box.form, box.floor)
    levels[first : last + 1] = [*before, seen, *after]
    _merge(levels, first + len(before))


def _left_of(level: Level, start: float) -> tuple[Level, ...]:
    if level.start >= start - SAME:
        return ()
    return (Level(level.start, start - level.start, level.height, level.left, level.left_floor),)


def _right_of(level: Level, stop: float) -> tuple[Level, ...]:
    width = level.start + level.width - stop
    if width <= SAME:
        return ()
    return (Level(stop, width, level.height, NOBODY, 0.0, level.right, level.right_floor),)


def _merge(levels: list[Level], at: int) -> None:
    """Join a level with neighbours of the same height."""
    if at + 1 < len(levels) and abs(levels[at + 1].height - levels[at].height) <= SAME:
        levels[at] = _joined(levels[at], levels.pop(at + 1))
    if at and abs(levels[at - 1].height - levels[at].height) <= SAME:
        levels[at - 1] = _joined(levels[at - 1], levels.pop(at))


def _joined(left: Level, right: Level) -> Level:
    return Level(
        left.start,
        left.width + right.width,
        max(left.height, right.height),
        left.left,
        left.left_floor,
        right.right,
        right.right_floor,
    )
