"""Whether a draft closes: seams, notches and fit, measured on the pieces and not on what they were drawn from."""

import math
from collections.abc import Iterator

from gowngroup.planning.drafting.draft import Draft
from gowngroup.planning.drafting.faults import Fault, FaultCode
from gowngroup.planning.drafting.finished import finished_measures
from gowngroup.planning.drafting.outlines import piece_faults
from gowngroup.planning.drafting.piece import Piece
from gowngroup.planning.drafting.seam_faults import seam_faults

_FINE_MM = 1e-3


def closing_faults(draft: Draft) -> tuple[Fault, ...]:
    """Everything that keeps the draft from being sewn; empty when it closes.

    Seams are walked along their curves and may differ by the rules' tolerance (1 mm), as may notches along them;
    neck, chest and sleeve need their ease; each piece needs a simple outline with its allowances, halves that
    mirror and grain along its length; the gown must open from neck to hem.
    """
    return (
        *(
            found
            for seam in draft.seams
            for found in seam_faults(draft.pieces, seam, draft.rules.seam_tolerance_mm)
        ),
        *_fit_faults(draft),
        *(found for piece in draft.pieces for found in piece_faults(piece, draft.rules.seam_tolerance_mm)),
        *_opening_faults(draft),
    )


def _fit_faults(draft: Draft) -> Iterator[Fault]:
    rules = draft.rules
    chest_mm = rules.chest_or_estimate_mm(draft.size)
    finished = finished_measures(draft)
    fits: tuple[tuple[FaultCode, float | None, float], ...] = (
        ("neck", finished.neck_mm, rules.needed_neck_mm(chest_mm)),
        ("chest", finished.chest_mm, rules.needed_chest_mm(chest_mm)),
        ("sleeve", finished.sleeve_girth_mm, rules.needed_sleeve_mm(chest_mm)),
        ("sleeve", finished.sleeve_hem_mm, rules.needed_sleeve_mm(chest_mm)),
    )
    for where, measured_mm, needed_mm in fits:
        if measured_mm is not None and measured_mm < needed_mm - _FINE_MM:
            yield Fault(code=where, where=where, difference_mm=measured_mm - needed_mm)


def _opening_faults(draft: Draft) -> Iterator[Fault]:
    """The opening's edges are sewn to nothing but a lining, leave no gap on the way, and lap over one another."""
    sewn = {
        (each.piece, each.edge)
        for seam in draft.seams
        if not seam.is_facing
        for each in (*seam.left, *seam.right)
    }
    tolerance_mm = draft.rules.seam_tolerance_mm
    for reference in draft.opening:
        short_mm = _short_mm(draft.piece(reference.piece), reference.edge)
        if (reference.piece, reference.edge) in sewn or short_mm > tolerance_mm:
            yield Fault(code="opening", where=reference.piece, difference_mm=short_mm)
    lacking_mm = draft.measures.overlap_mm - draft.rules.overlap_mm
    if lacking_mm < -_FINE_MM:
        yield Fault(code="overlap", where=draft.opening[0].piece, difference_mm=lacking_mm)


def _short_mm(piece: Piece, name: str) -> float:
    """How far an edge stops short of the edges before and after it."""
    names = [edge.name for edge in piece.edges]
    here = names.index(name)
    before, after = piece.edges[here - 1].walked, piece.edges[(here + 1) % len(names)].walked
    walked = piece.edges[here].walked
    return max(math.dist(before.end, walked.start), math.dist(walked.end, after.start))
