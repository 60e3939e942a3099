"""Gowns of every kind drafted for the default sizes, and measures taken of them by other means, for the tests."""

from collections.abc import Iterable, Mapping
from functools import cache

import numpy as np
from shapely import Polygon

from gowngroup.planning.drafting import (
    CannotDraft,
    Closure,
    Draft,
    DraftKind,
    DraftRules,
    EdgeRef,
    Piece,
    Purpose,
    draft_gown,
)
from gowngroup.planning.geometry import Path
from gowngroup.planning.sizes import DEFAULT_BANDS, SizeBand
from gowngroup.planning.smocking import Chart
from tests.planning.round_necks import ROW_SPACE_MM, RULES, TAKE_UP_MM, size_up_to

PURPOSES: tuple[Purpose, ...] = ("worn", "memorial")


def drafted(
    kind: DraftKind,
    size: SizeBand,
    *,
    purpose: Purpose = "memorial",
    rules: DraftRules = RULES,
    closure: Closure | None = None,
    overrides: Mapping[str, float] | None = None,
    chart: Chart | None = None,
) -> Draft:
    """A draft with the usual pleater."""
    return draft_gown(
        kind,
        size=size,
        rules=rules,
        purpose=purpose,
        pleater_take_up_mm=TAKE_UP_MM,
        pleater_row_space_mm=ROW_SPACE_MM,
        closure=closure,
        overrides=overrides,
        chart=chart,
    )


@cache
def usual(kind: DraftKind, mass_g: float, purpose: Purpose = "memorial") -> Draft:
    """The gown of one default size as it comes, drafted once."""
    return drafted(kind, size_up_to(mass_g), purpose=purpose)


@cache
def every_draft(kind: DraftKind) -> tuple[Draft, ...]:
    """All drafts of a kind, each default size and purpose that is not refused."""
    found = []
    for size in DEFAULT_BANDS:
        for purpose in PURPOSES:
            try:
                found.append(usual(kind, size.upper_mass_g, purpose))
            except CannotDraft:
                continue
    return tuple(found)


def sampled_mm(walked: Path) -> float:
    """Length of a path from its Bernstein polynomials at 501 points, no help from the planner's own walk."""
    share = np.linspace(0.0, 1.0, 501)[:, None]
    total = 0.0
    for segment in walked.segments:
        corners = np.array(segment.points)
        if len(corners) == 2:
            total += float(np.linalg.norm(corners[1] - corners[0]))
            continue
        weights = ((1 - share) ** 3, 3 * share * (1 - share) ** 2, 3 * share**2 * (1 - share), share**3)
        points = sum(weight * corner for weight, corner in zip(weights, corners, strict=True))
        total += float(np.linalg.norm(np.diff(np.asarray(points), axis=0), axis=1).sum())
    return total


def sampled_along_mm(draft: Draft, references: Iterable[EdgeRef]) -> float:
    """Length of edges one after the other."""
    return sum(sampled_mm(draft.edge(each).walked) for each in references)


def product_moment_mm4(piece: Piece) -> float:
    """Product moment of area of the cut outline about its centre, from its triangles: 0 where halves mirror."""
    points = np.array(piece.cut_polygon) - np.array(Polygon(piece.cut_polygon).centroid.coords[0])
    x, y = points.T
    x_1, y_1 = np.roll(x, -1), np.roll(y, -1)
    cross = x * y_1 - x_1 * y
    return float((cross * (x * y_1 + 2 * x * y + 2 * x_1 * y_1 + x_1 * y)).sum() / 24)
