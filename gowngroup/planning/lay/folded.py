"""Cloth folded lengthwise, selvedge on selvedge: what is cut from one half is cut from the other at the same time."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import replace

from gowngroup.planning.geometry.polygon import bounding_box_mm
from gowngroup.planning.lay.kit_by_kit import cloth_from, next_start_mm
from gowngroup.planning.lay.values import (
    ClothLay,
    LayEngine,
    LayPiece,
    PlacedPiece,
    Strip,
    finished_lay,
    outline_size_mm,
)

ENGINE = "folded"
# Corners as near as this are the same corner; the grid lies off round numbers, which drafts are full of.
_GRID_MM, _OFF_ROUND = 0.01, 0.37

Twins = tuple[LayPiece, LayPiece]
_Shape = tuple[frozenset[tuple[int, int]], bool, bool]


def folded(engine: LayEngine) -> LayEngine:
    """An engine that lays pieces in pairs on cloth folded down the middle, then what has no twin on the open cloth.

    Twins are mirror images of each other, as a left and a right front are, or two alike that are their own mirror
    image. One of them is laid on the half from the selvedge at 0; the other lies as its mirror image in the fold, so
    that the lay is a lay of the open cloth like any other. What is wider than the half, or has no twin, follows
    behind the folded stretch. Lengths in mm. Raises what the engine raises.
    Source: common practice, no source.
    """

    def lay_folded(pieces: Sequence[LayPiece], strip: Strip) -> ClothLay:
        half = replace(cloth_from(strip, 0.0), usable_width_mm=_half_mm(strip))
        pairs, singles = twins(pieces, widest_mm=half.usable_width_mm)
        placements, end_mm = _laid_in_pairs(pairs, half, strip, engine)
        if singles:
            start_mm = next_start_mm(end_mm + strip.gap_mm, strip) if pairs else 0.0
            rest = engine(singles, cloth_from(strip, start_mm))
            placements += [replace(each, y_mm=each.y_mm + start_mm) for each in rest.placements]
            end_mm = start_mm + rest.length_mm
        return finished_lay(pieces, strip, placements, end_mm=end_mm, engine=ENGINE)

    return lay_folded


def folded_stretch_mm(pieces: Sequence[LayPiece], strip: Strip, lay: ClothLay) -> float:
    """How far along the cloth a lay is cut from two layers, in mm; 0 where the cloth was not folded for it."""
    if lay.engine != ENGINE:
        return 0.0
    keys = {piece.key for pair in twins(pieces, widest_mm=_half_mm(strip))[0] for piece in pair}
    by_key = {piece.key: piece for piece in pieces}
    ends = (
        place.y_mm + outline_size_mm(by_key[place.piece_key].outline)[1]
        for place in lay.placements
        if place.piece_key in keys
    )
    return max(ends, default=0.0)


def _half_mm(strip: Strip) -> float:
    return (strip.usable_width_mm - strip.gap_mm) / 2


def _laid_in_pairs(
    pairs: Sequence[Twins], half: Strip, strip: Strip, engine: LayEngine
) -> tuple[list[PlacedPiece], float]:
    """One of each pair on the half, the other across the fold; and where they end."""
    if not pairs:
        return [], 0.0
    lay = engine([one for one, _ in pairs], half)
    found = {place.piece_key: place for place in lay.placements}
    placements: list[PlacedPiece] = []
    for one, other in pairs:
        place, width_mm = found[one.key], outline_size_mm(one.outline)[0]
        mirrored_mm = strip.usable_width_mm - place.x_mm - width_mm
        placements += [place, replace(place, piece_key=other.key, x_mm=mirrored_mm)]
    return placements, lay.length_mm


def twins(pieces: Iterable[LayPiece], *, widest_mm: float) -> tuple[list[Twins], list[LayPiece]]:
    """Pieces in pairs of mirror images no wider than this in mm, first those of one kit; and those left over."""
    pairs: list[Twins] = []
    singles = [piece for piece in pieces if outline_size_mm(piece.outline)[0] > widest_mm]
    narrow = [piece for piece in pieces if outline_size_mm(piece.outline)[0] <= widest_mm]
    kits: dict[str, list[LayPiece]] = {}
    for piece in narrow:
        kits.setdefault(piece.kit_key, []).append(piece)
    left = [single for kit in kits.values() for single in _paired(kit, pairs)]
    return pairs, [*singles, *_paired(left, pairs)]


def _paired(pieces: Iterable[LayPiece], pairs: list[Twins]) -> list[LayPiece]:
    """Put every piece that finds its twin among the pairs; gives those that find none."""
    waiting: dict[_Shape, list[LayPiece]] = {}
    for piece in pieces:
        alike = waiting.get(_shape(piece, is_mirrored=True))
        if alike:
            pairs.append((alike.pop(), piece))
        else:
            waiting.setdefault(_shape(piece, is_mirrored=False), []).append(piece)
    return [piece for alike in waiting.values() for piece in alike]


def _shape(piece: LayPiece, *, is_mirrored: bool) -> _Shape:
    """What two pieces share that lie alike, one of them seen in a mirror or not."""
    left, bottom, right, _ = bounding_box_mm(piece.outline)
    corners = frozenset(
        (_grid(right - x if is_mirrored else x - left), _grid(y - bottom)) for x, y in piece.outline
    )
    return corners, piece.may_turn, piece.is_matched


def _grid(length_mm: float) -> int:
    return math.floor(length_mm / _GRID_MM + _OFF_ROUND)
