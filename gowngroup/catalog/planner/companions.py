"""What is cut along with a gown from the same cloth: bonnet, blanket, keepsake squares, a spare piece."""

from collections.abc import Iterable
from typing import cast

from gowngroup.catalog.models import DesignRevision, Size
from gowngroup.catalog.planner.part_words import piece_label
from gowngroup.catalog.planner.refusal_words import refusal_sentence
from gowngroup.catalog.planner.rows import size_band
from gowngroup.catalog.planner.values import GownPiece, PlannerSettings
from gowngroup.planning import drafting


def companions(
    revision: DesignRevision, size: Size, settings: PlannerSettings
) -> tuple[tuple[GownPiece, ...], tuple[str, ...]]:
    """The companion pieces of a gown, and a sentence for each that cannot be cut in this size."""
    pieces: list[GownPiece] = []
    faults: list[str] = []
    for kind in revision.companions:
        try:
            pieces += _pieces(cast(drafting.CompanionKind, kind), size, settings)
        except drafting.CannotDraft as refusal:
            faults.append(refusal_sentence(refusal))
    return tuple(pieces), tuple(faults)


def _pieces(kind: drafting.CompanionKind, size: Size, settings: PlannerSettings) -> Iterable[GownPiece]:
    found = drafting.companion_pieces(
        size=size_band(size, settings),
        rules=drafting.DraftRules.from_figures(settings.figures),
        kinds=(kind,),
    )
    return [
        GownPiece(name=piece_label(piece.name), part=piece.name, pattern=piece, is_companion=True)
        for companion in found
        for piece in companion.pieces
    ]
