"""Pieces pushed together side by side until their true outlines touch: slanting strips, or head to tail."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import groupby

from gowngroup.planning.geometry.polygon import bounding_box_mm
from gowngroup.planning.lay.nearness import OUTLINES_REMEMBERED, nearest_mm
from gowngroup.planning.lay.swelling import swollen
from gowngroup.planning.lay.values import (
    SAME_MM,
    LayPiece,
    Outline,
    PieceTooWide,
    PlacedPiece,
    Strip,
    outline_area_mm2,
    outline_size_mm,
)

# A piece that fills less of its box than this is a slanting strip and always lies among its like.
SLANTING_SHARE = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """Pieces placed together, treated as one rectangle by the rows; the size holds no gap round it.

    Pieces to match have one repeat more length, so that they can be moved to the next repeat where they lie.
    """

    width_mm: float
    length_mm: float
    places: tuple[PlacedPiece, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Shape:
    """A piece as it would lie at the origin, right way up or turned."""

    piece: LayPiece
    outline: Outline
    is_turned: bool


_Link = tuple[_Shape, float]


class BlockMaker:
    """Makes blocks for one strip, each outline grown by half the gap."""

    def __init__(self, pieces: Iterable[LayPiece], strip: Strip) -> None:
        self._strip = strip
        self._nearest: dict[tuple[Outline, Outline, bool], tuple[bool, float]] = {}
        self._pieces = sorted(pieces, key=_order)
        for piece in self._pieces:
            refuse_piece(piece, strip)

    def blocks(self, most_pieces: int) -> list[Block]:
        """Every piece once, up to `most_pieces` alike in a block; slanting strips in blocks as wide as the cloth."""
        return [
            block
            for (is_slanting, *_), alike in groupby(self._pieces, key=_likeness)
            for block in self._chained(list(alike), len(self._pieces) if is_slanting else most_pieces)
        ]

    def _chained(self, alike: Sequence[LayPiece], most_pieces: int) -> Iterator[Block]:
        chain: list[_Link] = []
        reserve_mm = self._reserve_mm(alike)
        for piece in alike:
            longer = self._longer(chain, piece)
            if chain and (len(chain) == most_pieces or _block(longer).width_mm > self._strip.usable_width_mm):
                yield _block(chain, reserve_mm)
                longer = self._longer([], piece)
            chain = longer
        yield _block(chain, reserve_mm)

    def _longer(self, chain: Sequence[_Link], piece: LayPiece) -> list[_Link]:
        if not chain:
            return [(_shape(piece, is_turned=False), 0.0)]
        last, at_mm = chain[-1]
        shape, distance_mm = self._next_to(last, piece)
        return [*chain, (shape, at_mm + distance_mm)]

    def _next_to(self, before: _Shape, piece: LayPiece) -> tuple[_Shape, float]:
        """The piece turned whichever way lets it lie nearest, and its distance from the one before."""
        pair = (before.outline, piece.outline, self._strip.may_turn(piece))
        if pair not in self._nearest:
            self._nearest[pair] = self._nearest_turn(*pair)
        is_turned, distance_mm = self._nearest[pair]
        return _shape(piece, is_turned=is_turned), distance_mm

    def _nearest_turn(self, before: Outline, outline: Outline, may_turn: bool) -> tuple[bool, float]:
        turns = (False, True) if may_turn else (False,)
        distances = [
            (self._distance_mm(before, _lying(outline, is_turned)), is_turned) for is_turned in turns
        ]
        distance_mm, is_turned = min(distances, key=lambda each: (round(each[0], 3), each[1]))
        return is_turned, distance_mm

    def _distance_mm(self, left: Outline, right: Outline) -> float:
        half_mm = self._strip.gap_mm / 2
        return nearest_mm(swollen(left, half_mm), swollen(right, half_mm))

    def _reserve_mm(self, alike: Sequence[LayPiece]) -> float:
        """Length kept to move pieces to match to the next repeat: one repeat. Source: common practice, no source."""
        return self._strip.repeat_mm if self._strip.matches(alike[0]) else 0.0


def _shape(piece: LayPiece, *, is_turned: bool) -> _Shape:
    outline = _lying(piece.outline, is_turned)
    return _Shape(piece=piece, outline=outline, is_turned=is_turned)


@lru_cache(maxsize=OUTLINES_REMEMBERED)
def _lying(outline: Outline, is_turned: bool) -> Outline:
    """The outline with its box's corner at the origin, right way up or turned."""
    left, bottom, right, top = bounding_box_mm(outline)
    if is_turned:
        return tuple((right - x, top - y) for x, y in outline)
    return tuple((x - left, y - bottom) for x, y in outline)


@lru_cache(maxsize=OUTLINES_REMEMBERED)
def _size_mm(outline: Outline) -> tuple[float, float]:
    return outline_size_mm(outline)


def _block(chain: Sequence[_Link], reserve_mm: float = 0.0) -> Block:
    sizes = [_size_mm(shape.outline) for shape, _ in chain]
    left_mm = min(x_mm for _, x_mm in chain)
    return Block(
        width_mm=max(x_mm + width for (_, x_mm), (width, _) in zip(chain, sizes, strict=True)) - left_mm,
        length_mm=max(length for _, length in sizes) + reserve_mm,
        places=tuple(
            PlacedPiece(piece_key=shape.piece.key, x_mm=x_mm - left_mm, y_mm=0.0, is_turned=shape.is_turned)
            for shape, x_mm in chain
        ),
    )


def _likeness(piece: LayPiece) -> tuple[bool, bool, float, float]:
    """Slanting strips are all alike; other pieces are when their boxes are; pieces to match only among their like."""
    if _is_slanting(piece.outline):
        return True, piece.is_matched, 0.0, 0.0
    width_mm, length_mm = _size_mm(piece.outline)
    return False, piece.is_matched, round(length_mm, 3), round(width_mm, 3)


@lru_cache(maxsize=OUTLINES_REMEMBERED)
def _is_slanting(outline: Outline) -> bool:
    width_mm, length_mm = outline_size_mm(outline)
    return outline_area_mm2(outline) < SLANTING_SHARE * width_mm * length_mm


# Longest first: whatever keeps clear of a piece then also keeps clear of the longer ones beyond it.
def _order(piece: LayPiece) -> tuple[tuple[bool, bool, float, float], float, str]:
    return _likeness(piece), -_size_mm(piece.outline)[1], piece.key


def refuse_piece(piece: LayPiece, strip: Strip) -> None:
    """Raise ValueError where a piece has no size, PieceTooWide where it is wider than the strip."""
    width_mm, length_mm = _size_mm(piece.outline)
    if not 0 < width_mm * length_mm < math.inf:
        raise ValueError(f"{piece.name} of kit {piece.kit_key} has no size")
    if width_mm > strip.usable_width_mm + SAME_MM:
        raise PieceTooWide(
            piece_name=piece.name,
            kit_key=piece.kit_key,
            width_mm=width_mm,
            usable_width_mm=strip.usable_width_mm,
        )
