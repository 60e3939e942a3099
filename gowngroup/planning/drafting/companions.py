"""What is cut along with a gown from the same lay: bonnet, wrap blanket, two keepsake squares, a spare swatch."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from gowngroup.planning.drafting.draft import EdgeRef, Seam
from gowngroup.planning.drafting.faults import Fault
from gowngroup.planning.drafting.outlines import piece_faults
from gowngroup.planning.drafting.panel import both_halves
from gowngroup.planning.drafting.piece import Edge, Piece, PieceOutline, cut_or_refuse
from gowngroup.planning.drafting.refusals import CannotDraft
from gowngroup.planning.drafting.rules import DraftRules
from gowngroup.planning.drafting.seam_faults import seam_faults
from gowngroup.planning.geometry import Path, Point, line, mirrored, path, path_length_mm, rounded_corner
from gowngroup.planning.sizes import SizeBand

CompanionKind = Literal["bonnet", "blanket", "keepsakes", "swatch"]
COMPANION_KINDS: tuple[CompanionKind, ...] = ("bonnet", "blanket", "keepsakes", "swatch")


@dataclass(frozen=True, slots=True, kw_only=True)
class Companion:
    """The pieces of one companion of a gown, how they are sewn, and what it measures finished, in mm by name."""

    kind: CompanionKind
    rules: DraftRules
    pieces: tuple[Piece, ...]
    finished: tuple[tuple[str, float], ...]
    seams: tuple[Seam, ...] = ()


def companion_pieces(
    *,
    size: SizeBand,
    rules: DraftRules,
    kinds: Sequence[CompanionKind],
    cloth_width_mm: float | None = None,
) -> tuple[Companion, ...]:
    """The companions asked for, in the order of `COMPANION_KINDS`, all lengths in mm.

    Bonnets follow the head, which is the chest and 2 cm; blankets the body length. Two squares are alike: one stays
    with the baby, one with the family. No bonnet has ties (EN 14682, 0 to 7 years). Source: the group's own blocks;
    each figure carries its own source. Raises CannotDraft naming a piece wider than the cloth.
    """
    found = tuple(_MAKERS[kind](size, rules) for kind in COMPANION_KINDS if kind in kinds)
    for piece in (piece for companion in found for piece in companion.pieces):
        if cloth_width_mm is not None and piece.cut_size_mm[0] > cloth_width_mm:
            raise CannotDraft(
                "wider_than_cloth",
                piece=piece.name,
                width_mm=piece.cut_size_mm[0],
                cloth_width_mm=cloth_width_mm,
            )
    return found


def companion_faults(companion: Companion) -> tuple[Fault, ...]:
    """Everything that keeps a companion from being cut and sewn; empty when it closes."""
    tolerance_mm = companion.rules.seam_tolerance_mm
    return (
        *(found for seam in companion.seams for found in seam_faults(companion.pieces, seam, tolerance_mm)),
        *(found for piece in companion.pieces for found in piece_faults(piece, tolerance_mm)),
    )


def head_mm(size: SizeBand, rules: DraftRules) -> float:
    """Head girth: the chest and what the head is above it; where nobody knows the chest, the size's own head."""
    return size.head_mm if size.chest_mm is None else size.chest_mm + rules.head_above_chest_mm


def _bonnet(size: SizeBand, rules: DraftRules) -> Companion:
    """A band over the head from jaw to jaw, sewn round a horseshoe at the back of the head."""
    around_mm = head_mm(size, rules) + rules.bonnet_ease_mm
    face_mm, depth_mm = rules.bonnet_face_ratio * around_mm, rules.bonnet_depth_ratio * around_mm
    crown = _horseshoe(rules.bonnet_back_ratio * around_mm, face_mm)
    return Companion(
        kind="bonnet",
        rules=rules,
        pieces=(
            cut_or_refuse(_band(face_mm, depth_mm, rules)),
            cut_or_refuse(_bonnet_back(crown, rules)),
        ),
        seams=(
            Seam(
                name="crown",
                left=(EdgeRef(piece="bonnet band", edge="crown_seam"),),
                right=(EdgeRef(piece="bonnet back", edge="crown_seam"),),
            ),
        ),
        finished=(("face_mm", face_mm), ("depth_mm", depth_mm), ("back_mm", crown.start[1])),
    )


def _horseshoe(width_mm: float, along_mm: float) -> Path:
    """Up one side, round the top and down the other, `along_mm` long in all; raises CannotDraft where too short."""
    half_mm = width_mm / 2
    quarter = rounded_corner((0.0, 0.0), (half_mm, 0.0), (half_mm, half_mm))
    side_mm = along_mm / 2 - path_length_mm(path(quarter))
    if side_mm <= 0:
        raise CannotDraft("bonnet_back_too_wide", width_mm=width_mm, along_mm=along_mm)
    right = path(quarter, line((half_mm, half_mm), (half_mm, half_mm + side_mm)))
    return both_halves(right, is_outwards=True)


def _band(face_mm: float, depth_mm: float, rules: DraftRules) -> PieceOutline:
    names = ("crown_seam", "neck_right", "hem", "neck_left")
    allowances_mm = (
        rules.seam_allowance_mm,
        rules.back_hem_mm,
        rules.sleeve_hem_allowance_mm,
        rules.back_hem_mm,
    )
    return PieceOutline(
        name="bonnet band",
        count=1,
        edges=tuple(
            Edge(name=name, walked=walked, allowance_mm=out_mm)
            for name, walked, out_mm in zip(names, _sides(face_mm, depth_mm), allowances_mm, strict=True)
        ),
        notches=(("crown_seam", 0.5), ("hem", 0.5)),
        is_symmetric=True,
    )


def _bonnet_back(crown: Path, rules: DraftRules) -> PieceOutline:
    return PieceOutline(
        name="bonnet back",
        count=1,
        edges=(
            Edge(name="crown_seam", walked=crown, allowance_mm=rules.seam_allowance_mm),
            Edge(name="neck", walked=path(line(crown.end, crown.start)), allowance_mm=rules.back_hem_mm),
        ),
        notches=(("crown_seam", 0.5),),
        is_symmetric=True,
        may_turn=True,
    )


def _blanket(size: SizeBand, rules: DraftRules) -> Companion:
    side_mm = rules.blanket_length_ratio * size.body_length_mm
    round_mm, half_mm = rules.blanket_corner_ratio * side_mm, side_mm / 2
    upper, lower = (half_mm, 0.0), (half_mm, side_mm)
    right = path(
        rounded_corner((half_mm - round_mm, 0.0), upper, (half_mm, round_mm)),
        line((half_mm, round_mm), (half_mm, side_mm - round_mm)),
        rounded_corner((half_mm, side_mm - round_mm), lower, (half_mm - round_mm, side_mm)),
    )
    edges = (
        ("upper", path(line(mirrored(right).end, right.start))),
        ("right", right),
        ("hem", path(line(right.end, mirrored(right).start))),
        ("left", mirrored(right)),
    )
    piece = PieceOutline(
        name="blanket",
        count=1,
        edges=tuple(Edge(name=name, walked=walked, allowance_mm=rules.back_hem_mm) for name, walked in edges),
        is_symmetric=True,
    )
    return Companion(
        kind="blanket", rules=rules, pieces=(cut_or_refuse(piece),), finished=(("side_mm", side_mm),)
    )


def _keepsakes(_size: SizeBand, rules: DraftRules) -> Companion:
    square = _square("keepsake square", 2, rules.keepsake_mm, rules.back_hem_mm)
    return Companion(
        kind="keepsakes", rules=rules, pieces=(square,), finished=(("side_mm", rules.keepsake_mm),)
    )


def _swatch(_size: SizeBand, rules: DraftRules) -> Companion:
    return Companion(
        kind="swatch",
        rules=rules,
        pieces=(_square("swatch", 1, rules.swatch_mm, 0.0),),
        finished=(("side_mm", rules.swatch_mm),),
    )


def _square(name: str, count: int, side_mm: float, out_mm: float) -> Piece:
    names = ("upper", "right", "hem", "left")
    edges = zip(names, _sides(side_mm, side_mm), strict=True)
    return cut_or_refuse(
        PieceOutline(
            name=name,
            count=count,
            edges=tuple(Edge(name=edge, walked=walked, allowance_mm=out_mm) for edge, walked in edges),
            is_symmetric=True,
        )
    )


def _sides(width_mm: float, length_mm: float) -> tuple[Path, ...]:
    """The four sides of a rectangle, from its upper edge round."""
    half_mm = width_mm / 2
    corners: tuple[Point, ...] = (
        (-half_mm, 0.0),
        (half_mm, 0.0),
        (half_mm, length_mm),
        (-half_mm, length_mm),
    )
    return tuple(path(line(a, b)) for a, b in zip(corners, (*corners[1:], corners[0]), strict=True))


_MAKERS: Mapping[CompanionKind, Callable[[SizeBand, DraftRules], Companion]] = {
    "bonnet": _bonnet,
    "blanket": _blanket,
    "keepsakes": _keepsakes,
    "swatch": _swatch,
}
