"""Pieces to cut, the strip of cloth they are cut from, and where each one lies."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from gowngroup.planning.geometry.path import Point
from gowngroup.planning.geometry.polygon import bounding_box_mm, signed_area_mm2

Outline = tuple[Point, ...]

# Lengths closer than this are the same length: a millionth of a millimetre is rounding, not cloth.
SAME_MM = 1e-6
# A piece that fills less of its box than this is a slanting strip and always lies among its like.
SLANTING_SHARE = 0.5


class PieceTooWide(Exception):
    """A piece is wider than the cloth between its selvedges."""

    def __init__(self, *, piece_name: str, kit_key: str, width_mm: float, usable_width_mm: float) -> None:
        super().__init__(
            f"{piece_name} of kit {kit_key} is {width_mm:.0f} mm wide; the cloth is {usable_width_mm:.0f} mm"
        )
        self.piece_name = piece_name
        self.kit_key = kit_key
        self.width_mm = width_mm
        self.usable_width_mm = usable_width_mm


class ClothTooShort(Exception):
    """The pieces need more length than the lot has."""

    def __init__(self, *, needed_mm: float, available_mm: float) -> None:
        super().__init__(f"the pieces need {needed_mm:.0f} mm of cloth; there are {available_mm:.0f} mm")
        self.needed_mm = needed_mm
        self.available_mm = available_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class LayPiece:
    """One piece to cut: its cutting outline in mm, x across the cloth and y along the grain.

    A matched piece must meet the print of the others: on cloth with a repeat it starts on a whole repeat.
    """

    key: str
    kit_key: str
    name: str
    number: int
    outline: Outline
    may_turn: bool = True
    is_matched: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Flaw:
    """A stretch of cloth, measured along its length, that no piece may touch."""

    from_mm: float
    to_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Strip:
    """Cloth laid flat between its selvedges; `length_mm` may be `math.inf` to ask how much would be needed.

    `repeat_mm` is the length after which a print comes again along the cloth, 0 for plain cloth.
    """

    usable_width_mm: float
    length_mm: float
    gap_mm: float = 0.0
    has_nap: bool = False
    flaws: tuple[Flaw, ...] = ()
    length_step_mm: float = 5.0
    repeat_mm: float = 0.0

    def may_turn(self, piece: LayPiece) -> bool:
        """Whether a piece may lie turned by half: not on a nap, and not where its print must meet others."""
        return piece.may_turn and not self.has_nap and not self.matches(piece)

    def matches(self, piece: LayPiece) -> bool:
        """Whether a piece must start on a whole repeat of this cloth."""
        return piece.is_matched and self.repeat_mm > 0


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedPiece:
    """The lower left corner of a piece's bounding box on the strip; turned means by half a turn."""

    piece_key: str
    x_mm: float
    y_mm: float
    is_turned: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class ClothLay:
    """Where every piece lies, the cloth it takes and the share of that cloth which ends up in pieces."""

    placements: tuple[PlacedPiece, ...]
    length_mm: float
    used_share: float
    engine: str


LayEngine = Callable[[Sequence[LayPiece], Strip], ClothLay]


def outline_area_mm2(outline: Outline) -> float:
    """Area of a simple closed outline in mm², whichever way round it runs."""
    return abs(signed_area_mm2(outline))


def outline_size_mm(outline: Outline) -> tuple[float, float]:
    """Width across and length along the cloth of an outline's bounding box in mm."""
    left, bottom, right, top = bounding_box_mm(outline)
    return right - left, top - bottom


def placed_outline(piece: LayPiece, placement: PlacedPiece) -> Outline:
    """The outline where it lies on the strip, turned by half a turn about its box if the placement says so."""
    left, bottom, right, top = bounding_box_mm(piece.outline)
    if placement.is_turned:
        return tuple((right - x + placement.x_mm, top - y + placement.y_mm) for x, y in piece.outline)
    return tuple((x - left + placement.x_mm, y - bottom + placement.y_mm) for x, y in piece.outline)


def pieces_area_mm2(pieces: Iterable[LayPiece]) -> float:
    """True area of all the pieces in mm²."""
    return sum(outline_area_mm2(piece.outline) for piece in pieces)


def least_length_mm(pieces: Iterable[LayPiece], usable_width_mm: float) -> float:
    """The area bound: no lay of these pieces can be shorter, because they would have to overlap."""
    return pieces_area_mm2(pieces) / usable_width_mm


def rounded_up_mm(length_mm: float, step_mm: float) -> float:
    """A length rounded up to whole steps, as one measures along a table."""
    return math.ceil((length_mm - SAME_MM) / step_mm) * step_mm


def finished_lay(
    pieces: Iterable[LayPiece], strip: Strip, placements: Iterable[PlacedPiece], *, end_mm: float, engine: str
) -> ClothLay:
    """A lay of these placements, its length rounded up but never beyond the cloth.

    Raises ClothTooShort where the placements end beyond the strip.
    """
    if end_mm > strip.length_mm + SAME_MM:
        raise ClothTooShort(
            needed_mm=rounded_up_mm(end_mm, strip.length_step_mm), available_mm=strip.length_mm
        )
    length_mm = min(rounded_up_mm(end_mm, strip.length_step_mm), strip.length_mm)
    cloth_mm2 = length_mm * strip.usable_width_mm
    return ClothLay(
        placements=tuple(sorted(placements, key=lambda place: (place.y_mm, place.x_mm, place.piece_key))),
        length_mm=length_mm,
        used_share=pieces_area_mm2(pieces) / cloth_mm2 if cloth_mm2 else 0.0,
        engine=engine,
    )
