"""Invented gowns of fourteen pieces in six sizes, drawn as plain trapezoids: enough to try a lay on."""

import math

from gowngroup.planning.lay import LayPiece
from gowngroup.planning.lay.values import Outline

# Chest and length in mm of six invented babies.
SIZES_MM = ((210, 330), (230, 355), (260, 400), (280, 430), (300, 460), (330, 510))


def rectangle(width_mm: float, length_mm: float) -> Outline:
    return ((0.0, 0.0), (width_mm, 0.0), (width_mm, length_mm), (0.0, length_mm))


def trapezoid(width_mm: float, length_mm: float, inset_mm: float) -> Outline:
    return (
        (0.0, 0.0),
        (width_mm, 0.0),
        (width_mm - inset_mm, length_mm),
        (inset_mm, length_mm),
    )


def slanting(length_mm: float, width_mm: float) -> Outline:
    """A bias strip: a rectangle lying at 45° to the grain."""
    along, across = length_mm / math.sqrt(2), width_mm / math.sqrt(2)
    return ((0.0, across), (across, 0.0), (along + across, along), (along, along + across))


def piece(key: str, outline: Outline, *, kit_key: str = "kit", may_turn: bool = True) -> LayPiece:
    return LayPiece(key=key, kit_key=kit_key, name=key, number=1, outline=outline, may_turn=may_turn)


def invented_gown(kit_key: str, size: int) -> tuple[LayPiece, ...]:
    """The fourteen pieces of one gown, about 95 % of their bounding boxes."""
    chest_mm, length_mm = SIZES_MM[size % len(SIZES_MM)]
    skirt_mm = 0.65 * length_mm + 20
    parts = (
        ("front", 1, trapezoid(1.9 * chest_mm + 20, skirt_mm, 0.02 * chest_mm)),
        ("back", 2, trapezoid(1.2 * chest_mm + 12, skirt_mm, 0.02 * chest_mm)),
        ("front yoke", 2, trapezoid(0.55 * chest_mm, 0.3 * chest_mm, 0.03 * chest_mm)),
        ("back yoke", 4, trapezoid(0.33 * chest_mm, 0.3 * chest_mm, 0.02 * chest_mm)),
        ("sleeve", 2, trapezoid(0.75 * chest_mm, 0.3 * length_mm, 0.08 * chest_mm)),
        ("binding", 1, rectangle(0.6 * chest_mm + 40, 32)),
        ("cuff", 2, rectangle(0.4 * chest_mm, 45)),
    )
    return tuple(
        LayPiece(key=f"{kit_key}/{name}/{number}", kit_key=kit_key, name=name, number=number, outline=outline)
        for name, count, outline in parts
        for number in range(1, count + 1)
    )


def invented_gowns(count: int) -> tuple[tuple[LayPiece, ...], ...]:
    """This many gowns, the six sizes in turn."""
    return tuple(invented_gown(f"K{index:03d}", index) for index in range(count))
