"""Where a long lay is broken into pages: between the pieces, else where fewest are parted."""

from collections.abc import Sequence
from dataclasses import dataclass

from gowngroup.printing.planner.cutting.pieces import CutPiece
from gowngroup.printing.planner.cutting.scale import Scale

LEAST_SHARE = 0.55  # of what a page could show, before a cleaner place is not worth the paper
SAME_MM = 0.05


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """A stretch of cloth between two breaks, and what its page shows of it: a little more on either side."""

    from_mm: float
    to_mm: float
    top_mm: float
    bottom_mm: float

    def holds_mm(self, piece: CutPiece) -> float:
        """How much of a piece's length lies between the breaks."""
        return min(piece.end_mm, self.to_mm) - max(piece.from_start_mm, self.from_mm)

    def shows(self, piece: CutPiece) -> bool:
        """Is anything of a piece on the page?"""
        return piece.end_mm > self.top_mm + SAME_MM and piece.from_start_mm < self.bottom_mm - SAME_MM


def stretches(pieces: Sequence[CutPiece], *, length_mm: float, scale: Scale) -> tuple[Stretch, ...]:
    """The stretches of a lay of this length in mm, first to last; each page shows the overlap beyond its breaks."""
    breaks = [0.0]
    while length_mm - _top_mm(breaks[-1], scale) > scale.shown_mm + SAME_MM:
        breaks.append(_next_break_mm(pieces, breaks[-1], scale))
    ends = [*breaks[1:], length_mm]
    return tuple(
        Stretch(
            from_mm=start,
            to_mm=end,
            top_mm=_top_mm(start, scale),
            bottom_mm=min(end + scale.overlap_mm, length_mm),
        )
        for start, end in zip(breaks, ends, strict=True)
    )


def _top_mm(start_mm: float, scale: Scale) -> float:
    return max(start_mm - scale.overlap_mm, 0.0)


def _next_break_mm(pieces: Sequence[CutPiece], start_mm: float, scale: Scale) -> float:
    last_mm = _top_mm(start_mm, scale) + scale.shown_mm - scale.overlap_mm
    first_mm = start_mm + LEAST_SHARE * (last_mm - start_mm)
    edges = {edge for piece in pieces for edge in (piece.from_start_mm, piece.end_mm)}
    places = [edge for edge in edges - {max(edges)} if first_mm <= edge <= last_mm]
    return min((*places, last_mm), key=lambda place: (_parted_count(pieces, place), -place))


def _parted_count(pieces: Sequence[CutPiece], place_mm: float) -> int:
    return sum(piece.from_start_mm + SAME_MM < place_mm < piece.end_mm - SAME_MM for piece in pieces)
