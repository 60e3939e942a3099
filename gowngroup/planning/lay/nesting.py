"""True outlines nested by spyrrow in a guarded child process; the one planning module that may start a process.

The engine works against the clock, so the same question may be answered differently another time: a lay made here is
stored and reprinted, never made again.
"""

from __future__ import annotations

import json
import subprocess
import sys
import time
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from gowngroup.planning.geometry.polygon import bounding_box_mm
from gowngroup.planning.lay.outlines import Piece, Placement, fitting_turns, turned
from gowngroup.planning.lay.swelling import swollen

# The engine reckons in single precision: pieces are held apart, and off the selvedges, by this share of the width.
CLEARANCE_SHARE = 1e-5
# It looks at the clock only now and then; after this much more time the child is stopped.
GRACE_SHARE, GRACE_SECONDS = 0.5, 5.0
CHILD = (sys.executable, "-P", str(Path(__file__).with_name("nesting_child.py")))


class NestingFailed(Exception):
    """The child gave no usable answer; the sentence says whether it ran over, was stopped, or said nonsense."""


def nest(
    pieces: Sequence[Piece],
    *,
    strip_width_mm: float,
    seconds: float,
    gap_mm: float = 0.0,
    seed: int = 1,
    workers: int | None = None,
) -> tuple[Placement, ...]:
    """Where the engine puts every copy within so many seconds (one at least, whole ones only); lengths in mm.

    The pieces must have passed `refuse_bad`. `workers` is how many threads the engine uses, by default one for each
    core. Raises NestingFailed. Source: guided local search on overlap, as the spyrrow package implements it.
    """
    clearance_mm = strip_width_mm * CLEARANCE_SHARE
    grown_mm = gap_mm / 2 + clearance_mm
    question = {
        "pieces": [_asked(piece, strip_width_mm, grown_mm) for piece in pieces],
        "strip_width_mm": strip_width_mm + 2 * grown_mm,
        "seconds": max(1, int(seconds)),
        "seed": seed,
        "workers": workers,
        "may_stop_early": True,
    }
    found = ask(json.dumps(question), seconds=seconds)
    return _pushed_to_start(pieces, [_placement(pieces, each, grown_mm) for each in found])


def _asked(piece: Piece, strip_width_mm: float, grown_mm: float) -> tuple[Any, int, list[float]]:
    outline = swollen(piece.outline, grown_mm)
    return outline, piece.quantity, list(fitting_turns(piece, strip_width_mm))


def _placement(pieces: Sequence[Piece], found: Sequence[float], grown_mm: float) -> Placement:
    number, turn, x_mm, y_mm = found
    return Placement(id=pieces[int(number)].id, turn=turn, x_mm=x_mm, y_mm=y_mm - grown_mm)


def _pushed_to_start(pieces: Sequence[Piece], placements: Sequence[Placement]) -> tuple[Placement, ...]:
    """The same lay, its first piece moved to the very start of the strip."""
    by_id = {piece.id: piece for piece in pieces}
    starts = [
        bounding_box_mm(turned(by_id[each.id].outline, each.turn))[0] + each.x_mm for each in placements
    ]
    start_mm = min(starts, default=0.0)
    return tuple(replace(each, x_mm=each.x_mm - start_mm) for each in placements)


def ask(question: str, *, seconds: float, child: Sequence[str] = CHILD) -> list[list[float]]:
    """The child's answer; the child is killed where it overruns. Raises NestingFailed."""
    limit = seconds * (1 + GRACE_SHARE) + GRACE_SECONDS
    process = subprocess.Popen(  # noqa: S603 - our own interpreter and our own file
        child, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True
    )
    try:
        said, _ = process.communicate(question, timeout=limit)
    except subprocess.TimeoutExpired:
        process.kill()
        process.communicate()
        raise NestingFailed(f"the child was stopped after {limit:.0f} seconds") from None
    if process.returncode != 0:
        raise NestingFailed(f"the child ended with code {process.returncode}")
    return _read(said)


def _read(said: str) -> list[list[float]]:
    """The last line of what the child said: the engine may write lines of its own before it."""
    try:
        return list(json.loads(said.strip().splitlines()[-1]))
    except (ValueError, IndexError) as error:
        raise NestingFailed("the child answered nonsense") from error


def seconds_now() -> float:
    """A clock that only runs forward, to share out the seconds a caller allows."""
    return time.monotonic()
