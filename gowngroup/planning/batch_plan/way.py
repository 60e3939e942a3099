"""How the cloth of a lot is cut: all its kits together, in pairs on folded cloth, or kit after kit."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Literal

from gowngroup.planning.lay.folded import folded
from gowngroup.planning.lay.kit_by_kit import kit_by_kit
from gowngroup.planning.lay.values import ClothLay, LayEngine, LayPiece, Outline, PlacedPiece, Strip

CuttingWay = Literal["together", "kit by kit", "folded"]

_Shapes = tuple[tuple[Outline, bool, bool], ...]


def engine_for(way: CuttingWay, engine: LayEngine) -> LayEngine:
    """The engine as it is, or laying on cloth folded in half, or kit after kit on a stretch for each.

    Kit by kit, no piece of another kit lies in a kit's stretch; kits alike are laid once and lie alike. Raises what the
    engine raises.
    """
    if way == "folded":
        return folded(engine)
    return engine if way == "together" else kit_by_kit(_once_for_kits_alike(engine))


def _once_for_kits_alike(engine: LayEngine) -> LayEngine:
    known: dict[tuple[Strip, _Shapes], tuple[ClothLay, tuple[str, ...]]] = {}

    def lay_or_copy(pieces: Sequence[LayPiece], strip: Strip) -> ClothLay:
        keys = tuple(piece.key for piece in pieces)
        shapes = tuple((piece.outline, piece.may_turn, piece.is_matched) for piece in pieces)
        if (strip, shapes) not in known:
            known[strip, shapes] = engine(pieces, strip), keys
        lay, own_keys = known[strip, shapes]
        return replace(lay, placements=_renamed(lay, dict(zip(own_keys, keys, strict=True))))

    return lay_or_copy


def _renamed(lay: ClothLay, key_of: dict[str, str]) -> tuple[PlacedPiece, ...]:
    return tuple(replace(place, piece_key=key_of[place.piece_key]) for place in lay.placements)
