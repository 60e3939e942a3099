"""The choice between engines: each lays the same pieces, each lay is checked, the shortest wins."""

from __future__ import annotations

from collections.abc import Sequence

from gowngroup.planning.lay.check import checked_lay
from gowngroup.planning.lay.rows import lay_rows
from gowngroup.planning.lay.values import ClothLay, ClothTooShort, LayEngine, LayPiece, Strip

ENGINES: tuple[LayEngine, ...] = (lay_rows,)


def shortest_lay(
    pieces: Sequence[LayPiece],
    strip: Strip,
    *,
    engines: Sequence[LayEngine] = ENGINES,
    tolerance_mm: float = 0.01,
) -> ClothLay:
    """The shortest lay any engine finds, the earlier engine winning a tie; every lay is checked on its own.

    Raises PieceTooWide; ClothTooShort with the least length any engine needs; LayHasFaults where an engine errs.
    """
    lays: list[ClothLay] = []
    refusals: list[ClothTooShort] = []
    for engine in engines:
        try:
            lays.append(checked_lay(engine(pieces, strip), pieces, strip, tolerance_mm=tolerance_mm))
        except ClothTooShort as refusal:
            refusals.append(refusal)
    if not lays:
        raise min(refusals, key=lambda refusal: refusal.needed_mm)
    return min(lays, key=lambda lay: lay.length_mm)
