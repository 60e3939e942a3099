"""What a lay of bare outlines is asked for."""

from __future__ import annotations

from dataclasses import dataclass

from gowngroup.planning.lay.outlines import Piece


@dataclass(frozen=True, slots=True, kw_only=True)
class Ask:
    """What is to be laid on what: outlines with their grain along x; flaws and repeat in mm along the strip."""

    pieces: tuple[Piece, ...]
    strip_width_mm: float
    gap_mm: float = 0.0
    flaws: tuple[tuple[float, float], ...] = ()
    repeat_mm: float = 0.0
    matched_ids: frozenset[str] = frozenset()

    @property
    def grown_mm(self) -> float:
        """Width of a strip on which the pieces, grown by half the gap, may touch each other and the edges."""
        return self.strip_width_mm + self.gap_mm
