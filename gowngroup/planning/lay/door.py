"""The stable door: bare outlines on a strip, by the deterministic search and by nesting, the shorter lay wins."""

from __future__ import annotations

from collections.abc import Sequence

from gowngroup.planning.lay.nesting import NestingFailed, nest
from gowngroup.planning.lay.outlines import Lay, Piece, lay_of, refuse_bad
from gowngroup.planning.lay.sequence import search


def lay_out(
    pieces: Sequence[Piece],
    *,
    strip_width_mm: float,
    gap_mm: float = 0.0,
    seconds: float = 20.0,
    seed: int = 1,
) -> Lay:
    """The shorter of a deterministic lay and one nested on true outlines within `seconds`; below one second only the first.

    The strip runs along x with its width along y from 0; the grain is along +x of each outline. Outlines in mm, turns
    in degrees counter-clockwise; `gap_mm` lies between pieces, not at the edges. Raises CannotLay, a ValueError that
    carries a reason code and the piece's id. Source: own sequence search; spyrrow.
    """
    refuse_bad(pieces, strip_width_mm=strip_width_mm, gap_mm=gap_mm)
    lays = [
        lay_of(
            pieces, search(pieces, strip_width_mm=strip_width_mm, gap_mm=gap_mm, seed=seed), strip_width_mm
        )
    ]
    if seconds >= 1 and pieces:
        try:
            found = nest(pieces, strip_width_mm=strip_width_mm, gap_mm=gap_mm, seconds=seconds, seed=seed)
            lays.append(lay_of(pieces, found, strip_width_mm))
        except NestingFailed:
            pass
    return min(lays, key=lambda lay: lay.length_mm)
