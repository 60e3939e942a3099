"""Whether a draft closes: seams, notches and fit, measured on the pieces and not on what they were drawn from."""

from collections.abc import Iterator

import shapely

from gowngroup.planning.drafting.draft import Draft, EdgeRef, Seam
from gowngroup.planning.drafting.faults import Fault, FaultCode, fault
from gowngroup.planning.drafting.finished import finished_measures
from gowngroup.planning.drafting.outlines import piece_faults
from gowngroup.planning.geometry import flattened, path_length_mm

_FINE_MM = 1e-3


def closing_faults(draft: Draft) -> tuple[Fault, ...]:
    """Everything that keeps the draft from being sewn; empty when it closes.

    Seams are walked along their curves and may differ by the rules' tolerance (1 mm), as may notches along them;
    neck, chest and sleeve need their ease; each piece needs a simple outline with its allowances, halves that
    mirror and grain along its length; the backs must open from neck to hem.
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
    chest_mm, rules = draft.size.chest_mm or 0.0, draft.rules
    finished = finished_measures(draft)
    fits: tuple[tuple[FaultCode, float, float], ...] = (
        ("neck", finished.neck_mm, rules.needed_neck_mm(chest_mm)),
        ("chest", finished.chest_mm, rules.needed_chest_mm(chest_mm)),
        ("sleeve", finished.sleeve_girth_mm, rules.needed_sleeve_mm(chest_mm)),
        ("sleeve", finished.sleeve_hem_mm, rules.needed_sleeve_mm(chest_mm)),
    )
    for where, measured_mm, needed_mm in fits:
        if measured_mm < needed_mm - _FINE_MM:
            sentence = f"The {where} measures {measured_mm:.0f} mm; with ease {needed_mm:.0f} mm are needed."
            yield fault(where, where, measured_mm - needed_mm, sentence)


def _opening_faults(draft: Draft) -> Iterator[Fault]:
    """The centre edges of the backs are sewn to nothing, run from neck to hem, and lap over one another."""
    back, tolerance_mm = draft.piece("back"), draft.rules.seam_tolerance_mm
    opening = back.edge("centre_back").walked
    sewn = {(each.piece, each.edge) for seam in draft.seams for each in (*seam.left, *seam.right)}
    short_mm = max(
        abs(opening.start[1] - back.edge("hem").walked.end[1]),
        abs(opening.end[1] - back.edge("neck").walked.start[1]),
    )
    if ("back", "centre_back") in sewn or short_mm > tolerance_mm:
        yield fault("opening", "back", short_mm, "The gown does not open from neck to hem.")
    lacking_mm = draft.measures.overlap_mm - draft.rules.overlap_mm
    if lacking_mm < -_FINE_MM:
        yield fault("opening", "back", lacking_mm, f"The backs overlap by {-lacking_mm:.0f} mm too little.")
