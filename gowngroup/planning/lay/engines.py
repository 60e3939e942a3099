"""The choice between engines: each lays the same pieces, each lay is checked, the shortest wins."""

from __future__ import annotations

from collections.abc import Sequence
from concurrent.futures import Future, ThreadPoolExecutor

from gowngroup.planning.lay.check import checked_lay
from gowngroup.planning.lay.kit_by_kit import kit_by_kit
from gowngroup.planning.lay.nested import lay_nested
from gowngroup.planning.lay.rows import lay_rows
from gowngroup.planning.lay.sequence_lay import lay_patient, lay_sequence
from gowngroup.planning.lay.values import ClothLay, ClothTooShort, LayEngine, LayPiece, Strip

__all__ = [
    "BEST_ENGINES",
    "ENGINES",
    "QUICK_ENGINES",
    "STEADY_ENGINES",
    "kit_by_kit",
    "lay_nested",
    "lay_patient",
    "lay_rows",
    "lay_sequence",
    "shortest_lay",
]

# Quick: an answer while a page waits. Steady: a better one, the same every time. Best: for the background worker, some
# ten seconds longer and partly against the clock, so not the same every time.
QUICK_ENGINES: tuple[LayEngine, ...] = (lay_rows,)
STEADY_ENGINES: tuple[LayEngine, ...] = (lay_rows, lay_sequence)
BEST_ENGINES: tuple[LayEngine, ...] = (lay_rows, lay_patient, lay_nested)
ENGINES = STEADY_ENGINES


def shortest_lay(
    pieces: Sequence[LayPiece],
    strip: Strip,
    *,
    engines: Sequence[LayEngine] = ENGINES,
    tolerance_mm: float = 0.01,
) -> ClothLay:
    """The shortest lay any engine finds, the earlier engine winning a tie; every lay is checked on its own.

    All engines start at once, so that a nesting child works while the search does. Raises PieceTooWide; ClothTooShort
    with the least length any engine needs; LayHasFaults where an engine errs.
    """
    with ThreadPoolExecutor(len(engines)) as pool:
        begun = [pool.submit(engine, pieces, strip) for engine in engines]
        found = [_laid(each) for each in begun]
    lays = [
        checked_lay(each, pieces, strip, tolerance_mm=tolerance_mm)
        for each in found
        if not isinstance(each, ClothTooShort)
    ]
    if not lays:
        raise min(
            (each for each in found if isinstance(each, ClothTooShort)), key=lambda each: each.needed_mm
        )
    return min(lays, key=lambda lay: lay.length_mm)


def _laid(begun: Future[ClothLay]) -> ClothLay | ClothTooShort:
    try:
        return begun.result()
    except ClothTooShort as refusal:
        return refusal
