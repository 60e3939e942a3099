"""The nesting engine for the pieces of kits: sub-lays of a few gowns each, compacted and chained along the cloth."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from itertools import chain

from gowngroup.planning.lay.bridge import Alike, alike_pieces, asked, cloth_lay
from gowngroup.planning.lay.compaction import nest_compactly
from gowngroup.planning.lay.nesting import NestingFailed
from gowngroup.planning.lay.outlines import Placement, lay_of
from gowngroup.planning.lay.sequence_lay import lay_sequence
from gowngroup.planning.lay.values import ClothLay, LayPiece, Strip

ENGINE = "nested"
# The engine does best on lays of about six gowns; with the smocked yoke gown's pieces these are about ninety.
MOST_PIECES = 90
CHILDREN = 2


def lay_nested(pieces: Sequence[LayPiece], strip: Strip, *, seconds: float = 10.0, seed: int = 1) -> ClothLay:
    """Sub-lays nested on true outlines, two at a time within so many seconds in all, compacted and chained along the cloth.

    Where nesting fails, and on cloth with flaws or with pieces to match, the deterministic lay instead. Lengths in
    mm. Not the same lay every time: store it. Raises PieceTooWide, ClothTooShort, and ValueError where a piece has no
    size. Source: spyrrow.
    """
    if strip.flaws or strip.repeat_mm or not pieces:
        return lay_sequence(pieces, strip)
    heaps = [_named(alike_pieces(heap, strip), number) for number, heap in enumerate(_sub_lays(pieces))]
    try:
        found = _nested(heaps, strip, seconds, seed)
    except NestingFailed:
        return lay_sequence(pieces, strip)
    groups = tuple(chain.from_iterable(heaps))
    return cloth_lay(groups, _chained(heaps, found, strip.gap_mm), strip, engine=ENGINE)


def _named(groups: Sequence[Alike], number: int) -> tuple[Alike, ...]:
    """The groups of one sub-lay, told from those of the others."""
    return tuple(group._replace(bare=replace(group.bare, id=f"{number}/{group.bare.id}")) for group in groups)


def _sub_lays(pieces: Sequence[LayPiece]) -> list[list[LayPiece]]:
    """Whole kits in the order of their keys, in heaps of about equal size."""
    kits: dict[str, list[LayPiece]] = {}
    for piece in sorted(pieces, key=lambda each: (each.kit_key, each.key)):
        kits.setdefault(piece.kit_key, []).append(piece)
    wanted = len(pieces) / math.ceil(len(pieces) / MOST_PIECES)
    heaps: list[list[LayPiece]] = [[]]
    for kit in kits.values():
        if heaps[-1] and len(heaps[-1]) + len(kit) / 2 > wanted:
            heaps.append([])
        heaps[-1].extend(kit)
    return heaps


def _nested(
    heaps: Sequence[tuple[Alike, ...]], strip: Strip, seconds: float, seed: int
) -> list[tuple[Placement, ...]]:
    """Two sub-lays at a time with one thread each; a single one has all cores."""
    each_seconds = seconds / math.ceil(len(heaps) / CHILDREN)
    workers = None if len(heaps) == 1 else 1
    with ThreadPoolExecutor(CHILDREN) as pool:
        begun = [
            pool.submit(
                nest_compactly, asked(groups, strip), seconds=each_seconds, seed=seed, workers=workers
            )
            for groups in heaps
        ]
        return [nest_begun.result() for nest_begun in begun]


def _chained(
    heaps: Sequence[tuple[Alike, ...]], found: Sequence[tuple[Placement, ...]], gap_mm: float
) -> Iterator[Placement]:
    start_mm = 0.0
    for groups, placements in zip(heaps, found, strict=True):
        for place in placements:
            yield replace(place, x_mm=place.x_mm + start_mm)
        start_mm += lay_of([group.bare for group in groups], placements, 1.0).length_mm + gap_mm
