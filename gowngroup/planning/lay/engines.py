"""The choice between engines: each lays the same pieces, each lay is checked, the shortest wins."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from functools import partial

from gowngroup.planning.lay.check import checked_lay
from gowngroup.planning.lay.kit_by_kit import kit_by_kit
from gowngroup.planning.lay.nested import MOST_PIECES, lay_nested
from gowngroup.planning.lay.rows import lay_rows
from gowngroup.planning.lay.sequence_lay import lay_fitting, lay_patient, lay_sequence
from gowngroup.planning.lay.values import ClothLay, ClothTooShort, LayEngine, LayPiece, Strip

__all__ = [
    "ENGINES",
    "QUICK_ENGINES",
    "STEADY_ENGINES",
    "fitters_of",
    "kit_by_kit",
    "lay_best",
    "lay_fitting",
    "lay_nested",
    "lay_patient",
    "lay_rows",
    "lay_sequence",
    "shortest_lay",
]

# Quick: an answer while a page waits. Steady: a better one, the same every time.
QUICK_ENGINES: tuple[LayEngine, ...] = (lay_rows,)
STEADY_ENGINES: tuple[LayEngine, ...] = (lay_rows, lay_sequence)
ENGINES = STEADY_ENGINES
# Those that can stop as soon as their lay fits.
_FITTERS: dict[LayEngine, LayEngine] = {lay_sequence: lay_fitting}


def fitters_of(engines: Sequence[LayEngine]) -> tuple[LayEngine, ...]:
    """The engines as they are asked whether pieces fit a strip: each stops with the first lay that does, if it can."""
    return tuple(_FITTERS.get(engine, engine) for engine in engines)


def shortest_lay(
    pieces: Sequence[LayPiece],
    strip: Strip,
    *,
    engines: Sequence[LayEngine] = ENGINES,
    tolerance_mm: float = 0.01,
) -> ClothLay:
    """The shortest lay any engine finds, the earlier engine winning a tie; every lay is checked on its own.

    All engines start at once, the last in the caller's thread, so that a nesting child works while the search does.
    Raises PieceTooWide; ClothTooShort with the least length any engine needs; LayHasFaults where an engine errs.
    """
    *others, own = [partial(engine, pieces, strip) for engine in engines]
    with ThreadPoolExecutor(len(engines)) as pool:
        begun = [pool.submit(other) for other in others]
        own_lay = _lay_or_refusal(own)
        found = [*(_lay_or_refusal(each.result) for each in begun), own_lay]
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


def lay_best(pieces: Sequence[LayPiece], strip: Strip, *, seconds: float = 10.0, seed: int = 1) -> ClothLay:
    """The shorter of a search and a lay nested on true outlines within so many seconds, both made at once.

    The search is a patient one where there are several sub-lays to nest; one alone makes better use of both cores. For
    the background worker: partly against the clock, so not the same every time; store it. Lengths in mm. Raises
    PieceTooWide, ClothTooShort, LayHasFaults, and ValueError where a piece has no size.
    """
    search = lay_patient if len(pieces) > MOST_PIECES else lay_sequence
    both = (partial(search, seed=seed), partial(lay_nested, seconds=seconds, seed=seed))
    return shortest_lay(pieces, strip, engines=both)


def _lay_or_refusal(laid: Callable[[], ClothLay]) -> ClothLay | ClothTooShort:
    try:
        return laid()
    except ClothTooShort as refusal:
        return refusal
