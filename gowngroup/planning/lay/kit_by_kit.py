"""Kits cut one after the other: each kit's pieces lie on one length of cloth of their own."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from gowngroup.planning.lay.values import (
    SAME_MM,
    ClothLay,
    Flaw,
    LayEngine,
    LayPiece,
    PlacedPiece,
    Strip,
    finished_lay,
    rounded_up_mm,
)

ENGINE = "kit by kit"


def kit_by_kit(engine: LayEngine) -> LayEngine:
    """An engine that lays kit after kit in the order of their keys, each starting on a whole step of fresh cloth.

    Shorter keys come first, so that numbered kits are counted up. Where the cloth has a repeat, each kit starts on a
    whole repeat. Raises what the engine raises.
    """

    def lay_kit_by_kit(pieces: Sequence[LayPiece], strip: Strip) -> ClothLay:
        placements: list[PlacedPiece] = []
        start_mm = end_mm = 0.0
        for kit in _kits(pieces):
            lay = engine(kit, cloth_from(strip, start_mm))
            placements.extend(replace(each, y_mm=each.y_mm + start_mm) for each in lay.placements)
            end_mm = start_mm + lay.length_mm
            start_mm = next_start_mm(end_mm + strip.gap_mm, strip)
        return finished_lay(pieces, strip, placements, end_mm=end_mm, engine=ENGINE)

    return lay_kit_by_kit


def _kits(pieces: Sequence[LayPiece]) -> list[list[LayPiece]]:
    kits: dict[str, list[LayPiece]] = {}
    for piece in sorted(pieces, key=lambda each: (len(each.kit_key), each.kit_key, each.key)):
        kits.setdefault(piece.kit_key, []).append(piece)
    return list(kits.values())


def cloth_from(strip: Strip, start_mm: float) -> Strip:
    """The same cloth from here on, without an end: whether it is long enough is looked at once, for all kits."""
    return replace(
        strip,
        length_mm=math.inf,
        flaws=tuple(
            Flaw(from_mm=flaw.from_mm - start_mm, to_mm=flaw.to_mm - start_mm)
            for flaw in strip.flaws
            if flaw.to_mm > start_mm
        ),
    )


def next_start_mm(from_mm: float, strip: Strip) -> float:
    """Where the next stretch of cloth may begin, in mm: on a whole step, and on a whole repeat of a print."""
    start_mm = rounded_up_mm(from_mm, strip.length_step_mm)
    if strip.repeat_mm:
        start_mm = math.ceil((start_mm - SAME_MM) / strip.repeat_mm) * strip.repeat_mm
    return start_mm
