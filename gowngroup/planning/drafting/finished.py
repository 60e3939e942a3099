"""What a draft measures once sewn, walked on its pieces."""

from gowngroup.planning.drafting.draft import Draft, EdgeRef, FinishedMeasures, TrimEdge
from gowngroup.planning.geometry import path_length_mm


def finished_measures(draft: Draft) -> FinishedMeasures:
    """The finished measures in mm, walked on the pieces and closed over the overlap."""
    overlap_mm = draft.measures.overlap_mm
    neck = next(seam for seam in draft.seams if seam.name == "neck_binding")
    back = draft.piece("back")
    return FinishedMeasures(
        neck_mm=_walked_mm(draft, *neck.left) - neck.taken_up_mm - overlap_mm,
        chest_mm=_between_underarms_mm(draft, "front") + 2 * _back_chest_mm(draft) - overlap_mm,
        length_mm=path_length_mm(back.edge("centre_back").walked),
        sleeve_girth_mm=_between_underarms_mm(draft, "sleeve"),
        sleeve_hem_mm=_walked_mm(draft, EdgeRef(piece="sleeve", edge="hem")),
        sleeve_length_mm=_sleeve_length_mm(draft),
        hem_sweep_mm=_hem_mm(draft) - overlap_mm,
    )


def trim_edges(draft: Draft) -> tuple[TrimEdge, ...]:
    """The edges of the sewn gown that may carry a trim, each in one length in mm."""
    sleeve_hem_mm = _walked_mm(draft, EdgeRef(piece="sleeve", edge="hem"))
    binding_mm = _walked_mm(draft, EdgeRef(piece="neck binding", edge="neck"))
    return (
        TrimEdge(name="hem", length_mm=_hem_mm(draft), count=1),
        TrimEdge(name="sleeve_hem", length_mm=sleeve_hem_mm, count=2),
        TrimEdge(name="neck", length_mm=binding_mm, count=1),
    )


def _walked_mm(draft: Draft, *references: EdgeRef) -> float:
    return sum(path_length_mm(draft.edge(reference).walked) for reference in references)


def _hem_mm(draft: Draft) -> float:
    back_hem = EdgeRef(piece="back", edge="hem")
    return _walked_mm(draft, back_hem, EdgeRef(piece="front", edge="hem"), back_hem)


def _between_underarms_mm(draft: Draft, piece: str) -> float:
    left, right = draft.piece(piece).edge("raglan_left"), draft.piece(piece).edge("raglan_right")
    return right.walked.end[0] - left.walked.start[0]


def _back_chest_mm(draft: Draft) -> float:
    back = draft.piece("back")
    return back.edge("raglan").walked.end[0] - back.edge("centre_back").walked.start[0]


def _sleeve_length_mm(draft: Draft) -> float:
    sleeve = draft.piece("sleeve")
    raglan, underarm = sleeve.edge("raglan_right").walked, sleeve.edge("underarm_right").walked
    return raglan.end[1] - raglan.start[1] + path_length_mm(underarm)
