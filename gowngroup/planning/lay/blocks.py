"""Pieces pushed together side by side until their true outlines touch: slanting strips, or head to tail."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

from gowngroup.planning.lay.nearness import nearest_mm
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
    placed_outline,
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
        self._grown_outlines: dict[Outline, Outline] = {}
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
        may_turn = self._strip.may_turn(piece)
        shapes = [
            _shape(piece, is_turned=is_turned) for is_turned in ((False, True) if may_turn else (False,))
        ]
        distances = [self._distance_mm(before.outline, shape.outline) for shape in shapes]
        nearest = min(range(len(shapes)), key=lambda number: (round(distances[number], 3), number))
        return shapes[nearest], distances[nearest]

    def _distance_mm(self, left: Outline, right: Outline) -> float:
        return nearest_mm(self._grown(left), self._grown(right))

    def _grown(self, outline: Outline) -> Outline:
        if outline not in self._grown_outlines:
            self._grown_outlines[outline] = swollen(outline, self._strip.gap_mm / 2)
        return self._grown_outlines[outline]

    def _reserve_mm(self, alike: Sequence[LayPiece]) -> float:
        """Length kept to move pieces to match to the next repeat: one repeat. Source: common practice, no source."""
        return self._strip.repeat_mm if self._strip.matches(alike[0]) else 0.0


def _shape(piece: LayPiece, *, is_turned: bool) -> _Shape:
    at_origin = PlacedPiece(piece_key=piece.key, x_mm=0.0, y_mm=0.0, is_turned=is_turned)
    return _Shape(piece=piece, outline=placed_outline(piece, at_origin), is_turned=is_turned)


def _block(chain: Sequence[_Link], reserve_mm: float = 0.0) -> Block:
    sizes = [outline_size_mm(shape.outline) for shape, _ in chain]
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
    width_mm, length_mm = outline_size_mm(piece.outline)
    if outline_area_mm2(piece.outline) < SLANTING_SHARE * width_mm * length_mm:
        return True, piece.is_matched, 0.0, 0.0
    return False, piece.is_matched, round(length_mm, 3), round(width_mm, 3)


# Longest first: whatever keeps clear of a piece then also keeps clear of the longer ones beyond it.
def _order(piece: LayPiece) -> tuple[tuple[bool, bool, float, float], float, str]:
    return _likeness(piece), -outline_size_mm(piece.outline)[1], piece.key


def refuse_piece(piece: LayPiece, strip: Strip) -> None:
    """Raise ValueError where a piece has no size, PieceTooWide where it is wider than the strip."""
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
