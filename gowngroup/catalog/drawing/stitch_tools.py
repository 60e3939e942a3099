"""Drawings round the stitches: strands drawn out of floss, and the needle through a fold, from the group's figures."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, pi
from typing import Literal

from gowngroup.catalog.drawing.chart_frame import in_mm

Role = Literal["thread", "loose", "cloth", "needle", "measure"]

STRAND_MM, FLOSS_MM, PART_MM = 1.6, 46.0, 3.2
SCALE, POINTS, NEEDLE_HALF_MM = 7.0, 40, 0.7


@dataclass(frozen=True, slots=True, kw_only=True)
class ToolLine:
    """One line of a drawing by what it stands for."""

    role: Role
    path: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ToolPicture:
    """What an SVG needs, in mm."""

    width_mm: float
    height_mm: float
    lines: tuple[ToolLine, ...]


def strands_picture(*, strand_count: int, drawn_out: int) -> ToolPicture:
    """Floss of so many strands, some of them drawn out at one end."""
    middle = (strand_count - 1) / 2
    height_mm = 2 * PART_MM + strand_count * STRAND_MM
    lines = []
    for strand in range(strand_count):
        is_out = strand < drawn_out
        y = height_mm / 2 + (strand - middle) * STRAND_MM
        aside = -PART_MM if is_out else PART_MM
        path = (
            f"M1 {in_mm(y)}H{in_mm(0.4 * FLOSS_MM)}"
            f"C{in_mm(0.55 * FLOSS_MM)} {in_mm(y)} {in_mm(0.55 * FLOSS_MM)} {in_mm(y + aside)} "
            f"{in_mm(0.7 * FLOSS_MM)} {in_mm(y + aside)}H{in_mm(FLOSS_MM - 1)}"
        )
        lines.append(ToolLine(role="loose" if is_out else "thread", path=path))
    return ToolPicture(width_mm=FLOSS_MM, height_mm=round(height_mm, 2), lines=tuple(lines))


def fold_picture(*, take_up_mm: float, cloth_ratio: float, bite_mm: float) -> ToolPicture:
    """One pleat seen from its end, seven times as large, with the needle through the top of its fold.

    A pleat of `take_up_mm` of cloth stands on `take_up_mm / cloth_ratio`; the rest goes up and down (derived).
    """
    pitch = SCALE * take_up_mm / cloth_ratio
    depth = SCALE * (take_up_mm - take_up_mm / cloth_ratio) / 2
    top, needle_y, middle = 3.0, 3.0 + SCALE * bite_mm, 1.5 * pitch
    fold = [
        (pitch * (1 + at / POINTS), top + depth * (1 + _squared(cos(2 * pi * at / POINTS))) / 2)
        for at in range(POINTS + 1)
    ]
    cloth = [(0.5 * pitch, top + depth), *fold, (2.5 * pitch, top + depth)]
    needle = [
        (middle - 1.3 * pitch, needle_y),
        (middle - 0.8 * pitch, needle_y - NEEDLE_HALF_MM),
        (middle + 1.6 * pitch, needle_y - NEEDLE_HALF_MM),
        (middle + 1.6 * pitch, needle_y + NEEDLE_HALF_MM),
        (middle - 0.8 * pitch, needle_y + NEEDLE_HALF_MM),
    ]
    inside = [(x, y) for x, y in fold if y < needle_y - NEEDLE_HALF_MM]
    return ToolPicture(
        width_mm=round(3.2 * pitch, 2),
        height_mm=round(top + depth + 2.0, 2),
        lines=(
            ToolLine(role="needle", path=f"{_line(needle)}Z"),
            ToolLine(role="cloth", path=_line(cloth)),
            ToolLine(role="measure", path=_line([(inside[0][0], top), (2.4 * pitch, top)])),
        ),
    )


def _line(points: Sequence[tuple[float, float]]) -> str:
    return "M" + "L".join(f"{in_mm(x)} {in_mm(y)}" for x, y in points)


def _squared(wave: float) -> float:
    """A wave with steeper sides and broader folds, as pleats stand."""
    return max(-1.0, min(1.0, 1.6 * wave))
