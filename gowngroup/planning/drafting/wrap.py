"""A wrap for the smallest babies: one shaped cloth with its lining, open all down the front."""

from collections.abc import Mapping
from dataclasses import dataclass

from gowngroup.planning.drafting.closures import NO_CLOSURE, Closure, refuse_bad_closure
from gowngroup.planning.drafting.draft import Draft, EdgeRef, Seam
from gowngroup.planning.drafting.kinds import Purpose
from gowngroup.planning.drafting.necklines import NeckHollow, half_neck_width_mm
from gowngroup.planning.drafting.panel import both_halves
from gowngroup.planning.drafting.piece import Edge, PieceOutline, cut_or_refuse
from gowngroup.planning.drafting.refusals import CannotDraft
from gowngroup.planning.drafting.rules import DraftRules
from gowngroup.planning.drafting.wrap_measures import WrapMeasures, wrap_measures
from gowngroup.planning.geometry import Path, Point, line, mirrored, path, rounded_corner
from gowngroup.planning.sizes import SizeBand


def draft_wrap(
    *,
    size: SizeBand,
    rules: DraftRules,
    purpose: Purpose,
    closure: Closure = NO_CLOSURE,
    overrides: Mapping[str, float] | None = None,
    is_lined: bool = True,
) -> Draft:
    """The draft of a wrap without armholes, all lengths in mm; ask `closing_faults` whether it can be sewn.

    The cloth lies behind the baby, hollowed at the neck; both sides slope from the neck, are rounded at their
    corners, and come over one another in front. Where nobody knows the chest it is taken from the body length.
    `overrides` sets measures by name (`measures_of("wrap")`). Source: the group's own block; each figure carries
    its own source. Raises CannotDraft.
    """
    measures = wrap_measures(size=size, rules=rules, purpose=purpose, overrides=overrides or {})
    refuse_bad_closure(closure, size=size, rules=rules, gown_length_mm=measures.length_mm)
    layers = [_Layer(name="wrap", width_mm=measures.width_mm, length_mm=measures.length_mm)]
    if is_lined:
        layers.append(
            _Layer(name="lining", width_mm=measures.lining_width_mm, length_mm=measures.lining_length_mm)
        )
    out_mm = rules.seam_allowance_mm if is_lined else rules.back_hem_mm
    return Draft(
        kind="wrap",
        size=size,
        purpose=purpose,
        rules=rules,
        measures=measures,
        closure=closure,
        pieces=tuple(
            cut_or_refuse(_outline(layer, measures, out_mm=out_mm, corner_share=rules.back_neck_corner_share))
            for layer in layers
        ),
        seams=_seams() if is_lined else (),
        opening=(EdgeRef(piece="wrap", edge="front_right"), EdgeRef(piece="wrap", edge="front_left")),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Layer:
    """The wrap or its lining, laid out flat."""

    name: str
    width_mm: float
    length_mm: float


def _outline(layer: _Layer, measures: WrapMeasures, *, out_mm: float, corner_share: float) -> PieceOutline:
    length_mm = layer.length_mm + measures.neck_drop_mm
    neck = _neck(measures, corner_share)
    corner = (layer.width_mm / 2, measures.shoulder_drop_mm)
    _refuse_bad_shape(measures, neck.end[0], corner, length_mm)
    shoulder, front = _sides(measures, neck.end, corner, length_mm)
    hem = path(line(front.end, (0.0, length_mm)))
    walked: tuple[tuple[str, Path], ...] = (
        ("neck", both_halves(neck, is_outwards=True)),
        ("shoulder_right", shoulder),
        ("front_right", front),
        ("hem", both_halves(hem, is_outwards=False)),
        ("front_left", mirrored(front)),
        ("shoulder_left", mirrored(shoulder)),
    )
    return PieceOutline(
        name=layer.name,
        count=1,
        edges=tuple(Edge(name=edge, walked=along, allowance_mm=out_mm) for edge, along in walked),
        notches=(("neck", 0.5), ("hem", 0.5)),
        is_symmetric=True,
    )


def _neck(measures: WrapMeasures, corner_share: float) -> Path:
    """The right half of the neck edge, hollowed like the back of a yoke."""
    hollow = NeckHollow(own_drop_mm=measures.neck_drop_mm, drop_ratio=0.0, corner_share=corner_share)
    return hollow.walked(half_neck_width_mm(measures.neck_mm, (hollow,)))


def _refuse_bad_shape(measures: WrapMeasures, neck_mm: float, corner: Point, length_mm: float) -> None:
    """The corners need their curves, and the neck must leave a stretch of upper edge."""
    upper_mm, lower_mm = measures.upper_corner_mm, measures.lower_corner_mm
    if corner[0] - neck_mm < upper_mm or corner[0] < lower_mm:
        raise CannotDraft("wrap_too_narrow", width_mm=2 * corner[0])
    straight_mm = length_mm - corner[1] - upper_mm - lower_mm
    if straight_mm < 0:
        raise CannotDraft("wrap_too_short", left_mm=straight_mm, needed_mm=0.0)


def _sides(measures: WrapMeasures, neck: Point, corner: Point, length_mm: float) -> tuple[Path, Path]:
    """The upper edge from the neck, and the front edge with both its rounded corners."""
    upper_mm, lower_mm = measures.upper_corner_mm, measures.lower_corner_mm
    share = upper_mm / (corner[0] - neck[0])
    turn: Point = (corner[0] - upper_mm, corner[1] - share * (corner[1] - neck[1]))
    below: Point = (corner[0], corner[1] + upper_mm)
    above: Point = (corner[0], length_mm - lower_mm)
    end: Point = (corner[0] - lower_mm, length_mm)
    front = path(
        rounded_corner(turn, corner, below),
        line(below, above),
        rounded_corner(above, (corner[0], length_mm), end),
    )
    return path(line(neck, turn)), front


def _seams() -> tuple[Seam, ...]:
    """Wrap and lining lie face to face, so each edge of the one meets the other's mirror image."""
    return (
        _faced("neck", "neck"),
        *(
            _faced(f"{edge}_{here}", f"{edge}_{there}")
            for edge in ("shoulder", "front")
            for here, there in (("right", "left"), ("left", "right"))
        ),
        _faced("hem", "hem"),
    )


def _faced(edge: str, other: str) -> Seam:
    return Seam(
        name=f"lining_{edge}",
        left=(EdgeRef(piece="wrap", edge=edge),),
        right=(EdgeRef(piece="lining", edge=other, is_backwards=True),),
        is_facing=True,
    )
