"""Pieces pushed together side by side until their true outlines touch: slanting strips, or head to tail."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

from shapely import Polygon

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
    """Pieces placed together, treated as one rectangle by the rows; the size holds no gap round it."""

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
    """Makes blocks for one strip, remembering how near to each other two outlines can be pushed."""

    def __init__(self, pieces: Iterable[LayPiece], strip: Strip) -> None:
        self._strip = strip
        self._nearness: dict[tuple[Outline, Outline], float] = {}
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
        for piece in alike:
            longer = self._longer(chain, piece)
            if chain and (len(chain) == most_pieces or _block(longer).width_mm > self._strip.usable_width_mm):
                yield _block(chain)
                longer = self._longer([], piece)
            chain = longer
        yield _block(chain)

    def _longer(self, chain: Sequence[_Link], piece: LayPiece) -> list[_Link]:
        if not chain:
            return [(_shape(piece, is_turned=False), 0.0)]
        last, at_mm = chain[-1]
        shape, distance_mm = self._next_to(last, piece)
        return [*chain, (shape, at_mm + distance_mm)]

    def _next_to(self, before: _Shape, piece: LayPiece) -> tuple[_Shape, float]:
        """The piece turned whichever way lets it lie nearest, and its distance from the one before."""
        may_turn = piece.may_turn and not self._strip.has_nap
        shapes = [
            _shape(piece, is_turned=is_turned) for is_turned in ((False, True) if may_turn else (False,))
        ]
        distances = [self._distance_mm(before.outline, shape.outline) for shape in shapes]
        nearest = min(range(len(shapes)), key=lambda number: (round(distances[number], 3), number))
        return shapes[nearest], distances[nearest]

    def _distance_mm(self, left: Outline, right: Outline) -> float:
        key = (left, right)
        if key not in self._nearness:
            gap_mm = self._strip.gap_mm
            self._nearness[key] = nearest_mm(_swollen(left, gap_mm / 2), _swollen(right, gap_mm / 2))
        return self._nearness[key]


def nearest_mm(left: Outline, right: Outline) -> float:
    """How far right of one outline's origin the other's must lie so that they just touch, neither moved lengthwise.

    The greatest reach of the left outline into the right one at any height; between two corners both sides run
    straight, so only the corners' heights need to be looked at. Lengths in mm. Source: derived.
    """
    heights = {y for _, y in (*left, *right)}
    reaches = [
        max(across_left) - min(across_right)
        for y_mm in heights
        if (across_left := _crossings(left, y_mm)) and (across_right := _crossings(right, y_mm))
    ]
    return max(reaches, default=0.0)


def _crossings(outline: Outline, y_mm: float) -> list[float]:
    """Where an outline crosses or touches a level."""
    found: list[float] = []
    for (x_0, y_0), (x_1, y_1) in zip(outline, (*outline[1:], outline[0]), strict=True):
        if y_0 == y_1 == y_mm:
            found += [x_0, x_1]
        elif min(y_0, y_1) <= y_mm <= max(y_0, y_1):
            found.append(x_0 + (x_1 - x_0) * (y_mm - y_0) / (y_1 - y_0))
    return found


def _swollen(outline: Outline, by_mm: float) -> Outline:
    if by_mm < SAME_MM:
        return outline
    swollen = Polygon(outline).buffer(by_mm, join_style="mitre")
    return tuple((x, y) for x, y, *_ in swollen.exterior.coords[:-1])


def _shape(piece: LayPiece, *, is_turned: bool) -> _Shape:
    at_origin = PlacedPiece(piece_key=piece.key, x_mm=0.0, y_mm=0.0, is_turned=is_turned)
    return _Shape(piece=piece, outline=placed_outline(piece, at_origin), is_turned=is_turned)


def _block(chain: Sequence[_Link]) -> Block:
    sizes = [outline_size_mm(shape.outline) for shape, _ in chain]
    left_mm = min(x_mm for _, x_mm in chain)
    return Block(
        width_mm=max(x_mm + width for (_, x_mm), (width, _) in zip(chain, sizes, strict=True)) - left_mm,
        length_mm=max(length for _, length in sizes),
        places=tuple(
            PlacedPiece(piece_key=shape.piece.key, x_mm=x_mm - left_mm, y_mm=0.0, is_turned=shape.is_turned)
            for shape, x_mm in chain
        ),
    )


def _likeness(piece: LayPiece) -> tuple[bool, float, float]:
    """Slanting strips are all alike; other pieces are when their boxes are."""
    width_mm, length_mm = outline_size_mm(piece.outline)
    if outline_area_mm2(piece.outline) < SLANTING_SHARE * width_mm * length_mm:
        return True, 0.0, 0.0
    return False, round(length_mm, 3), round(width_mm, 3)


# Longest first: whatever keeps clear of a piece then also keeps clear of the longer ones beyond it.
def _order(piece: LayPiece) -> tuple[tuple[bool, float, float], float, str]:
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
