"""What a draft measures once sewn, walked on its pieces."""

from collections.abc import Callable, Mapping

from gowngroup.planning.drafting.draft import Draft, EdgeRef, FinishedMeasures, TrimEdge
from gowngroup.planning.drafting.kinds import DraftKind
from gowngroup.planning.drafting.outlines import seam_outline
from gowngroup.planning.drafting.piece import Piece
from gowngroup.planning.geometry import bounding_box_mm, path_length_mm, point_at


def finished_measures(draft: Draft) -> FinishedMeasures:
    """The finished measures in mm, walked on the pieces and closed over the overlap."""
    return _FINISHED[draft.kind](draft)


def trim_edges(draft: Draft) -> tuple[TrimEdge, ...]:
    """The edges of the sewn gown that may carry a trim, each in one length in mm, over the overlap where it laps."""
    if draft.kind == "wrap":
        return _wrap_edges(draft)
    edges = (
        TrimEdge(name="hem", length_mm=_hem_mm(draft), count=1),
        TrimEdge(name="sleeve_hem", length_mm=_edge_mm(draft, "sleeve", "hem"), count=2),
        TrimEdge(name="neck", length_mm=_edge_mm(draft, "neck binding", "neck"), count=1),
    )
    if draft.panel is None:
        return edges
    front_mm = _edge_mm(draft, "front yoke", "yoke_seam")
    return (*edges, TrimEdge(name="yoke_seam", length_mm=front_mm, count=1))


def _round_neck(draft: Draft) -> FinishedMeasures:
    overlap_mm = draft.measures.overlap_mm
    raglan = draft.piece("back").edge("raglan").walked
    back_mm = raglan.end[0] - draft.piece("back").edge("centre_back").walked.start[0]
    sleeve = draft.piece("sleeve")
    fall_mm = sleeve.edge("raglan_right").walked.end[1] - sleeve.edge("raglan_right").walked.start[1]
    return FinishedMeasures(
        neck_mm=_neck_mm(draft),
        chest_mm=_between_mm(draft.piece("front"), "raglan") + 2 * back_mm - overlap_mm,
        length_mm=_edge_mm(draft, "back", "centre_back"),
        sleeve_girth_mm=_between_mm(sleeve, "raglan"),
        sleeve_hem_mm=_edge_mm(draft, "sleeve", "hem"),
        sleeve_length_mm=fall_mm + _edge_mm(draft, "sleeve", "underarm_right"),
        hem_sweep_mm=_hem_mm(draft) - overlap_mm,
    )


def _yoke(draft: Draft) -> FinishedMeasures:
    """The chest is measured where the gown is tightest: across the yoke seams and out to the underarms."""
    overlap_mm = draft.measures.overlap_mm
    front_yoke_mm = _edge_mm(draft, "front yoke", "yoke_seam")
    back_yoke_mm = _edge_mm(draft, "back yoke", "yoke_seam") + _edge_mm(draft, "back yoke", "yoke_seam_flat")
    armholes_mm = _out_mm(draft, "front panel", "armhole_right") + _out_mm(draft, "back", "armhole")
    cap = draft.piece("sleeve").edge("cap_right").walked
    from_shoulder_mm = cap.end[1] - cap.start[1] + _edge_mm(draft, "sleeve", "underarm_right")
    return FinishedMeasures(
        neck_mm=_neck_mm(draft),
        chest_mm=front_yoke_mm + 2 * back_yoke_mm + 2 * armholes_mm - overlap_mm,
        length_mm=sum(_edge_mm(draft, each.piece, each.edge) for each in draft.opening),
        sleeve_girth_mm=_between_mm(draft.piece("sleeve"), "cap"),
        sleeve_hem_mm=_edge_mm(draft, "sleeve", "hem"),
        sleeve_length_mm=_edge_mm(draft, "front yoke", "shoulder_right") + from_shoulder_mm,
        hem_sweep_mm=_hem_mm(draft) - overlap_mm,
        smocked_width_mm=draft.panel.finished_mm if draft.panel else None,
    )


def _wrap(draft: Draft) -> FinishedMeasures:
    wrap = draft.piece("wrap")
    left_mm, _, right_mm, bottom_mm = bounding_box_mm(seam_outline(wrap))
    neck = wrap.edge("neck").walked
    (_, neck_y_mm), _ = point_at(neck, distance_mm=path_length_mm(neck) / 2)
    width_mm, overlap_mm = right_mm - left_mm, draft.measures.overlap_mm
    return FinishedMeasures(
        chest_mm=width_mm - overlap_mm,
        length_mm=bottom_mm - neck_y_mm,
        hem_sweep_mm=width_mm - overlap_mm,
        width_mm=width_mm,
    )


_FINISHED: Mapping[DraftKind, Callable[[Draft], FinishedMeasures]] = {
    "round-neck": _round_neck,
    "yoke": _yoke,
    "wrap": _wrap,
}


def _wrap_edges(draft: Draft) -> tuple[TrimEdge, ...]:
    round_mm = sum(path_length_mm(edge.walked) for edge in draft.piece("wrap").edges)
    return (
        TrimEdge(name="neck", length_mm=_edge_mm(draft, "wrap", "neck"), count=1),
        TrimEdge(name="hem", length_mm=_edge_mm(draft, "wrap", "hem"), count=1),
        TrimEdge(name="round", length_mm=round_mm, count=1),
    )


def _neck_mm(draft: Draft) -> float:
    neck = next(seam for seam in draft.seams if seam.name == "neck_binding")
    return _walked_mm(draft, *neck.left) - neck.taken_up_mm - draft.measures.overlap_mm


def _walked_mm(draft: Draft, *references: EdgeRef) -> float:
    return sum(path_length_mm(draft.edge(reference).walked) for reference in references)


def _edge_mm(draft: Draft, piece: str, edge: str) -> float:
    return _walked_mm(draft, EdgeRef(piece=piece, edge=edge))


def _hem_mm(draft: Draft) -> float:
    front = "front panel" if draft.panel else "front"
    return 2 * _edge_mm(draft, "back", "hem") + _edge_mm(draft, front, "hem")


def _between_mm(piece: Piece, edge: str) -> float:
    """From underarm to underarm, where the left and the right edge of this name end."""
    return piece.edge(f"{edge}_right").walked.end[0] - piece.edge(f"{edge}_left").walked.start[0]


def _out_mm(draft: Draft, piece: str, edge: str) -> float:
    """How far an armhole below the yoke runs outwards."""
    walked = draft.piece(piece).edge(edge).walked
    return walked.end[0] - walked.start[0]
