"""The deterministic engine for the pieces of kits."""

from __future__ import annotations

from collections.abc import Sequence

from gowngroup.planning.lay.bridge import alike_pieces, cloth_lay
from gowngroup.planning.lay.rows import lay_rows
from gowngroup.planning.lay.sequence import search
from gowngroup.planning.lay.values import ClothLay, LayPiece, Strip

ENGINE = "sequence"


def lay_sequence(pieces: Sequence[LayPiece], strip: Strip) -> ClothLay:
    """The best lay of a search through orders of pieces: any number of pieces, the same lay every time.

    Lengths in mm. Raises PieceTooWide, ClothTooShort, and ValueError where a piece has no size. Source: own search.
    """
    if strip.flaws:
        return lay_rows(pieces, strip)
    groups = alike_pieces(pieces, strip)
    found = search(
        [group.bare for group in groups], strip_width_mm=strip.usable_width_mm, gap_mm=strip.gap_mm
    )
    return cloth_lay(groups, found, strip, engine=ENGINE)
