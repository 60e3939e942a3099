"""Pieces of kits seen as bare outlines, and placements of bare outlines given back to the pieces of kits."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from gowngroup.planning.geometry.polygon import bounding_box_mm
from gowngroup.planning.lay.ask import Ask
from gowngroup.planning.lay.blocks import refuse_piece
from gowngroup.planning.lay.outlines import Piece, Placement, placed
from gowngroup.planning.lay.values import (
    ClothLay,
    LayPiece,
    Outline,
    PlacedPiece,
    Strip,
    finished_lay,
)


class Alike(NamedTuple):
    """Pieces with the same outline and freedom to turn; any of them may take any place of the others."""

    bare: Piece
    members: tuple[LayPiece, ...]
    is_matched: bool


def alike_pieces(pieces: Iterable[LayPiece], strip: Strip) -> tuple[Alike, ...]:
    """Pieces grouped by outline, in an order that does not depend on the order they come in.

    Across and along the cloth change places: bare outlines have their grain along x. Raises PieceTooWide, ValueError.
    """
    found: dict[tuple[Outline, bool, bool], list[LayPiece]] = {}
    for piece in sorted(pieces, key=lambda each: each.key):
        refuse_piece(piece, strip)
        found.setdefault((_bare(piece), strip.may_turn(piece), strip.matches(piece)), []).append(piece)
    return tuple(
        Alike(
            bare=Piece(
                id=str(number),
                outline=outline,
                quantity=len(found[outline, may_turn, is_matched]),
                turns=(0.0, 180.0) if may_turn else (0.0,),
            ),
            members=tuple(found[outline, may_turn, is_matched]),
            is_matched=is_matched,
        )
        for number, (outline, may_turn, is_matched) in enumerate(sorted(found))
    )


def asked(groups: Sequence[Alike], strip: Strip) -> Ask:
    """What the search is asked for these groups on this strip."""
    return Ask(
        pieces=tuple(group.bare for group in groups),
        strip_width_mm=strip.usable_width_mm,
        gap_mm=strip.gap_mm,
        flaws=tuple((flaw.from_mm, flaw.to_mm) for flaw in strip.flaws),
        repeat_mm=strip.repeat_mm,
        matched_ids=frozenset(group.bare.id for group in groups if group.is_matched),
    )


def _bare(piece: LayPiece) -> Outline:
    left, bottom, _, _ = bounding_box_mm(piece.outline)
    return tuple((y - bottom, x - left) for x, y in piece.outline)


def cloth_lay(
    groups: Sequence[Alike], placements: Iterable[Placement], strip: Strip, *, engine: str
) -> ClothLay:
    """The lay of the kits' pieces; alike pieces take their places in the order these come along the cloth."""
    waiting = {group.bare.id: (group.bare, iter(group.members)) for group in groups}
    found: list[PlacedPiece] = []
    end_mm = 0.0
    for place in sorted(placements, key=lambda each: (each.x_mm, each.y_mm, each.id)):
        bare, members = waiting[place.id]
        start, low, end, _ = bounding_box_mm(placed(bare, place))
        end_mm = max(end_mm, end)
        found.append(
            PlacedPiece(
                piece_key=next(members).key,
                x_mm=max(low, 0.0),
                y_mm=max(start, 0.0),
                is_turned=place.turn != 0,
            )
        )
    pieces = [piece for group in groups for piece in group.members]
    return finished_lay(pieces, strip, found, end_mm=end_mm, engine=engine)
