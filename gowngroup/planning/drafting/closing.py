"""Whether a draft closes: seams, notches and fit, measured on the pieces and not on what they were drawn from."""

import math
from collections.abc import Iterator, Mapping

import shapely

from gowngroup.planning.drafting.draft import Draft, EdgeRef, Seam
from gowngroup.planning.drafting.faults import Fault, FaultCode, fault
from gowngroup.planning.drafting.finished import finished_measures
from gowngroup.planning.drafting.kinds import DraftKind
from gowngroup.planning.drafting.outlines import piece_faults
from gowngroup.planning.drafting.piece import Piece
from gowngroup.planning.geometry import flattened, path_length_mm

_FINE_MM = 1e-3
_LAPPING: Mapping[DraftKind, str] = {"round-neck": "backs", "yoke": "backs", "wrap": "sides of the wrap"}


def closing_faults(draft: Draft) -> tuple[Fault, ...]:
    """Everything that keeps the draft from being sewn; empty when it closes.

    Seams are walked along their curves and may differ by the rules' tolerance (1 mm), as may notches along them;
    neck, chest and sleeve need their ease; each piece needs a simple outline with its allowances, halves that
    mirror and grain along its length; the gown must open from neck to hem.
    """
    return (
        *(found for seam in draft.seams for found in _seam_faults(draft, seam)),
        *_fit_faults(draft),
        *(found for piece in draft.pieces for found in piece_faults(piece, draft.rules.seam_tolerance_mm)),
        *_opening_faults(draft),
    )


def _seam_faults(draft: Draft, seam: Seam) -> Iterator[Fault]:
    left_mm = _walked_mm(draft, seam.left) - seam.taken_up_mm
    right_mm = _walked_mm(draft, seam.right)
    tolerance_mm = draft.rules.seam_tolerance_mm
    difference_mm = left_mm - right_mm
    name = seam.name.replace("_", " ")
    if abs(difference_mm) > tolerance_mm:
        sentence = f"Seam {name}: {left_mm:.1f} mm meets {right_mm:.1f} mm."
        yield fault("seam", seam.name, difference_mm, sentence)
    left, right = _notches_mm(draft, seam.left), _notches_mm(draft, seam.right)
    if seam.taken_up_mm:
        left = _middle_only(left, left_mm + seam.taken_up_mm, left_mm)
    if len(left) != len(right):
        yield fault("notch", seam.name, float(len(left) - len(right)), f"Seam {name}: notches are missing.")
    for left_notch_mm, right_notch_mm in zip(left, right, strict=False):
        apart_mm = left_notch_mm - right_notch_mm
        if abs(apart_mm) > tolerance_mm:
            yield fault(
                "notch", seam.name, apart_mm, f"Seam {name}: notches lie {abs(apart_mm):.1f} mm apart."
            )


def _walked_mm(draft: Draft, references: tuple[EdgeRef, ...]) -> float:
    return sum(path_length_mm(draft.edge(reference).walked) for reference in references)


def _notches_mm(draft: Draft, references: tuple[EdgeRef, ...]) -> tuple[float, ...]:
    """How far along the seam each notch lies, found by dropping it on the edge."""
    found: list[float] = []
    before_mm = 0.0
    for reference in references:
        walked = draft.edge(reference).walked
        line = shapely.LineString(flattened(walked, tolerance_mm=_FINE_MM))
        if reference.is_backwards:
            line = line.reverse()
        notches = (each for each in draft.piece(reference.piece).notches if each.edge == reference.edge)
        found.extend(before_mm + line.project(shapely.Point(each.seam_point)) for each in notches)
        before_mm += line.length
    return tuple(sorted(found))


def _middle_only(notches_mm: tuple[float, ...], flat_mm: float, finished_mm: float) -> tuple[float, ...]:
    """Of the notches along the flat strip the one at its middle, where it lies once the strip is pleated."""
    middle = min(notches_mm, key=lambda notch_mm: abs(notch_mm - flat_mm / 2), default=None)
    return () if middle is None else (finished_mm / 2 + (middle - flat_mm / 2),)


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
            sentence = f"The {where} measures {measured_mm:.0f} mm; with ease {needed_mm:.0f} mm are needed."
            yield fault(where, where, measured_mm - needed_mm, sentence)


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
            sentence = f"The {'wrap' if draft.kind == 'wrap' else 'gown'} does not open from neck to hem."
            yield fault("opening", reference.piece, short_mm, sentence)
    lacking_mm = draft.measures.overlap_mm - draft.rules.overlap_mm
    if lacking_mm < -_FINE_MM:
        sentence = f"The {_LAPPING[draft.kind]} overlap by {-lacking_mm:.0f} mm too little."
        yield fault("opening", draft.opening[0].piece, lacking_mm, sentence)


def _short_mm(piece: Piece, name: str) -> float:
    """How far an edge stops short of the edges before and after it."""
    names = [edge.name for edge in piece.edges]
    here = names.index(name)
    before, after = piece.edges[here - 1].walked, piece.edges[(here + 1) % len(names)].walked
    walked = piece.edges[here].walked
    return max(math.dist(before.end, walked.start), math.dist(walked.end, after.start))
