"""The nesting engine for the pieces of kits."""

from __future__ import annotations

from collections.abc import Sequence

from gowngroup.planning.lay.bridge import alike_pieces, cloth_lay
from gowngroup.planning.lay.nesting import NestingFailed, nest
from gowngroup.planning.lay.sequence_lay import lay_sequence
from gowngroup.planning.lay.values import ClothLay, LayPiece, Strip

ENGINE = "nested"


def lay_nested(pieces: Sequence[LayPiece], strip: Strip, *, seconds: float = 10.0, seed: int = 1) -> ClothLay:
    """A lay nested on true outlines within so many seconds; where that fails, the deterministic lay.

    Lengths in mm. Not the same lay every time: store it. Raises PieceTooWide, ClothTooShort, and ValueError where a
    piece has no size. Source: spyrrow.
    """
    if strip.flaws or not pieces:
        return lay_sequence(pieces, strip)
    groups = alike_pieces(pieces, strip)
    try:
        found = nest(
            [group.bare for group in groups],
            strip_width_mm=strip.usable_width_mm,
            gap_mm=strip.gap_mm,
            seconds=seconds,
            seed=seed,
        )
    except NestingFailed:
        return lay_sequence(pieces, strip)
    return cloth_lay(groups, found, strip, engine=ENGINE)
