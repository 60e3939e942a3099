"""Fillings: what may lie together on one lot, counted by size."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import islice

from gowngroup.planning.allocation.problem import ROUNDING_MM2

# How many groups of each size, in the order of the sizes.
Filling = tuple[int, ...]

# Most tries for each filling asked for: to some that are tried a group could be added after all.
_TRIES_FOR_EACH = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class Size:
    """Groups of one area, whichever need they are for: the area of one, and the most there are of them."""

    area_mm2: float
    most: int


def total_mm2(filling: Filling, sizes: Sequence[Size]) -> float:
    """The area of all groups of a filling."""
    return sum(count * size.area_mm2 for count, size in zip(filling, sizes, strict=True))


def fullest(sizes: Sequence[Size], capacity_mm2: float, *, at_most: int) -> tuple[Filling, ...] | None:
    """Every filling to which no further group can be added; None where there are too many to list.

    No dealing out puts anything on a lot that is not part of one of them.
    Source: maximal patterns of the cutting stock problem, textbook method.
    """
    found: list[Filling] = []
    for tried, filling in enumerate(_filled_up(sizes, capacity_mm2, math.inf)):
        if filling is not None:
            found.append(filling)
        if len(found) > at_most or tried > _TRIES_FOR_EACH * at_most:
            return None
    return tuple(found)


def _filled_up(sizes: Sequence[Size], left_mm2: float, kept_out_mm2: float) -> Iterator[Filling | None]:
    """Fillings of what is left of a lot; None for one that a group kept out, the smallest so large, could be added to."""
    if not sizes:
        yield () if kept_out_mm2 > left_mm2 + ROUNDING_MM2 else None
        return
    first, others = sizes[0], sizes[1:]
    for count in range(min(first.most, _fitting(first, left_mm2)), -1, -1):
        kept_out_here_mm2 = first.area_mm2 if count < first.most else math.inf
        rests = _filled_up(others, left_mm2 - count * first.area_mm2, min(kept_out_mm2, kept_out_here_mm2))
        yield from (None if rest is None else (count, *rest) for rest in rests)


def every(sizes: Sequence[Size], capacity_mm2: float, *, at_most: int) -> tuple[Filling, ...] | None:
    """Every filling there is; None where there are too many to list."""
    found = tuple(islice(_every(sizes, capacity_mm2), at_most + 1))
    return found if len(found) <= at_most else None


def _every(sizes: Sequence[Size], left_mm2: float) -> Iterator[Filling]:
    if not sizes:
        yield ()
        return
    first, others = sizes[0], sizes[1:]
    for count in range(min(first.most, _fitting(first, left_mm2)) + 1):
        yield from ((count, *rest) for rest in _every(others, left_mm2 - count * first.area_mm2))


def _fitting(size: Size, left_mm2: float) -> int:
    return math.floor((left_mm2 + ROUNDING_MM2) / size.area_mm2)
