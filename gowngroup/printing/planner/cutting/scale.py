"""The scale of a lay's drawing, and what one page of it shows; lengths in mm."""

from dataclasses import dataclass
from math import ceil

from gowngroup.printing.planner.pattern import LARGE_MM, USUAL_MM, PatternPaper

# Margins as in static/css/print/cutting.css; shares of the type size, so that large print has room.
SIDE_MM, TOP_MM, BOTTOM_MM, SPARE_MM = 10.0, 8.0, 14.0, 1.0
HEADER_LINE_SHARE, HEAD_SHARE, FOOT_SHARE = 1.4, 3.4, 1.8
RULER_SHARE, NOTE_SHARE, NAP_SHARE, REPEAT_MM = 4.0, 4.8, 1.6, 3.0
LARGEST_SCALE, STEP = 2.0, 0.5  # never larger than half size; rounded to halves
OVERLAP_MM = 6.0  # on paper, on either side of a break
# The one exception to type of 11 pt: numbers inside pieces go down to 8 pt before they are led out to the margin.
SMALLEST_SHARE = 8.05 / 11.05


@dataclass(frozen=True, slots=True, kw_only=True)
class Scale:
    """How many mm of cloth are one on paper, which way the paper lies, and the room there is for cloth."""

    denominator: float
    is_across: bool
    cloth_width_mm: float
    body_mm: float
    type_mm: float

    @property
    def ruler_mm(self) -> float:
        """Room left of the cloth on paper."""
        return RULER_SHARE * self.type_mm

    @property
    def right_mm(self) -> float:
        """Where on paper the right edge of the cloth is."""
        return self.ruler_mm + self.paper(self.cloth_width_mm)

    @property
    def notes_mm(self) -> float:
        """Where on paper notes beside the cloth begin."""
        return self.right_mm + REPEAT_MM + 1.0

    @property
    def width_mm(self) -> float:
        """The whole drawing's width on paper."""
        return self.right_mm + _aside_mm(self.type_mm)

    @property
    def head_mm(self) -> float:
        """Room above the cloth on paper, for the scale bar and words."""
        return HEAD_SHARE * self.type_mm

    @property
    def foot_mm(self) -> float:
        """Room below the cloth on paper."""
        return FOOT_SHARE * self.type_mm

    @property
    def shown_mm(self) -> float:
        """Length of cloth that one page shows."""
        return self.body_mm * self.denominator

    @property
    def overlap_mm(self) -> float:
        """Length of cloth shown beyond a break."""
        return OVERLAP_MM * self.denominator

    def paper(self, cloth_mm: float) -> float:
        """A length of cloth as it is on paper."""
        return cloth_mm / self.denominator


def best_scale(
    paper: PatternPaper, *, cloth_width_mm: float, length_mm: float, has_large_print: bool
) -> Scale:
    """The larger of the scales at which the cloth's width fits the paper upright or across; if alike, fewer pages."""
    type_mm = LARGE_MM if has_large_print else USUAL_MM
    scales = [_scale(paper, cloth_width_mm, type_mm, is_across=is_across) for is_across in (False, True)]
    return min(scales, key=lambda scale: (scale.denominator, ceil(length_mm / scale.shown_mm)))


def _scale(paper: PatternPaper, cloth_width_mm: float, type_mm: float, *, is_across: bool) -> Scale:
    sides = (paper.width_mm, paper.height_mm)
    width_mm, height_mm = (max(sides), min(sides)) if is_across else (min(sides), max(sides))
    room_mm = width_mm - 2 * SIDE_MM - RULER_SHARE * type_mm - _aside_mm(type_mm)
    header_share = HEADER_LINE_SHARE * (1 if is_across else 2)
    around_mm = TOP_MM + BOTTOM_MM + SPARE_MM + (header_share + HEAD_SHARE + FOOT_SHARE) * type_mm
    return Scale(
        denominator=ceil(max(cloth_width_mm / room_mm, LARGEST_SCALE) / STEP) * STEP,
        is_across=is_across,
        cloth_width_mm=cloth_width_mm,
        body_mm=height_mm - around_mm,
        type_mm=type_mm,
    )


def _aside_mm(type_mm: float) -> float:
    return REPEAT_MM + 1.0 + (NOTE_SHARE + NAP_SHARE) * type_mm
