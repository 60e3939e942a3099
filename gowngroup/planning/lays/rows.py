"""A cutting lay by rows across the cloth: the longest piece opens a row, shorter ones stack up beside it."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from gowngroup.planning.lays.values import (
    SAME_MM,
    Lay,
    LayPiece,
    PieceTooWide,
    Placement,
    Strip,
    finished_lay,
    outline_size_mm,
)

ENGINE = "rows"

Size = tuple[float, float]
Space = tuple[float, float, float, float]
Wish = Callable[[Size, Size], tuple[float, ...]]
Split = Literal["columns", "layers", "side by side"]


@dataclass(frozen=True, slots=True, kw_only=True)
class RowRule:
    """One way to fill a row: which piece a space wants most, and how a piece splits what is left of the space."""

    wish: Wish
    split: Split


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """Pieces side by side and stacked, measured from the row's own corner; `length_mm` includes one gap."""

    length_mm: float
    places: tuple[tuple[LayPiece, float, float], ...]


def _longest(size: Size, space: Size) -> tuple[float, ...]:
    return (size[1], size[0])


def _widest(size: Size, space: Size) -> tuple[float, ...]:
    return (size[0], size[1])


def _largest(size: Size, space: Size) -> tuple[float, ...]:
    return (size[0] * size[1], size[1])


def _snuggest(size: Size, space: Size) -> tuple[float, ...]:
    return (-min(space[0] - size[0], space[1] - size[1]), size[0] * size[1])


def _fullest_column(size: Size, space: Size) -> tuple[float, ...]:
    return (-(space[1] % size[1]) / space[1], size[0] * size[1])


PLAIN_RULE = RowRule(wish=_longest, split="side by side")
STACKED_RULE = RowRule(wish=_longest, split="columns")
ROW_RULES = (
    STACKED_RULE,
    RowRule(wish=_longest, split="layers"),
    RowRule(wish=_widest, split="columns"),
    RowRule(wish=_largest, split="columns"),
    RowRule(wish=_largest, split="layers"),
    RowRule(wish=_snuggest, split="columns"),
    RowRule(wish=_snuggest, split="layers"),
    RowRule(wish=_fullest_column, split="columns"),
)


class _Heap:
    """Pieces still to be laid, heaped by size so that equal pieces are looked at once."""

    def __init__(self, pieces: Iterable[LayPiece], strip: Strip) -> None:
        self._by_size: dict[Size, list[LayPiece]] = {}
        for piece in pieces:
            width_mm, length_mm = outline_size_mm(piece.outline)
            if not 0 < width_mm * length_mm < math.inf:
                raise ValueError(f"{piece.name} of kit {piece.kit_key} has no size")
            if width_mm > strip.usable_width_mm + SAME_MM:
                raise PieceTooWide(
                    piece_name=piece.name,
                    kit_key=piece.kit_key,
                    width_mm=width_mm,
                    usable_width_mm=strip.usable_width_mm,
                )
            size = (width_mm + strip.gap_mm, length_mm + strip.gap_mm)
            self._by_size.setdefault(size, []).append(piece)

    def longest_mm(self) -> float:
        return max((length for _, length in self._by_size), default=0.0)

    def take(self, space: Size, wish: Wish) -> tuple[LayPiece, Size] | None:
        """The piece this space wants most, taken off the heap; None where none fits."""
        fitting = [
            size for size in self._by_size if size[0] <= space[0] + SAME_MM and size[1] <= space[1] + SAME_MM
        ]
        if not fitting:
            return None
        size = max(fitting, key=lambda each: (wish(each, space), each))
        pieces = self._by_size[size]
        piece = pieces.pop(0)
        if not pieces:
            del self._by_size[size]
        return piece, size


def rows_of(pieces: Iterable[LayPiece], strip: Strip, rule: RowRule) -> Iterator[Row]:
    """Rows holding every piece once, each opened by the longest piece left; raises PieceTooWide and ValueError."""
    heap = _Heap(pieces, strip)
    while length_mm := heap.longest_mm():
        yield _row(heap, strip.usable_width_mm + strip.gap_mm, length_mm, rule)


def _row(heap: _Heap, width_mm: float, length_mm: float, rule: RowRule) -> Row:
    places: list[tuple[LayPiece, float, float]] = []
    spaces: list[Space] = [(0.0, 0.0, width_mm, length_mm)]
    while spaces:
        x_mm, y_mm, *space = spaces.pop()
        taken = heap.take((space[0], space[1]), rule.wish if places else _longest)
        if taken is None:
            continue
        piece, size = taken
        places.append((piece, x_mm, y_mm))
        spaces.extend(_left_over((x_mm, y_mm, space[0], space[1]), size, rule.split))
    return Row(length_mm=length_mm, places=tuple(places))


def _left_over(space: Space, size: Size, split: Split) -> tuple[Space, ...]:
    """What is left beside and above a piece in the corner of a space: one straight cut parts them."""
    x_mm, y_mm, width_mm, length_mm = space
    beside_length_mm = size[1] if split == "layers" else length_mm
    above_width_mm = width_mm if split == "layers" else size[0]
    beside = (x_mm + size[0], y_mm, width_mm - size[0], beside_length_mm)
    above = (x_mm, y_mm + size[1], above_width_mm, length_mm - size[1])
    return (beside,) if split == "side by side" else (beside, above)


def good_stretches(strip: Strip) -> list[list[float]]:
    """Start and end of every flawless stretch along the cloth, the last one without an end."""
    stretches: list[list[float]] = []
    start_mm = 0.0
    for flaw in sorted(strip.flaws, key=lambda each: each.from_mm):
        if flaw.from_mm > start_mm:
            stretches.append([start_mm, flaw.from_mm])
        start_mm = max(start_mm, flaw.to_mm)
    return [*stretches, [start_mm, math.inf]]


def stacked_rows(rows: Iterable[Row], strip: Strip) -> tuple[list[Placement], float]:
    """Rows one after the other along the cloth, each in the first flawless stretch that holds it; and their end."""
    stretches = good_stretches(strip)
    placements: list[Placement] = []
    end_mm = 0.0
    for row in rows:
        stretch = next(
            each for each in stretches if each[0] + row.length_mm - strip.gap_mm <= each[1] + SAME_MM
        )
        start_mm = stretch[0]
        stretch[0] += row.length_mm
        end_mm = max(end_mm, stretch[0] - strip.gap_mm)
        placements.extend(
            Placement(piece_key=piece.key, x_mm=x_mm, y_mm=start_mm + y_mm)
            for piece, x_mm, y_mm in row.places
        )
    return placements, end_mm


def lay_rows(pieces: Sequence[LayPiece], strip: Strip) -> Lay:
    """The shortest of several row lays of all the pieces together, every piece kept on its grain and none turned.

    Rows hold the bounding boxes of the outlines with the strip's gap between them; lengths in mm.
    Raises PieceTooWide where a piece is wider than the strip and ClothTooShort where the strip is too short;
    ValueError where a piece has no size.
    Source: level packing with guillotine cuts, textbook method; its rules were chosen on our own trial lays.
    """
    trials = (stacked_rows(rows_of(pieces, strip, rule), strip) for rule in ROW_RULES)
    placements, end_mm = min(trials, key=lambda trial: trial[1])
    return finished_lay(pieces, strip, placements, end_mm=end_mm, engine=ENGINE)
