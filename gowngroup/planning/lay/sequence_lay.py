"""The deterministic engine for the pieces of kits."""

from __future__ import annotations

import math
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress

from gowngroup.planning.lay.bridge import alike_pieces, asked, cloth_lay
from gowngroup.planning.lay.nesting import NestingFailed, search_apart
from gowngroup.planning.lay.outlines import lay_of
from gowngroup.planning.lay.sequence import search
from gowngroup.planning.lay.values import ClothLay, LayPiece, Strip

ENGINE = "sequence"
# Boxes put down in one search: a small lay gets so many trials and a large one so many boxes. A page waits for the
# first pair, a background worker for the second.
TRIALS, EFFORT = 60, 12_000
# Whether kits fit a lot at all is asked a hundred times over: half as many trials find out as well as twice as many.
FITTING_TRIALS = 30
PATIENT_TRIALS, PATIENT_EFFORT = 1_500, 34_000
# A large lay is filled so many times at least.
PATIENT_FILLS = 60
# The search beside it: its seed, so much further on, and its effort, less by the time its child takes to start.
OTHER_SEED, OTHER_EFFORT = 1_000, 0.8


def lay_sequence(
    pieces: Sequence[LayPiece], strip: Strip, *, effort: int | None = None, seed: int = 1
) -> ClothLay:
    """The best lay of a search through orders of pieces: any number of pieces, the same lay every time.

    Lengths in mm; `effort` is the number of boxes put down in the whole search, by default few enough for a page to
    wait for. Raises PieceTooWide, ClothTooShort, and ValueError where a piece has no size. Source: own search.
    """
    if effort is None:
        effort = min(EFFORT, TRIALS * len(pieces))
    groups = alike_pieces(pieces, strip)
    return cloth_lay(groups, search(asked(groups, strip), effort=effort, seed=seed), strip, engine=ENGINE)


def lay_fitting(pieces: Sequence[LayPiece], strip: Strip) -> ClothLay:
    """The first lay of a short search that fits the strip, or on a strip without an end the best: the same every time.

    Lengths in mm. Raises PieceTooWide, ClothTooShort, and ValueError where a piece has no size.
    """
    groups, effort = alike_pieces(pieces, strip), min(EFFORT, FITTING_TRIALS * len(pieces))
    enough_mm = strip.length_mm if math.isfinite(strip.length_mm) else 0.0
    return cloth_lay(
        groups, search(asked(groups, strip), effort=effort, enough_mm=enough_mm), strip, engine=ENGINE
    )


def lay_patient(pieces: Sequence[LayPiece], strip: Strip, *, seed: int = 1) -> ClothLay:
    """The better of two lays as `lay_sequence` makes them, with the effort of a background worker.

    The second is searched at the same time in a child process, from another seed; where that fails the first is given.
    """
    effort = min(max(PATIENT_EFFORT, PATIENT_FILLS * len(pieces)), PATIENT_TRIALS * len(pieces))
    groups = alike_pieces(pieces, strip)
    ask = asked(groups, strip)
    with ThreadPoolExecutor(1) as pool:
        begun = pool.submit(search_apart, ask, effort=int(effort * OTHER_EFFORT), seed=seed + OTHER_SEED)
        found = [search(ask, effort=effort, seed=seed)]
    with suppress(NestingFailed):
        found.append(begun.result())
    best = min(found, key=lambda placements: lay_of(ask.pieces, placements, ask.strip_width_mm).length_mm)
    return cloth_lay(groups, best, strip, engine=ENGINE)
