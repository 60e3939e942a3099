"""Cutting lays: pieces, the strip of cloth, and the engines that place one on the other.

`Piece`, `lay_out`, `Lay` and `Placement` are the stable door for bare outlines; the other names are the planner's own.

Where to read on: `values` (pieces of kits, strip, lay) and `outlines` (bare ones), `bridge` between the two ·
`engines`, which chooses · `rows` with `blocks`, quick · `sequence` with `order_search`, `skyline`, `levels`, `heap`,
`bundles` and `contours`, the deterministic search · `nesting` with its child, and `compaction` with `convex` ·
`kit_by_kit` and `folded`, ways of cutting that wrap an engine · `check`, which trusts none of them · `by_hand`, which
all are measured against.
"""

from gowngroup.planning.lay.door import lay_out
from gowngroup.planning.lay.outlines import CannotLay, Lay, Piece, Placement
from gowngroup.planning.lay.rows import lay_rows
from gowngroup.planning.lay.values import (
    ClothLay,
    ClothTooShort,
    Flaw,
    LayEngine,
    LayPiece,
    PieceTooWide,
    PlacedPiece,
    Strip,
)

__all__ = [
    "CannotLay",
    "ClothLay",
    "ClothTooShort",
    "Flaw",
    "Lay",
    "LayEngine",
    "LayPiece",
    "Piece",
    "PieceTooWide",
    "PlacedPiece",
    "Placement",
    "Strip",
    "lay_out",
    "lay_rows",
]
