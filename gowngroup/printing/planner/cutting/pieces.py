"""The pieces of a lay as they are cut: numbered along the cloth, each with its place, measures and the way it lies."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from django.utils.translation import gettext as _

from gowngroup.batches.planner.document import StoredPlan
from gowngroup.catalog.planner import GownPiece
from gowngroup.planning.allocation import LotCut
from gowngroup.planning.geometry import bounding_box_mm
from gowngroup.planning.lay.values import LayPiece, Outline, PlacedPiece, placed_outline
from gowngroup.records.written import known

BIAS_SQUARE = "bias square"  # as the plan calls it


@dataclass(frozen=True, slots=True, kw_only=True)
class CutPiece:
    """One piece on the cloth; its outline in mm from the outer edge of the left selvedge and from the start edge."""

    number: int
    key: str
    kit_key: str
    name: str
    outline: Outline
    is_turned: bool
    is_face_down: bool
    is_bias: bool
    is_matched: bool

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Left, top, right and bottom in mm."""
        return bounding_box_mm(self.outline)

    @property
    def from_start_mm(self) -> float:
        """From the start edge to where the piece begins."""
        return self.box[1]

    @property
    def from_selvedge_mm(self) -> float:
        """From the outer edge of the left selvedge to where the piece begins."""
        return self.box[0]

    @property
    def end_mm(self) -> float:
        """From the start edge to where the piece ends."""
        return self.box[3]

    @property
    def across_mm(self) -> float:
        """Its width across the cloth."""
        return self.box[2] - self.box[0]

    @property
    def along_mm(self) -> float:
        """Its length along the cloth."""
        return self.box[3] - self.box[1]

    @property
    def mark(self) -> str:
        """Its number and its kit's in one word, `17/3`."""
        return f"{self.number}/{self.kit_key}"

    @property
    def lies(self) -> str:
        """Which way the pattern piece is put on the cloth."""
        ways = [_("turned")] if self.is_turned else []
        ways += [_("face down")] if self.is_face_down else []
        return ", ".join(ways)


def cut_pieces(stored: StoredPlan, cut: LotCut) -> tuple[CutPiece, ...]:
    """Every piece of a lay as stored, numbered from 1 along the cloth, those at one height from the left."""
    by_key = {piece.key: piece for piece in cut.pieces}
    patterns = {key: dict(_patterns(stored, key)) for key in cut.kit_keys}
    selvedge_mm = stored.lot(cut.lot_key)["selvedge_um"] / 1000
    return tuple(
        _cut_piece(
            number,
            piece := by_key[place.piece_key],
            place,
            gown_piece=patterns[piece.kit_key].get(piece.name),
            selvedge_mm=selvedge_mm,
        )
        for number, place in enumerate(_along_the_cloth(cut.lay.placements), start=1)
    )


def _along_the_cloth(places: Iterable[PlacedPiece]) -> list[PlacedPiece]:
    """Tenths of a millimetre are one height: what lies side by side is counted from the left."""
    return sorted(places, key=lambda place: (round(place.y_mm, 1), place.x_mm, place.piece_key))


def _patterns(stored: StoredPlan, kit_key: str) -> Iterator[tuple[str, GownPiece]]:
    kit = stored.kits[kit_key]
    for piece in stored.needs[kit["revision_id"], kit["size_id"], kit["purpose"]].pieces:
        yield piece.name, piece


def _cut_piece(
    number: int,
    piece: LayPiece,
    place: PlacedPiece,
    *,
    gown_piece: GownPiece | None,
    selvedge_mm: float,
) -> CutPiece:
    return CutPiece(
        number=number,
        key=piece.key,
        kit_key=piece.kit_key,
        name=_("bias square") if piece.name == BIAS_SQUARE else known(piece.name),
        outline=tuple((x + selvedge_mm, y) for x, y in placed_outline(piece, place)),
        is_turned=place.is_turned,
        is_face_down=gown_piece is not None and _is_face_down(gown_piece, piece.number),
        is_bias=gown_piece is not None and gown_piece.pattern.is_bias,
        is_matched=piece.is_matched,
    )


def _is_face_down(piece: GownPiece, number: int) -> bool:
    """Is this the other one of a pair? Each gown's pieces are numbered on from the gown before."""
    return piece.pattern.is_pair and (number - 1) % piece.count % 2 == 1
