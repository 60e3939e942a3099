"""Pieces pushed together side by side until their true outlines touch: slanting strips, or head to tail."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import groupby
from typing import NamedTuple

from gowngroup.planning.geometry.polygon import bounding_box_mm
from gowngroup.planning.lay.nearness import OUTLINES_REMEMBERED, PAIRS_REMEMBERED, nearest_mm
from gowngroup.planning.lay.swelling import swollen
from gowngroup.planning.lay.values import (
    SAME_MM,
    SLANTING_SHARE,
    LayPiece,
    Outline,
    PieceTooWide,
    PlacedPiece,
    Strip,
    outline_area_mm2,
    outline_size_mm,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """Pieces placed together, treated as one rectangle by the rows; the size holds no gap round it.

    Pieces to match have one repeat more length, so that they can be moved to the next repeat where they lie.
    """

    width_mm: float
    length_mm: float
    places: tuple[PlacedPiece, ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Shape:
    """An outline with the corner of its box at the origin; one object for one outline, so that none is looked through."""

    outline: Outline
    size_mm: tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Form:
    """An outline right way up and turned, its size, and whether it is a slanting strip."""

    size_mm: tuple[float, float]
    is_slanting: bool
    upright: _Shape
    turned: _Shape


class _Item(NamedTuple):
    """A piece and its form."""

    piece: LayPiece
    form: _Form


class _Link(NamedTuple):
    """A piece in a chain: how far across it lies, and which way up."""

    item: _Item
    x_mm: float
    is_turned: bool

    @property
    def shape(self) -> _Shape:
        return self.item.form.turned if self.is_turned else self.item.form.upright


class BlockMaker:
    """Makes blocks for one strip, each outline grown by half the gap."""

    def __init__(self, pieces: Sequence[LayPiece], strip: Strip) -> None:
        self._strip = strip
        # Pieces of one kit share their outlines: each is looked through once.
        forms = {id(piece.outline): _form(piece.outline) for piece in pieces}
        items = (_Item(piece, forms[id(piece.outline)]) for piece in pieces)
        self._items = sorted(items, key=_order)
        for item in self._items:
            _refuse_size(item.piece, item.form.size_mm, strip)

    def blocks(self, most_pieces: int) -> list[Block]:
        """Every piece once, up to `most_pieces` alike in a block; slanting strips in blocks as wide as the cloth."""
        return [
            block
            for (is_slanting, *_), alike in groupby(self._items, key=_likeness)
            for block in self._chained(list(alike), len(self._items) if is_slanting else most_pieces)
        ]

    def _chained(self, alike: Sequence[_Item], most_pieces: int) -> Iterator[Block]:
        chain: list[_Link] = []
        reserve_mm = self._reserve_mm(alike[0].piece)
        for item in alike:
            longer = self._longer(chain, item)
            if chain and (len(chain) == most_pieces or _block(longer).width_mm > self._strip.usable_width_mm):
                yield _block(chain, reserve_mm)
                longer = self._longer([], item)
            chain = longer
        yield _block(chain, reserve_mm)

    def _longer(self, chain: Sequence[_Link], item: _Item) -> list[_Link]:
        """The chain with one more piece, turned whichever way lets it lie nearest."""
        if not chain:
            return [_Link(item, 0.0, is_turned=False)]
        last = chain[-1]
        may_turn = self._strip.may_turn(item.piece)
        is_turned, distance_mm = _nearest_turn(last.shape, item.form, may_turn, self._strip.gap_mm / 2)
        return [*chain, _Link(item, last.x_mm + distance_mm, is_turned)]

    def _reserve_mm(self, piece: LayPiece) -> float:
        """Length kept to move pieces to match to the next repeat: one repeat. Source: common practice, no source."""
        return self._strip.repeat_mm if self._strip.matches(piece) else 0.0


@lru_cache(maxsize=OUTLINES_REMEMBERED)
def _form(outline: Outline) -> _Form:
    left, bottom, right, top = bounding_box_mm(outline)
    width_mm, length_mm = right - left, top - bottom
    return _Form(
        size_mm=(width_mm, length_mm),
        is_slanting=outline_area_mm2(outline) < SLANTING_SHARE * width_mm * length_mm,
        upright=_shape(tuple((x - left, y - bottom) for x, y in outline)),
        turned=_shape(tuple((right - x, top - y) for x, y in outline)),
    )


def _shape(outline: Outline) -> _Shape:
    return _Shape(outline=outline, size_mm=outline_size_mm(outline))


@lru_cache(maxsize=PAIRS_REMEMBERED)
def _nearest_turn(before: _Shape, form: _Form, may_turn: bool, grown_mm: float) -> tuple[bool, float]:
    """Which way up a piece may lie nearest to the one before, and how far from it."""
    shapes = [(False, form.upright), (True, form.turned)] if may_turn else [(False, form.upright)]
    left = swollen(before.outline, grown_mm)
    distances = [
        (nearest_mm(left, swollen(shape.outline, grown_mm)), is_turned) for is_turned, shape in shapes
    ]
    distance_mm, is_turned = min(distances, key=lambda each: (round(each[0], 3), each[1]))
    return is_turned, distance_mm


def _block(chain: Sequence[_Link], reserve_mm: float = 0.0) -> Block:
    left_mm = min(link.x_mm for link in chain)
    return Block(
        width_mm=max(link.x_mm + link.shape.size_mm[0] for link in chain) - left_mm,
        length_mm=max(link.shape.size_mm[1] for link in chain) + reserve_mm,
        places=tuple(
            PlacedPiece(
                piece_key=link.item.piece.key, x_mm=link.x_mm - left_mm, y_mm=0.0, is_turned=link.is_turned
            )
            for link in chain
        ),
    )


def _likeness(item: _Item) -> tuple[bool, bool, float, float]:
    """Slanting strips are all alike; other pieces are when their boxes are; pieces to match only among their like."""
    if item.form.is_slanting:
        return True, item.piece.is_matched, 0.0, 0.0
    width_mm, length_mm = item.form.size_mm
    return False, item.piece.is_matched, round(length_mm, 3), round(width_mm, 3)


# Longest first: whatever keeps clear of a piece then also keeps clear of the longer ones beyond it.
def _order(item: _Item) -> tuple[tuple[bool, bool, float, float], float, str]:
    return _likeness(item), -item.form.size_mm[1], item.piece.key


def refuse_piece(piece: LayPiece, strip: Strip) -> None:
    """Raise ValueError where a piece has no size, PieceTooWide where it is wider than the strip."""
    _refuse_size(piece, outline_size_mm(piece.outline), strip)


def _refuse_size(piece: LayPiece, size_mm: tuple[float, float], strip: Strip) -> None:
    width_mm, length_mm = size_mm
    if not 0 < width_mm * length_mm < math.inf:
        raise ValueError(f"{piece.name} of kit {piece.kit_key} has no size")
    if width_mm > strip.usable_width_mm + SAME_MM:
        raise PieceTooWide(
            piece_name=piece.name,
            kit_key=piece.kit_key,
            width_mm=width_mm,
            usable_width_mm=strip.usable_width_mm,
        )
