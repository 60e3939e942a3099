"""Outlines grown all round, so that the space between pieces needs no thought of its own while laying."""

from __future__ import annotations

from functools import lru_cache

from shapely import Polygon

from gowngroup.planning.lay.values import SAME_MM, Outline

# The same few outlines are grown for every lay of a plan.
OUTLINES_REMEMBERED = 1 << 12


@lru_cache(maxsize=OUTLINES_REMEMBERED)
def swollen(outline: Outline, by_mm: float) -> Outline:
    """The outline grown by this much, its corners cut off where they would reach further. Source: derived."""
    if by_mm < SAME_MM:
        return outline
    grown = Polygon(outline).buffer(by_mm, join_style="mitre", mitre_limit=1.0)
    return tuple((x, y) for x, y, *_ in grown.exterior.coords[:-1])
