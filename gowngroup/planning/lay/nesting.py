"""Lays made in guarded child processes; the one planning module that may start a process.

True outlines are nested by spyrrow, and the deterministic search can be made a second time beside one's own. spyrrow
works against the clock, so the same question may be answered differently another time: a lay made here is stored and
reprinted, never made again.
"""

from __future__ import annotations

import json
import math
import subprocess
import sys
from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path
from time import monotonic
from typing import Any

from gowngroup.planning.geometry.polygon import bounding_box_mm
from gowngroup.planning.lay.ask import Ask
from gowngroup.planning.lay.outlines import Piece, Placement, fitting_turns, placed
from gowngroup.planning.lay.swelling import swollen

# The engine reckons in single precision: pieces are held apart, and off the selvedges, by this share of the width.
CLEARANCE_SHARE = 1e-5
# Of its time the engine explores in about so much and then compresses what it found: half as long as it would of
# itself, for compaction gains as much in the time that is left, and the engine overruns.
USED_SHARE, COMPRESSING_SHARE = 0.9, 0.1
# The child stops the engine itself; one that has not answered so long after that hangs and is killed.
GRACE_SECONDS = 5.0
# A search is stopped only where it hangs: so many boxes are put down in a second even on a slow, busy machine.
LEAST_BOXES_PER_SECOND = 500
PROGRAM_FOLDER = Path(__file__).parents[3]
CHILD = (sys.executable, "-P", str(Path(__file__).with_name("nesting_child.py")))

SEARCH_CHILD = (sys.executable, "-m", "gowngroup.planning.lay.search_child")


class NestingFailed(Exception):
    """The child gave no usable answer; the sentence says whether it was stopped, broke down or said nonsense."""


def nest(ask: Ask, *, seconds: float, seed: int = 1, workers: int | None = None) -> tuple[Placement, ...]:
    """Where the engine puts every copy within so many seconds, one at least, beside those its process takes to start.

    The pieces must be `tidied`; flaws and matching are not looked at. `workers` is how many threads the
    engine uses, by default one for each core. Raises NestingFailed. Source: guided local search on overlap, as the
    spyrrow package implements it.
    """
    seconds = max(seconds, 1.0)
    clearance_mm = ask.strip_width_mm * CLEARANCE_SHARE
    grown_mm = ask.gap_mm / 2 + clearance_mm
    compressing_seconds = round(seconds * COMPRESSING_SHARE)
    question = {
        "pieces": [_asked(piece, ask, grown_mm) for piece in ask.pieces],
        "strip_width_mm": ask.strip_width_mm + 2 * grown_mm,
        "exploring_seconds": max(1, int(seconds * USED_SHARE) - compressing_seconds),
        "compressing_seconds": compressing_seconds,
        "stop_seconds": seconds,
        "seed": seed,
        "workers": workers,
    }
    found = answer(json.dumps(question), seconds=seconds)
    return _pushed_to_start(ask, [_placement(ask.pieces, each, grown_mm) for each in found])


def countdown(seconds: float) -> Callable[[], float]:
    """Tells, whenever asked, how many of these seconds are left; below nought once they are over."""
    end = monotonic() + seconds
    return lambda: end - monotonic()


def search_apart(ask: Ask, *, effort: int, seed: int) -> tuple[Placement, ...]:
    """What `search` finds, made in a child on another core: the same every time. Raises NestingFailed."""
    question = json.dumps({"ask": _told(ask), "effort": effort, "seed": seed})
    found = answer(question, seconds=effort / LEAST_BOXES_PER_SECOND, child=SEARCH_CHILD)
    return tuple(
        Placement(id=ask.pieces[int(number)].id, turn=turn, x_mm=x_mm, y_mm=y_mm)
        for number, turn, x_mm, y_mm in found
    )


def _told(ask: Ask) -> dict[str, Any]:
    """An ask as text can hold it; pieces are known by their number."""
    return {
        "pieces": [(piece.outline, piece.quantity, piece.turns) for piece in ask.pieces],
        "matched": [number for number, piece in enumerate(ask.pieces) if piece.id in ask.matched_ids],
        "strip_width_mm": ask.strip_width_mm,
        "gap_mm": ask.gap_mm,
        "flaws": ask.flaws,
        "repeat_mm": ask.repeat_mm,
    }


def _asked(piece: Piece, ask: Ask, grown_mm: float) -> tuple[Any, int, list[float]]:
    turns = list(fitting_turns(piece, ask.strip_width_mm))
    return swollen(piece.outline, grown_mm), piece.quantity, turns


def _placement(pieces: Sequence[Piece], found: Sequence[float], grown_mm: float) -> Placement:
    number, turn, x_mm, y_mm = found
    piece = pieces[int(number)]
    return Placement(id=piece.id, turn=_allowed(turn, piece), x_mm=x_mm, y_mm=y_mm - grown_mm)


def _allowed(turn: float, piece: Piece) -> float:
    """The allowed turn that is meant: the engine tells turns in single precision, and 720 degrees as nought."""
    return min(piece.turns, key=lambda each: abs(math.remainder(each - turn, 360.0)))


def _pushed_to_start(ask: Ask, placements: Sequence[Placement]) -> tuple[Placement, ...]:
    """The same lay, its first piece moved to the very start of the strip."""
    by_id = {piece.id: piece for piece in ask.pieces}
    start_mm = min(bounding_box_mm(placed(by_id[each.id], each))[0] for each in placements)
    return tuple(replace(each, x_mm=each.x_mm - start_mm) for each in placements)


def answer(question: str, *, seconds: float, child: Sequence[str] | None = None) -> list[list[float]]:
    """What the child answers, by default our own; it is killed where it hangs. Raises NestingFailed."""
    limit = seconds + GRACE_SECONDS
    try:
        done = subprocess.run(  # noqa: S603 - our own interpreter and our own file
            child or CHILD,
            input=question,
            capture_output=True,
            text=True,
            timeout=limit,
            check=True,
            cwd=PROGRAM_FOLDER,
        )
    except subprocess.TimeoutExpired:
        raise NestingFailed(f"the child was stopped after {limit:.0f} seconds") from None
    except (subprocess.CalledProcessError, OSError) as error:
        raise NestingFailed(f"the child broke down: {error}") from error
    return _read(done.stdout)


def _read(said: str) -> list[list[float]]:
    """The last line of what the child said: the engine may write lines of its own before it."""
    try:
        return list(json.loads(said.strip().splitlines()[-1]))
    except (ValueError, IndexError) as error:
        raise NestingFailed("the child answered nonsense") from error
