"""The stable door: bare outlines on a strip, by the deterministic search and by nesting; the shorter lay wins."""

from __future__ import annotations

from collections.abc import Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import replace

from gowngroup.planning.geometry.polygon import bounding_box_mm
from gowngroup.planning.lay.ask import Ask
from gowngroup.planning.lay.check import outline_faults
from gowngroup.planning.lay.compaction import COMPACTING_SECONDS, nest_compactly
from gowngroup.planning.lay.nesting import NestingFailed
from gowngroup.planning.lay.outlines import Lay, Piece, Placement, lay_of, tidied, turned
from gowngroup.planning.lay.sequence import search

# Boxes put down by the search: so many for each copy, up to as many as take about two seconds. The children have
# the processor to themselves for the rest of the time.
TRIALS, MOST_EFFORT = 150, 30_000
# Children that nest at the same time, each with one thread: a good seed is worth more than a second thread.
CHILDREN = 2
# The engine takes seeds up to here.
SEEDS = 2**32


def lay_out(
    pieces: Sequence[Piece],
    *,
    strip_width_mm: float,
    gap_mm: float = 0.0,
    seconds: float = 20.0,
    seed: int = 1,
) -> Lay:
    """The shortest of a deterministic lay and lays nested on true outlines and compacted within `seconds`.

    Two idle cores keep to the seconds. Below 2 there is only the deterministic lay, for which about 2 seconds may be
    needed, or 10 for a thousand pieces, however few are given. The strip runs along x with its width along y from 0;
    the grain is along +x of each outline. Outlines in mm, whichever way round they run, closed or not, anywhere; turns
    in degrees counter-clockwise; `gap_mm` lies between pieces, not at the edges. Each placement has one of its piece's
    turns. No pieces make a lay of no length. Raises CannotLay, a ValueError that carries a reason code and the piece's
    id. Source: own sequence search; spyrrow.
    """
    tidy = tidied(pieces, strip_width_mm=strip_width_mm, gap_mm=gap_mm, seconds=seconds, seed=seed)
    seed = int(seed)
    near = tuple(map(_at_origin, tidy))
    ask = Ask(pieces=near, strip_width_mm=strip_width_mm, gap_mm=gap_mm)
    effort = min(MOST_EFFORT, TRIALS * sum(piece.quantity for piece in tidy))
    with ThreadPoolExecutor(CHILDREN) as pool:
        nests = list(_begun(pool, ask, seconds, seed))
        steady = lay_of(ask.pieces, search(ask, effort=effort, seed=seed), strip_width_mm)
        lays = [steady, *(lay for begun in nests if (lay := _checked(begun, ask)))]
    return _where_given(tidy, min(lays, key=lambda lay: lay.length_mm))


def _at_origin(piece: Piece) -> Piece:
    """The piece as it is, but at the origin: the nesting engine reckons in single precision."""
    left, low, _, _ = bounding_box_mm(piece.outline)
    return replace(piece, outline=tuple((x - left, y - low) for x, y in piece.outline))


def _where_given(pieces: Sequence[Piece], lay: Lay) -> Lay:
    """The same lay, its shifts those of the outlines as they were given."""
    by_id = {piece.id: piece for piece in pieces}
    placements = []
    for place in lay.placements:
        left, low, _, _ = bounding_box_mm(by_id[place.id].outline)
        ((x_mm, y_mm),) = turned(((left, low),), place.turn)
        placements.append(replace(place, x_mm=place.x_mm - x_mm, y_mm=place.y_mm - y_mm))
    return replace(lay, placements=tuple(placements))


def _begun(
    pool: ThreadPoolExecutor, ask: Ask, seconds: float, seed: int
) -> list[Future[tuple[Placement, ...]]]:
    whole_seconds = int(seconds - COMPACTING_SECONDS)
    if whole_seconds < 1 or not ask.pieces:
        return []
    return [
        pool.submit(nest_compactly, ask, seconds=whole_seconds, seed=each % SEEDS, workers=1)
        for each in range(seed * CHILDREN, (seed + 1) * CHILDREN)
    ]


def _checked(begun: Future[tuple[Placement, ...]], ask: Ask) -> Lay | None:
    """A nested lay that the independent check finds no fault in."""
    try:
        lay = lay_of(ask.pieces, begun.result(), ask.strip_width_mm)
    except NestingFailed:
        return None
    faults = outline_faults(lay, ask.pieces, strip_width_mm=ask.strip_width_mm, gap_mm=ask.gap_mm)
    return None if faults else lay
