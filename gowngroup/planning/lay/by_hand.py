"""The careful hand layout every lay is measured against: gown by gown, longest piece first."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import chain

from gowngroup.planning.lay.blocks import BlockMaker
from gowngroup.planning.lay.rows import PLAIN_RULE, STACKED_RULE, Row, finished_rows, rows_of, stacked_rows
from gowngroup.planning.lay.values import ClothLay, LayPiece, Strip

ENGINE = "by hand"


def lay_by_hand(gowns: Sequence[Sequence[LayPiece]], strip: Strip) -> ClothLay:
    """A lay one gown after the other, as a careful cutter does it without the rest of the batch in view.

    The longest piece left opens a row and the longest that still fits comes beside it; shorter ones are stacked in
    the space above where that saves cloth, and no piece is turned. The next gown starts on fresh cloth. Lengths in
    mm. Raises PieceTooWide, ClothTooShort and ValueError. Source: common practice, no source.
    """
    placements = stacked_rows(tuple(_rows(gowns, strip)), strip)
    return finished_rows(list(chain.from_iterable(gowns)), strip, placements, engine=ENGINE)


def _rows(gowns: Iterable[Sequence[LayPiece]], strip: Strip) -> Iterator[Row]:
    for gown in gowns:
        blocks = BlockMaker(gown, strip).blocks(most_pieces=1)
        ways = [tuple(rows_of(blocks, strip, rule)) for rule in (PLAIN_RULE, STACKED_RULE)]
        yield from min(ways, key=lambda rows: sum(row.length_mm for row in rows))
