"""The careful hand layouts every lay is measured against: gown by gown, longest piece first."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import chain

from gowngroup.planning.lays.rows import PLAIN_RULE, STACKED_RULE, Row, RowRule, rows_of, stacked_rows
from gowngroup.planning.lays.values import Lay, LayPiece, Strip, finished_lay


def lay_by_hand(gowns: Sequence[Sequence[LayPiece]], strip: Strip) -> Lay:
    """A lay one gown after the other, as a careful cutter does it without the rest of the batch in view.

    The longest piece left opens a row, and the longest that still fits comes beside it until none does; the next
    gown starts on fresh cloth. Lengths in mm. Raises PieceTooWide and ClothTooShort.
    Source: common practice, no source.
    """
    return _lay(gowns, strip, PLAIN_RULE, "by hand")


def lay_by_hand_stacked(gowns: Sequence[Sequence[LayPiece]], strip: Strip) -> Lay:
    """The same by an even more patient cutter, who also stacks short pieces in the space above one another.

    Lengths in mm. Raises PieceTooWide and ClothTooShort. Source: common practice, no source.
    """
    return _lay(gowns, strip, STACKED_RULE, "by hand, short pieces stacked")


def _lay(gowns: Sequence[Sequence[LayPiece]], strip: Strip, rule: RowRule, engine: str) -> Lay:
    placements, end_mm = stacked_rows(_rows(gowns, strip, rule), strip)
    return finished_lay(chain.from_iterable(gowns), strip, placements, end_mm=end_mm, engine=engine)


def _rows(gowns: Iterable[Sequence[LayPiece]], strip: Strip, rule: RowRule) -> Iterator[Row]:
    for gown in gowns:
        yield from rows_of(gown, strip, rule)
