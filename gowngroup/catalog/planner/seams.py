"""The seams of a gown and the sewing thread they take."""

from collections.abc import Iterable
from typing import cast

from gowngroup.catalog.models import DesignRevision
from gowngroup.catalog.planner.values import GownPiece, PlannerSettings, TrimNeed
from gowngroup.planning.geometry import path_length_mm
from gowngroup.planning.thread import SeamThread, StitchClass, ThreadRules, gown_seams, seam_threads


def seam_threads_of(
    revision: DesignRevision,
    pieces: Iterable[GownPiece],
    trims: Iterable[TrimNeed],
    *,
    hems: frozenset[tuple[str, str]],
    settings: PlannerSettings,
) -> tuple[SeamThread, ...]:
    """Each edge counts once: joined to another, or as a hem; companion pieces are hemmed."""
    edges = [
        (piece.is_companion or (piece.part, edge.name) in hems, piece.count * path_length_mm(edge.walked))
        for piece in pieces
        if not piece.is_left_unsewn
        for edge in piece.pattern.edges
    ]
    rules = ThreadRules.from_figures(settings.figures)
    seams = gown_seams(
        joined_mm=sum(length_mm for is_hem, length_mm in edges if not is_hem),
        hem_mm=sum(length_mm for is_hem, length_mm in edges if is_hem),
        trim_mm=sum(trim.sewn_mm for trim in trims),
        seam_class=cast(StitchClass, revision.seam_class),
        trim_class=cast(StitchClass, revision.trim_class),
        rules=rules,
    )
    return seam_threads(seams, rules)
