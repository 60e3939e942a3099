"""What is cut along with a gown from the same cloth: bonnet, blanket, keepsake squares, a spare piece."""

from collections.abc import Iterable
from typing import cast

from django.utils.translation import gettext as _

from gowngroup.catalog.models import DesignRevision, Size
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
            faults.append(refusal.sentence)
    return tuple(pieces), tuple(faults)


def _pieces(kind: drafting.CompanionKind, size: Size, settings: PlannerSettings) -> Iterable[GownPiece]:
    found = drafting.companion_pieces(
        size=size_band(size, settings),
        rules=drafting.DraftRules.from_figures(settings.figures),
        kinds=(kind,),
    )
    return [
        GownPiece(name=companion_label(piece.name), part=piece.name, pattern=piece, is_companion=True)
        for companion in found
        for piece in companion.pieces
    ]


def companion_label(name: str) -> str:
    """A companion piece's name for the reader."""
    labels = {
        "bonnet band": _("bonnet, band over the head"),
        "bonnet back": _("bonnet, back"),
        "blanket": _("wrap blanket"),
        "keepsake square": _("keepsake square"),
        "swatch": _("spare piece of cloth"),
    }
    return labels.get(name, name)
