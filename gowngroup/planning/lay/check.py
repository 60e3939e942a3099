"""An independent look at a finished lay, on the true outlines and without trusting whoever made it."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from shapely import STRtree
from shapely.geometry import Polygon, box

from gowngroup.planning.geometry.polygon import is_simple_polygon
from gowngroup.planning.lay.outlines import Lay, Piece, placed
from gowngroup.planning.lay.values import ClothLay, LayPiece, PlacedPiece, Strip, placed_outline

FaultCode = Literal[
    "outline",
    "missing",
    "repeated",
    "unknown",
    "outside",
    "beyond",
    "overlap",
    "gap",
    "turned",
    "nap",
    "flaw",
    "repeat",
]

Placed = tuple[LayPiece, Polygon]


@dataclass(frozen=True, slots=True, kw_only=True)
class LayFault:
    """What is wrong with which pieces of a lay; `amount` is in mm, in mm² for an overlap, else a count."""

    code: FaultCode
    piece_names: tuple[str, ...]
    piece_keys: tuple[str, ...]
    amount: float


class LayHasFaults(Exception):
    """A lay that must not be cut; carries every fault found."""

    def __init__(self, faults: tuple[LayFault, ...]) -> None:
        super().__init__("; ".join(f"{each.code}: {', '.join(each.piece_names)}" for each in faults))
        self.faults = faults


def lay_faults(
    lay: ClothLay, pieces: Sequence[LayPiece], strip: Strip, *, tolerance_mm: float = 0.01
) -> tuple[LayFault, ...]:
    """Every fault of a lay; empty when it may be cut.

    Looks that each piece lies exactly once, inside the strip and the lay's own length, off every flaw, at least the
    gap from its neighbours, the right way up and, where its print must meet others, on a whole repeat; a turn other than by half cannot even be written in a placement, so
    the grain always runs along the length. `tolerance_mm` is the figure `lay_tolerance_mm` [derived].
    """
    by_key = {piece.key: piece for piece in pieces}
    faults = [*_bad_outlines(pieces), *_miscounted(lay, pieces, by_key)]
    if any(fault.code == "outline" for fault in faults):
        return tuple(faults)
    known = [place for place in lay.placements if place.piece_key in by_key]
    placed = [
        (by_key[place.piece_key], Polygon(placed_outline(by_key[place.piece_key], place))) for place in known
    ]
    return (
        *faults,
        *_out_of_bounds(placed, lay, strip, tolerance_mm),
        *_on_flaws(placed, strip, tolerance_mm),
        *_too_close(placed, strip.gap_mm, tolerance_mm),
        *_wrong_way_up(known, by_key, strip),
        *_off_repeat(known, by_key, strip, tolerance_mm),
    )


def outline_faults(
    lay: Lay,
    pieces: Sequence[Piece],
    *,
    strip_width_mm: float,
    gap_mm: float = 0.0,
    tolerance_share: float = 1e-6,
) -> tuple[str, ...]:
    """Ids of bare outlines laid too often, too seldom, off the strip or too near another; empty when all is well.

    `tolerance_share` is a share of the strip's width, lengths are in mm. Source: derived.
    """
    by_id = {piece.id: piece for piece in pieces}
    wanted = {piece.id: piece.quantity for piece in pieces}
    laid = Counter(place.id for place in lay.placements)
    tolerance_mm = strip_width_mm * tolerance_share
    polygons = [Polygon(placed(by_id[place.id], place)) for place in lay.placements]
    inside = (-tolerance_mm, -tolerance_mm, lay.length_mm + tolerance_mm, strip_width_mm + tolerance_mm)
    outside = [
        place.id
        for place, polygon in zip(lay.placements, polygons, strict=True)
        if not box(*inside).contains(polygon)
    ]
    near = [lay.placements[first].id for first, _ in near_pairs(polygons, gap_mm, tolerance_mm)]
    return (*(each for each in wanted if laid[each] != wanted[each]), *outside, *near)


def near_pairs(polygons: Sequence[Polygon], gap_mm: float, tolerance_mm: float) -> Iterator[tuple[int, int]]:
    """Pairs that overlap by more than a touch, or lie nearer than the gap."""
    if not polygons:
        return
    nearest_mm = max(gap_mm - tolerance_mm, 0.0)
    pairs = STRtree(polygons).query(polygons, predicate="dwithin", distance=nearest_mm).T.tolist()
    for first, second in sorted((one, two) for one, two in pairs if one < two):
        if gap_mm > tolerance_mm or overlap(polygons[first], polygons[second], tolerance_mm):
            yield first, second


def checked_lay(
    lay: ClothLay, pieces: Sequence[LayPiece], strip: Strip, *, tolerance_mm: float = 0.01
) -> ClothLay:
    """The lay itself when it has no fault; raises LayHasFaults otherwise."""
    faults = lay_faults(lay, pieces, strip, tolerance_mm=tolerance_mm)
    if faults:
        raise LayHasFaults(faults)
    return lay


def _fault(code: FaultCode, pieces: Iterable[LayPiece], amount: float) -> LayFault:
    ordered = sorted(pieces, key=lambda piece: piece.key)
    return LayFault(
        code=code,
        piece_names=tuple(f"{piece.name} {piece.number} of kit {piece.kit_key}" for piece in ordered),
        piece_keys=tuple(piece.key for piece in ordered),
        amount=amount,
    )


def _bad_outlines(pieces: Sequence[LayPiece]) -> Iterator[LayFault]:
    # Gowns of one kit share their outlines: each is looked at once.
    outlines = {id(piece.outline): piece.outline for piece in pieces}
    faulty = {key for key, outline in outlines.items() if not is_simple_polygon(outline)}
    for piece in pieces:
        if id(piece.outline) in faulty:
            yield _fault("outline", [piece], 0)


def _miscounted(
    lay: ClothLay, pieces: Sequence[LayPiece], by_key: Mapping[str, LayPiece]
) -> Iterator[LayFault]:
    wanted = Counter(piece.key for piece in pieces)
    laid = Counter(place.piece_key for place in lay.placements)
    for key, count in (wanted - laid).items():
        yield _fault("missing", [by_key[key]], count)
    for key, count in (laid - wanted).items():
        if key in by_key:
            yield _fault("repeated", [by_key[key]], count)
        else:
            yield LayFault(code="unknown", piece_names=(key,), piece_keys=(key,), amount=count)


def _out_of_bounds(
    placed: Iterable[Placed], lay: ClothLay, strip: Strip, tolerance_mm: float
) -> Iterator[LayFault]:
    if lay.length_mm > strip.length_mm + tolerance_mm:
        yield _fault("beyond", [], lay.length_mm - strip.length_mm)
    for piece, polygon in placed:
        left, bottom, right, top = polygon.bounds
        out_mm = max(-left, -bottom, right - strip.usable_width_mm, top - min(lay.length_mm, strip.length_mm))
        if out_mm > tolerance_mm:
            yield _fault("outside", [piece], out_mm)


def _on_flaws(placed: Iterable[Placed], strip: Strip, tolerance_mm: float) -> Iterator[LayFault]:
    for piece, polygon in placed:
        _, bottom, _, top = polygon.bounds
        for flaw in strip.flaws:
            shared_mm = min(top, flaw.to_mm) - max(bottom, flaw.from_mm)
            if shared_mm > tolerance_mm:
                yield _fault("flaw", [piece], shared_mm)


def _too_close(laid: Sequence[Placed], gap_mm: float, tolerance_mm: float) -> Iterator[LayFault]:
    """Pairs that overlap by more than a touch, or lie nearer than the gap."""
    polygons = [polygon for _, polygon in laid]
    for first, second in near_pairs(polygons, gap_mm, tolerance_mm):
        both = [laid[first][0], laid[second][0]]
        if overlap(polygons[first], polygons[second], tolerance_mm):
            yield _fault("overlap", both, polygons[first].intersection(polygons[second]).area)
        else:
            yield _fault("gap", both, polygons[first].distance(polygons[second]))


def overlap(one: Polygon, two: Polygon, tolerance_mm: float) -> bool:
    """Whether two outlines still meet after one of them has shrunk by the tolerance all round."""
    return bool(one.buffer(-tolerance_mm, join_style="mitre").intersects(two))


def _wrong_way_up(
    known: Sequence[PlacedPiece], by_key: Mapping[str, LayPiece], strip: Strip
) -> Iterator[LayFault]:
    turned = [by_key[place.piece_key] for place in known if place.is_turned]
    for piece in turned:
        if not piece.may_turn:
            yield _fault("turned", [piece], 1)
    if strip.has_nap and 0 < len(turned) < len(known):
        yield _fault("nap", turned, len(turned))


def _off_repeat(
    known: Sequence[PlacedPiece], by_key: Mapping[str, LayPiece], strip: Strip, tolerance_mm: float
) -> Iterator[LayFault]:
    """Pieces to match that do not start on a whole repeat of the print, or lie turned."""
    for place in known:
        piece = by_key[place.piece_key]
        if strip.matches(piece):
            off_mm = abs(math.remainder(place.y_mm, strip.repeat_mm))
            if off_mm > tolerance_mm or place.is_turned:
                yield _fault("repeat", [piece], off_mm)
