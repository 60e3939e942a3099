"""The pieces of a gown with what follows from them, however the design comes by its pieces."""

from collections.abc import Mapping
from dataclasses import dataclass

from gowngroup.catalog.planner.smocked import SmockedWidth
from gowngroup.catalog.planner.values import GownPiece


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """The pieces of a gown, the width that is smocked, finished measures and edges that carry trims, in mm.

    `hems` are the edges sewn to no other, as part and edge; where they are not known, all count as joined.
    """

    pieces: tuple[GownPiece, ...]
    width: SmockedWidth | None
    measures_mm: Mapping[str, float]
    edges_mm: Mapping[str, tuple[float, int]]
    faults: tuple[str, ...]
    hems: frozenset[tuple[str, str]] = frozenset()
