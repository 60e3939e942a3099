"""The values of the stable door: bare outlines in, turned and shifted outlines out, one documented error."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from numbers import Integral, Real
from typing import Literal

from shapely import Polygon

from gowngroup.planning.geometry.polygon import bounding_box_mm, is_simple_polygon, signed_area_mm2
from gowngroup.planning.lay.values import Outline

ReasonCode = Literal[
    "strip",
    "gap",
    "seconds",
    "seed",
    "no_piece",
    "id",
    "outline",
    "quantity",
    "turns",
    "repeated",
    "too_wide",
    "too_many",
]

# More copies than any cutting table sees; far more would fill the machine's memory before anything is laid.
MOST_COPIES = 100_000
# A thousand kilometres in mm: beyond it sums overflow.
MOST_MM = 1e9
# A day, as far as a child can be timed.
MOST_SECONDS = 86_400

_SENTENCES: dict[ReasonCode, str] = {
    "strip": "the strip needs a width in mm that is a number above nought, at most 1e9",
    "gap": "the gap in mm must be a number that is not below nought, at most 1e9",
    "seconds": f"the seconds must be a number, at most {MOST_SECONDS:,}",
    "seed": "the seed must be a whole number that is not below nought",
    "no_piece": "this is no Piece",
    "id": "its id must be text or a whole number",
    "outline": "its outline crosses itself, encloses nothing or holds something that is no number",
    "quantity": "its quantity must be a whole number above nought",
    "turns": "it needs at least one allowed turn, each a number of degrees",
    "repeated": "another piece has the same id",
    "too_wide": "it is wider than the strip in every turn allowed",
    "too_many": f"there are more than {MOST_COPIES:,} pieces in all; lay them in several parts",
}


class CannotLay(ValueError):
    """Outlines that cannot be laid; `reason` is a code, `piece_id` names the piece, or is None for the strip."""

    def __init__(self, reason: ReasonCode, piece_id: str | None = None) -> None:
        what = "" if piece_id is None else f"piece {piece_id}: "
        super().__init__(what + _SENTENCES[reason])
        self.reason = reason
        self.piece_id = piece_id


@dataclass(frozen=True, slots=True)
class Piece:
    """An outline in mm, grain along +x, cut `quantity` times at any of the allowed turns in degrees."""

    id: str
    outline: Outline
    quantity: int = 1
    turns: tuple[float, ...] = (0.0,)


@dataclass(frozen=True, slots=True)
class Placement:
    """One copy: its outline turned counter-clockwise about the origin by `turn` degrees, then shifted in mm."""

    id: str
    turn: float
    x_mm: float
    y_mm: float


@dataclass(frozen=True, slots=True)
class Lay:
    """One placement per copy on a strip along x, its width along y from 0; `share_used` counts true area."""

    placements: tuple[Placement, ...]
    length_mm: float
    share_used: float


def turned(outline: Outline, turn: float) -> Outline:
    """The outline turned counter-clockwise about the origin; quarter turns are exact."""
    quarters, rest = divmod(turn % 360.0, 90.0)
    cos, sin = ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))[int(quarters) % 4]
    if rest:
        cos, sin = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    return tuple((x * cos - y * sin, x * sin + y * cos) for x, y in outline)


def placed(piece: Piece, placement: Placement) -> Outline:
    """The outline of a piece where it lies."""
    return tuple((x + placement.x_mm, y + placement.y_mm) for x, y in turned(piece.outline, placement.turn))


def total_area_mm2(pieces: Sequence[Piece]) -> float:
    """True area of every copy."""
    return sum(abs(signed_area_mm2(piece.outline)) * piece.quantity for piece in pieces)


def lay_of(pieces: Sequence[Piece], placements: Sequence[Placement], strip_width_mm: float) -> Lay:
    """The lay these placements make, as long as the piece that reaches furthest."""
    by_id = {piece.id: piece for piece in pieces}
    length_mm = max(
        (x for place in placements for x, _ in placed(by_id[place.id], place)),
        default=0.0,
    )
    cloth_mm2 = length_mm * strip_width_mm
    return Lay(
        placements=tuple(
            sorted(placements, key=lambda each: (each.x_mm, each.y_mm, str(each.id), each.turn))
        ),
        length_mm=length_mm,
        share_used=total_area_mm2(pieces) / cloth_mm2 if cloth_mm2 else 0.0,
    )


def tidied(
    pieces: Iterable[Piece], *, strip_width_mm: float, gap_mm: float, seconds: float, seed: int
) -> tuple[Piece, ...]:
    """The same pieces in plain tuples of numbers. Raises CannotLay for the first thing that no lay can be made of."""
    lawful: dict[ReasonCode, bool] = {
        "strip": _is_number(strip_width_mm) and 0 < strip_width_mm <= MOST_MM,
        "gap": _is_number(gap_mm) and 0 <= gap_mm <= MOST_MM,
        "seconds": _is_number(seconds) and seconds <= MOST_SECONDS,
        "seed": _is_whole(seed) and seed >= 0,
    }
    for reason, is_lawful in lawful.items():
        if not is_lawful:
            raise CannotLay(reason)
    if not isinstance(pieces, Iterable):
        raise CannotLay("no_piece", repr(pieces))
    found = tuple(_tidied(piece, strip_width_mm) for piece in pieces)
    for each, count in Counter(str(piece.id) for piece in found).items():
        if count > 1:
            raise CannotLay("repeated", each)
    if sum(piece.quantity for piece in found) > MOST_COPIES:
        raise CannotLay("too_many")
    return found


def _tidied(piece: object, strip_width_mm: float) -> Piece:
    if not isinstance(piece, Piece):
        raise CannotLay("no_piece", repr(piece))
    if not isinstance(piece.id, str | int):
        raise CannotLay("id", repr(piece.id))
    outline, turns = _points(piece.outline), _floats(piece.turns)
    if not is_simple_polygon(outline) or Polygon(outline).area <= 0:
        raise CannotLay("outline", piece.id)
    if not (_is_whole(piece.quantity) and piece.quantity >= 1):
        raise CannotLay("quantity", piece.id)
    if not turns or not all(math.isfinite(turn) for turn in turns):
        raise CannotLay("turns", piece.id)
    tidy = replace(piece, outline=outline, quantity=int(piece.quantity), turns=turns)
    if not fitting_turns(tidy, strip_width_mm):
        raise CannotLay("too_wide", piece.id)
    return tidy


def _is_number(value: object) -> bool:
    """Whether this is a number that a float can hold."""
    with suppress(OverflowError):
        return isinstance(value, Real) and math.isfinite(float(value))
    return False


def _is_whole(value: object) -> bool:
    return isinstance(value, Integral) or (
        isinstance(value, Real) and _is_number(value) and float(value).is_integer()
    )


def _points(outline: Iterable[Iterable[float]]) -> Outline:
    """The corners as pairs of numbers; none where one of them is no such pair."""
    try:
        return tuple((float(x), float(y)) for x, y in outline)
    except (TypeError, ValueError):
        return ()


def _floats(values: Iterable[float]) -> tuple[float, ...]:
    """The values as numbers; none where one of them is no number."""
    try:
        return tuple(float(each) for each in values)
    except (TypeError, ValueError):
        return ()


def fitting_turns(piece: Piece, strip_width_mm: float) -> tuple[float, ...]:
    """The allowed turns in which a piece is no wider than the strip."""
    return tuple(
        turn for turn in piece.turns if _width_mm(turned(piece.outline, turn)) <= strip_width_mm * (1 + 1e-9)
    )


def _width_mm(outline: Outline) -> float:
    _, low, _, high = bounding_box_mm(outline)
    return high - low
