"""A cutting lay by rows across the cloth: the longest piece opens a row, shorter ones stack up beside it."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from gowngroup.planning.lay.blocks import Block, BlockMaker
from gowngroup.planning.lay.values import (
    SAME_MM,
    ClothLay,
    LayPiece,
    PlacedPiece,
    Strip,
    finished_lay,
    outline_size_mm,
)

ENGINE = "rows"

# Alike pieces pushed together before they are laid: few gain little, many leave gaps, so several are tried.
BLOCK_SIZES = (1, 2)

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
    """Blocks side by side and stacked, by the corner of each from the row's own; `length_mm` includes one gap."""

    length_mm: float
    blocks: tuple[tuple[Block, float, float], ...]


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


# What these wish for does not depend on the space.
STEADY_WISHES: frozenset[Wish] = frozenset({_longest, _widest, _largest})

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
    """Blocks still to be laid, heaped by size so that equal ones are looked at once."""

    def __init__(self, blocks: Iterable[Block], gap_mm: float) -> None:
        self._by_size: dict[Size, list[Block]] = {}
        for block in blocks:
            size = (block.width_mm + gap_mm, block.length_mm + gap_mm)
            self._by_size.setdefault(size, []).append(block)
        self._least = (
            min(self._by_size, default=(0.0,))[0],
            min((each for _, each in self._by_size), default=0.0),
        )
        self._ranked: dict[Wish, list[Size]] = {}

    def longest_mm(self) -> float:
        return max((length for _, length in self._by_size), default=0.0)

    def take(self, space: Size, wish: Wish) -> tuple[Block, Size] | None:
        """The block this space wants most, taken off the heap; None where none fits."""
        width_mm, length_mm = space[0] + SAME_MM, space[1] + SAME_MM
        if width_mm < self._least[0] or length_mm < self._least[1]:
            return None
        fitting = (size for size in self._sizes(wish) if size[0] <= width_mm and size[1] <= length_mm)
        if wish in STEADY_WISHES:
            size = next(fitting, None)
        else:
            size = max(fitting, key=lambda each: (wish(each, space), each), default=None)
        return None if size is None else (self._taken(size), size)

    def _sizes(self, wish: Wish) -> Iterable[Size]:
        """The sizes there are, the one wished for most first where that is the same for every space."""
        if wish not in STEADY_WISHES:
            return self._by_size
        if wish not in self._ranked:
            nowhere = (0.0, 0.0)
            self._ranked[wish] = sorted(
                self._by_size, key=lambda each: (wish(each, nowhere), each), reverse=True
            )
        return self._ranked[wish]

    def _taken(self, size: Size) -> Block:
        blocks = self._by_size[size]
        block = blocks.pop(0)
        if not blocks:
            del self._by_size[size]
            for ranked in self._ranked.values():
                ranked.remove(size)
        return block


def rows_of(blocks: Iterable[Block], strip: Strip, rule: RowRule) -> Iterator[Row]:
    """Rows holding every block once, each opened by the longest block left."""
    heap = _Heap(blocks, strip.gap_mm)
    while length_mm := heap.longest_mm():
        yield _row(heap, strip.usable_width_mm + strip.gap_mm, length_mm, rule)


def _row(heap: _Heap, width_mm: float, length_mm: float, rule: RowRule) -> Row:
    found: list[tuple[Block, float, float]] = []
    spaces: list[Space] = [(0.0, 0.0, width_mm, length_mm)]
    while spaces:
        x_mm, y_mm, *space = spaces.pop()
        taken = heap.take((space[0], space[1]), rule.wish if found else _longest)
        if taken is None:
            continue
        block, size = taken
        found.append((block, x_mm, y_mm))
        spaces.extend(_left_over((x_mm, y_mm, space[0], space[1]), size, rule.split))
    return Row(length_mm=length_mm, blocks=tuple(found))


def _places(row: Row, start_mm: float) -> Iterator[PlacedPiece]:
    for block, x_mm, y_mm in row.blocks:
        for place in block.places:
            yield replace(place, x_mm=place.x_mm + x_mm, y_mm=place.y_mm + y_mm + start_mm)


def _left_over(space: Space, size: Size, split: Split) -> tuple[Space, ...]:
    """What is left beside and above a piece in the corner of a space: one straight cut parts them."""
    x_mm, y_mm, width_mm, length_mm = space
    beside_length_mm = size[1] if split == "layers" else length_mm
    above_width_mm = width_mm if split == "layers" else size[0]
    beside = (x_mm + size[0], y_mm, width_mm - size[0], beside_length_mm)
    above = (x_mm, y_mm + size[1], above_width_mm, length_mm - size[1])
    return (beside,) if split == "side by side" else (beside, above)


def good_stretches(strip: Strip) -> list[list[float]]:
    """Start and end of every flawless stretch along the cloth, a gap apart, the last one without an end."""
    stretches: list[list[float]] = []
    start_mm = 0.0
    for flaw in sorted(strip.flaws, key=lambda each: each.from_mm):
        if flaw.from_mm > start_mm:
            stretches.append([start_mm, flaw.from_mm])
        start_mm = max(start_mm, flaw.to_mm, flaw.from_mm + strip.gap_mm)
    return [*stretches, [start_mm, math.inf]]


def stacked_rows(rows: Sequence[Row], strip: Strip) -> list[PlacedPiece]:
    """Rows one after the other along the cloth, each in the first flawless stretch that holds it."""
    return [
        place
        for row, start_mm in zip(rows, row_starts_mm(rows, strip), strict=True)
        for place in _places(row, start_mm)
    ]


def rows_end_mm(rows: Sequence[Row], strip: Strip) -> float:
    """Where along the cloth the rows end; nought for no rows."""
    starts = zip(rows, row_starts_mm(rows, strip), strict=True)
    return max((start_mm + row.length_mm - strip.gap_mm for row, start_mm in starts), default=0.0)


def row_starts_mm(rows: Iterable[Row], strip: Strip) -> list[float]:
    """Where each row starts along the cloth."""
    stretches = good_stretches(strip)
    starts: list[float] = []
    for row in rows:
        stretch = next(
            each for each in stretches if each[0] + row.length_mm - strip.gap_mm <= each[1] + SAME_MM
        )
        starts.append(stretch[0])
        stretch[0] += row.length_mm
    return starts


def finished_rows(
    pieces: Sequence[LayPiece], strip: Strip, placements: Iterable[PlacedPiece], *, engine: str
) -> ClothLay:
    """The lay of rows, pieces to match moved on to the next whole repeat, which their blocks keep room for."""
    by_key = {piece.key: piece for piece in pieces}
    found = [_on_repeat(place, by_key[place.piece_key], strip) for place in placements]
    ends = (place.y_mm + outline_size_mm(by_key[place.piece_key].outline)[1] for place in found)
    return finished_lay(pieces, strip, found, end_mm=max(ends, default=0.0), engine=engine)


def _on_repeat(place: PlacedPiece, piece: LayPiece, strip: Strip) -> PlacedPiece:
    if not strip.matches(piece):
        return place
    repeats = math.ceil((place.y_mm - SAME_MM) / strip.repeat_mm)
    return replace(place, y_mm=repeats * strip.repeat_mm)


def lay_rows(pieces: Sequence[LayPiece], strip: Strip) -> ClothLay:
    """The shortest of several row lays of all the pieces together, every piece kept on its grain.

    Rows hold blocks of one or a few alike pieces pushed together, head to tail where they may turn and the cloth has
    no nap, with the strip's gap between pieces; lengths in mm. Raises PieceTooWide where a piece is wider than the
    strip, ClothTooShort where the strip is too short, ValueError where a piece has no size.
    Source: level packing with guillotine cuts, textbook method; its rules were chosen on our own trial lays.
    """
    maker = BlockMaker(pieces, strip)
    heaps = [maker.blocks(most_pieces) for most_pieces in BLOCK_SIZES]
    trials = (tuple(rows_of(blocks, strip, rule)) for blocks in heaps for rule in ROW_RULES)
    rows = min(trials, key=lambda trial: rows_end_mm(trial, strip))
    return finished_rows(pieces, strip, stacked_rows(rows, strip), engine=ENGINE)
