"""Cutting lays measured beside other ways to lay the same pieces, for the benchmark command."""

import json
import math
import os
import random
import time
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache, partial
from itertools import chain
from pathlib import Path
from statistics import mean
from typing import Any

from gowngroup.demo.lay_baselines import rectpack_length, spyrrow_length_mm
from gowngroup.planning.lay import Piece, Strip, lay_out, lay_rows
from gowngroup.planning.lay.by_hand import lay_by_hand
from gowngroup.planning.lay.check import outline_faults
from gowngroup.planning.lay.engines import lay_best, lay_patient, lay_sequence, shortest_lay
from gowngroup.planning.lay.values import (
    LayEngine,
    LayPiece,
    least_length_mm,
    outline_size_mm,
    pieces_area_mm2,
)
from gowngroup.planning.trial_gowns import trial_gowns

Say = Callable[[str], Any]

SEEDS = (1, 2, 3, 4, 5)
USABLE_WIDTHS_MM = (1100, 1480)
# Gowns in the lay, and the seconds a nesting child is given beside the search; 0 for the search alone.
ROUNDS = ((1, 1), (6, 9), (24, 0), (24, 26), (100, 0))
CONVERSION_WIDTHS_MM = (900, 1150, 1400, 1500)
RECTANGLE_COUNTS = (15, 25, 40, 70, 100)
# Mean share used, of 50 runs of 1,200 seconds each, published with the open sparrow solver's data.
PUBLISHED_SHARES = {
    "shirts": 0.8972,
    "trousers": 0.9179,
    "swim": 0.7830,
    "marques": 0.9091,
    "dagli": 0.8923,
    "albano": 0.8946,
    "mao": 0.8610,
}
SETS_FOLDER = "GOWNGROUP_OUTLINE_SETS"
# Numbers of gowns, with commas between, where only these lays are to be measured.
GOWNS_ASKED = "GOWNGROUP_LAY_GOWNS"


def lay_section(say: Say) -> None:
    """Trial gowns of every kind and size: our lay beside plain rectpack, plain spyrrow, rows and a hand layout.

    Takes some twenty minutes on two idle cores, a line being printed as soon as it is known.
    """
    say("Cutting lays of trial gowns: share of cloth used; worst of five seeds for ours and its ratios")
    say(" gowns width pieces   ours seconds  rectpack spyrrow  / better  / box limit  / by hand  / rows")
    asked = os.environ.get(GOWNS_ASKED, "").replace(" ", "")
    for gown_count, nest_seconds in ROUNDS:
        for width_mm in USABLE_WIDTHS_MM:
            if not asked or str(gown_count) in asked.split(","):
                say(_lay_line(gown_count, width_mm, nest_seconds))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Run:
    """One lay of ours and what it is measured against; lengths in mm."""

    length_mm: float
    seconds: float
    better_mm: float


def _lay_line(gown_count: int, width_mm: float, nest_seconds: float) -> str:
    gowns = trial_gowns(gown_count)
    pieces = tuple(chain.from_iterable(gowns))
    strip = Strip(usable_width_mm=width_mm, length_mm=math.inf, length_step_mm=0.01)
    bound_mm = least_length_mm(pieces, width_mm)
    rectpack_mm, spyrrow_mm = _plain_lengths_mm(gown_count, width_mm)
    runs = [
        _run(
            pieces,
            strip,
            nest_seconds=nest_seconds,
            seed=seed,
            better_mm=min(rectpack_mm, spyrrow_mm[seed]),
        )
        for seed in SEEDS
    ]
    worst_mm = max(run.length_mm for run in runs)
    box_share = pieces_area_mm2(pieces) / sum(math.prod(outline_size_mm(piece.outline)) for piece in pieces)
    return (
        f"{gown_count:6} {width_mm / 10:5.0f} {len(pieces):6} {bound_mm / worst_mm:6.1%}"
        f" {max(run.seconds for run in runs):7.1f} {bound_mm / rectpack_mm:9.1%}"
        f" {bound_mm / min(spyrrow_mm.values()):7.1%}"
        f" {min(run.better_mm / run.length_mm for run in runs):9.3f} {bound_mm / worst_mm / box_share:12.3f}"
        f" {worst_mm / lay_by_hand(gowns, strip).length_mm:10.3f} {worst_mm / lay_rows(pieces, strip).length_mm:7.3f}"
    )


@cache
def _plain_lengths_mm(gown_count: int, width_mm: float) -> tuple[float, dict[int, float]]:
    """The same pieces by plain rectpack, and by plain spyrrow in ten seconds from every seed."""
    pieces = tuple(chain.from_iterable(trial_gowns(gown_count)))
    return (
        rectpack_length([outline_size_mm(piece.outline) for piece in pieces], width_mm),
        {seed: spyrrow_length_mm(pieces, width_mm, seed=seed) for seed in SEEDS},
    )


def _run(
    pieces: Sequence[LayPiece], strip: Strip, *, nest_seconds: float, seed: int, better_mm: float
) -> _Run:
    patient = partial(lay_patient, seed=seed)
    engine: LayEngine = partial(lay_best, seconds=nest_seconds, seed=seed) if nest_seconds else patient
    started = time.perf_counter()
    lay = shortest_lay(pieces, strip, engines=[engine])
    return _Run(length_mm=lay.length_mm, seconds=time.perf_counter() - started, better_mm=better_mm)


def width_section(say: Say) -> None:
    """A mixed lay of 24 gowns moved from width to width: how far its area strays from the mean."""
    pieces = tuple(chain.from_iterable(trial_gowns(24)))
    areas = {}
    for width_mm in CONVERSION_WIDTHS_MM:
        strip = Strip(usable_width_mm=width_mm, length_mm=math.inf)
        areas[width_mm] = lay_sequence(pieces, strip).length_mm * width_mm
    say("Constant area from width to width, 24 trial gowns: area of the lay against the mean of all widths")
    for width_mm, area in areas.items():
        say(f"{width_mm / 10:6.0f} cm {area / mean(areas.values()) - 1:+7.1%}")


def rectangle_section(say: Say) -> None:
    """Rectangles cut from one sheet without waste: how much longer than the sheet they are laid."""
    say(
        "Known optimum: rectangles cut from one sheet by straight cuts, not turned; mean gap over five sheets"
    )
    say("pieces     ours  seconds  rectpack")
    gaps: list[tuple[float, float]] = []
    for count in RECTANGLE_COUNTS:
        started = time.perf_counter()
        sheets = [guillotine_cut(1000.0, 1000.0, count, random.Random(seed * 1000 + count)) for seed in SEEDS]  # noqa: S311
        ours = [_rectangle_gap(sheet) for sheet in sheets]
        seconds = (time.perf_counter() - started) / len(sheets)
        theirs = [rectpack_length(sheet, 1000.0) / 1000.0 - 1 for sheet in sheets]
        gaps.extend(zip(ours, theirs, strict=True))
        say(f"{count:6} {mean(ours):8.1%} {seconds:8.1f} {mean(theirs):9.1%}")
    say(f"   all {mean(one for one, _ in gaps):8.1%} {'':8} {mean(two for _, two in gaps):9.1%}")


def _rectangle_gap(sheet: Iterable[tuple[float, float]]) -> float:
    pieces = [
        LayPiece(
            key=f"{number:03d}",
            kit_key="sheet",
            name="rectangle",
            number=number,
            outline=((0.0, 0.0), (width, 0.0), (width, length), (0.0, length)),
            may_turn=False,
        )
        for number, (width, length) in enumerate(sheet)
    ]
    strip = Strip(usable_width_mm=1000.0, length_mm=math.inf, length_step_mm=0.01)
    lay = shortest_lay(pieces, strip, engines=[lay_patient])
    return lay.length_mm / 1000.0 - 1


def guillotine_cut(
    width_mm: float, length_mm: float, count: int, chance: random.Random
) -> list[tuple[float, float]]:
    """A sheet cut into this many rectangles by straight cuts through the largest: laid back they waste nothing."""
    found = [(width_mm, length_mm)]
    while len(found) < count:
        found.sort(key=math.prod)
        width, length = found.pop()
        share = chance.uniform(0.25, 0.75)
        if width > length:
            found += [(width * share, length), (width * (1 - share), length)]
        else:
            found += [(width, length * share), (width, length * (1 - share))]
    return found


def outline_section(say: Say) -> None:
    """Published sets of garment outlines in a folder named by an environment variable, through the stable door."""
    folder = os.environ.get(SETS_FOLDER)
    if not folder:
        say(f"Published outlines: name the folder with the sets (JSON) in {SETS_FOLDER} to measure them")
        return
    say("Published garment outlines, 20 seconds each: share of the strip used, against the published mean")
    ratios = []
    for name, width_mm, pieces in _outline_sets(Path(folder)):
        started = time.perf_counter()
        lay = lay_out(pieces, strip_width_mm=width_mm, seconds=20)
        seconds = time.perf_counter() - started
        faults = outline_faults(lay, pieces, strip_width_mm=width_mm)
        ratios.append(lay.share_used / PUBLISHED_SHARES.get(name, math.nan))
        say(f"{name:10} {lay.share_used:6.2%} {ratios[-1]:6.1%} {seconds:5.1f} s, {len(faults)} faults")
    say(f"{'mean':10} {'':6} {mean(ratios):6.1%}")


def _outline_sets(folder: Path) -> Iterator[tuple[str, float, list[Piece]]]:
    for path in sorted(folder.glob("*.json")):
        data = json.loads(path.read_text())
        yield (
            data["name"],
            data["strip_height"],
            [
                Piece(
                    str(item["id"]),
                    tuple((x, y) for x, y in item["shape"]["data"]),
                    item["demand"],
                    tuple(item["allowed_orientations"]),
                )
                for item in data["items"]
            ],
        )
