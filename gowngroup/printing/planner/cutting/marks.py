"""Everything in a lay's drawing that is no piece: edges, ruler, scale bar, nap, repeat and flaws, in mm on paper."""

from collections.abc import Iterator
from math import ceil

import shapely
from django.utils.translation import gettext as _

from gowngroup.planning.allocation import LotCut
from gowngroup.planning.lay.folded import folded_stretch_mm
from gowngroup.planning.tiling import Line, Shape
from gowngroup.printing.planner.cutting.breaks import Stretch
from gowngroup.printing.planner.cutting.labels import BASELINE, Note, Text
from gowngroup.printing.planner.cutting.scale import NAP_SHARE, REPEAT_MM, Scale
from gowngroup.records.reader import current_reader
from gowngroup.records.templatetags.gown import mm_length

TICK_MM, HATCH_MM = 2.5, 4.0
# On paper, so that a ruler shows at once whether it was printed true.
BARS_MM = {"cm": (100.0, 50.0, 20.0), "in": (101.6, 50.8, 25.4)}
RULERS = {"cm": (10.0, 10), "in": (25.4, 6)}


class Sheet:
    """One page's drawing: cloth lengths become places on paper."""

    def __init__(self, cut: LotCut, stretch: Stretch, scale: Scale, selvedge_mm: float) -> None:
        self.cut, self.stretch, self.scale, self.selvedge_mm = cut, stretch, scale, selvedge_mm

    @property
    def end_mm(self) -> float:
        """Where on paper the cloth shown ends."""
        return self.y(self.stretch.bottom_mm)

    @property
    def height_mm(self) -> float:
        """The whole drawing's height on paper."""
        return self.end_mm + self.scale.foot_mm

    def x(self, cloth_mm: float) -> float:
        """A place across the cloth, from the outer edge of its left selvedge."""
        return self.scale.ruler_mm + self.scale.paper(cloth_mm)

    def y(self, cloth_mm: float) -> float:
        """A place along the cloth, from its start edge."""
        return self.scale.head_mm + self.scale.paper(cloth_mm - self.stretch.top_mm)

    def across(self, cloth_mm: float, *, left_mm: float = 0.0, right_mm: float = 0.0) -> Line:
        """A line across the cloth, longer on either side by so much on paper."""
        y_mm = self.y(cloth_mm)
        return (self.scale.ruler_mm - left_mm, y_mm), (self.scale.right_mm + right_mm, y_mm)

    def shows(self, cloth_mm: float) -> bool:
        """Is a place along the cloth on this page?"""
        return self.stretch.top_mm <= cloth_mm <= self.stretch.bottom_mm


def selvedges(sheet: Sheet) -> tuple[Line, ...]:
    """The outer edges of both selvedges."""
    return tuple(_upright(sheet, x) for x in (0.0, sheet.scale.cloth_width_mm))


def usable(sheet: Sheet) -> tuple[Line, ...]:
    """The lines that no piece crosses; none where the selvedges are good."""
    inner = (sheet.selvedge_mm, sheet.scale.cloth_width_mm - sheet.selvedge_mm)
    return tuple(_upright(sheet, x) for x in inner) if sheet.selvedge_mm else ()


def fold(sheet: Sheet) -> tuple[Line, ...]:
    """The fold down the middle as far as this page shows it; none where the cloth lies open."""
    end_mm = min(folded_stretch_mm(sheet.cut.pieces, sheet.cut.strip, sheet.cut.lay), sheet.stretch.bottom_mm)
    if end_mm <= sheet.stretch.top_mm:
        return ()
    x_mm = sheet.x(sheet.scale.cloth_width_mm / 2)
    return (((x_mm, sheet.scale.head_mm), (x_mm, sheet.y(end_mm))),)


def _upright(sheet: Sheet, cloth_mm: float) -> Line:
    x_mm = sheet.x(cloth_mm)
    return (x_mm, sheet.scale.head_mm), (x_mm, sheet.end_mm)


def ruler(sheet: Sheet) -> tuple[tuple[Line, ...], tuple[Text, ...]]:
    """Ticks along the left selvedge every 10 cm or 6 inches, numbered from the start edge."""
    unit_mm, step = RULERS[current_reader().length_unit]
    step_mm, type_mm, right_mm = unit_mm * step, sheet.scale.type_mm, sheet.scale.ruler_mm
    lines, texts = [], []
    first, last = (edge / step_mm for edge in (sheet.stretch.top_mm, sheet.stretch.bottom_mm))
    for number in range(ceil(first - 1e-6), int(last + 1e-6) + 1):
        y_mm = sheet.y(number * step_mm)
        lines.append(((right_mm - TICK_MM, y_mm), (right_mm, y_mm)))
        texts.append(
            Text(
                text=str(number * step),
                x_mm=right_mm - TICK_MM - 0.8,
                y_mm=y_mm + BASELINE * type_mm,
                type_mm=type_mm,
                anchor="end",
            )
        )
    return tuple(lines), tuple(texts)


def bar_mm(scale: Scale) -> float:
    """How long the scale bar is on paper: a length that is easily read off a ruler in the reader's unit."""
    longest_mm = 0.6 * (scale.right_mm - scale.ruler_mm)
    lengths_mm = BARS_MM[current_reader().length_unit]
    return next((each for each in lengths_mm if each <= longest_mm), lengths_mm[-1])


def scale_bar(sheet: Sheet) -> tuple[tuple[Line, ...], tuple[Text, ...]]:
    """A length to lay a ruler on, with the length of cloth it stands for."""
    scale, type_mm, length_mm = sheet.scale, sheet.scale.type_mm, bar_mm(sheet.scale)
    left, right, y_mm = scale.ruler_mm, scale.ruler_mm + length_mm, 0.75 * type_mm
    lines = [((left, y_mm), (right, y_mm))]
    lines += [((x, y_mm - 1.2), (x, y_mm + 1.2)) for x in (left, right)]
    words = Text(
        text=mm_length(length_mm * scale.denominator),
        x_mm=right + 1.5,
        y_mm=y_mm + BASELINE * type_mm,
        type_mm=type_mm,
        anchor="start",
    )
    return tuple(lines), (words,)


def side_words(sheet: Sheet) -> tuple[Text, ...]:
    """Which selvedge is which, above the cloth."""
    y_mm, type_mm = sheet.scale.head_mm - 0.5 * type_of(sheet), type_of(sheet)
    left = Text(text=_("left selvedge"), x_mm=0.3, y_mm=y_mm, type_mm=type_mm, anchor="start")
    right = Text(
        text=_("right selvedge"), x_mm=sheet.scale.width_mm - 0.3, y_mm=y_mm, type_mm=type_mm, anchor="end"
    )
    return left, right


def type_of(sheet: Sheet) -> float:
    """The size of type beside the cloth."""
    return sheet.scale.type_mm


def nap_arrow(sheet: Sheet) -> tuple[Line, ...]:
    """An arrow far right of the cloth along which the nap runs; none on cloth without one."""
    if not sheet.cut.strip.has_nap:
        return ()
    x_mm = sheet.scale.width_mm - NAP_SHARE * type_of(sheet) / 2
    top_mm, low_mm = sheet.scale.head_mm, sheet.end_mm
    from_mm = top_mm + 0.15 * (low_mm - top_mm)
    to_mm = min(from_mm + 40.0, low_mm)
    return ((x_mm, from_mm), (x_mm, to_mm)), ((x_mm - 2, to_mm - 4), (x_mm, to_mm), (x_mm + 2, to_mm - 4))


def repeats(sheet: Sheet) -> tuple[Line, ...]:
    """Ticks right of the cloth where the print comes again; none on plain cloth."""
    repeat_mm = sheet.cut.strip.repeat_mm
    if not repeat_mm:
        return ()
    right_mm = sheet.scale.right_mm
    first = ceil(sheet.stretch.top_mm / repeat_mm - 1e-6)
    heights = [
        sheet.y(number * repeat_mm)
        for number in range(first, int(sheet.stretch.bottom_mm / repeat_mm + 1e-6) + 1)
    ]
    return tuple(((right_mm, y_mm), (right_mm + REPEAT_MM, y_mm)) for y_mm in heights)


def flaws(sheet: Sheet) -> tuple[tuple[Line, ...], tuple[Note, ...]]:
    """Flawed stretches hatched over the whole width, each told beside the cloth."""
    lines: list[Line] = []
    notes = []
    for flaw in sheet.cut.strip.flaws:
        top, low = max(flaw.from_mm, sheet.stretch.top_mm), min(flaw.to_mm, sheet.stretch.bottom_mm)
        if top >= low:
            continue
        lines += [sheet.across(top), sheet.across(low), *_hatching(sheet, sheet.y(top), sheet.y(low))]
        middle_mm = (sheet.y(top) + sheet.y(low)) / 2
        notes.append(Note(text=_("flaw"), y_mm=middle_mm, point=(sheet.scale.right_mm, middle_mm)))
    return tuple(lines), tuple(notes)


def flawed(sheet: Sheet) -> list[Shape]:
    """Flawed stretches, where nothing is written between the hatching."""
    left, right = sheet.scale.ruler_mm, sheet.scale.right_mm
    return [
        shapely.box(left, sheet.y(flaw.from_mm), right, sheet.y(flaw.to_mm)) for flaw in sheet.cut.strip.flaws
    ]


def cloth(sheet: Sheet) -> Shape:
    """The usable cloth the page shows between its breaks."""
    inner_mm = sheet.scale.paper(sheet.selvedge_mm)
    part = sheet.stretch
    return shapely.box(
        sheet.scale.ruler_mm + inner_mm,
        sheet.y(part.from_mm),
        sheet.scale.right_mm - inner_mm,
        sheet.y(part.to_mm),
    )


def _hatching(sheet: Sheet, top_mm: float, low_mm: float) -> Iterator[Line]:
    """Slanting lines from edge to edge of the cloth, so that a flaw is seen without colour."""
    left, right = sheet.scale.ruler_mm, sheet.scale.right_mm
    high_mm = low_mm - top_mm
    for number in range(int((right - left) / HATCH_MM) + 1):
        x_mm = left + number * HATCH_MM
        share = min(1.0, (right - x_mm) / high_mm)
        yield (x_mm, low_mm), (x_mm + share * high_mm, low_mm - share * high_mm)


def end_words(sheet: Sheet, text: str) -> Text:
    """What stands below the cloth."""
    y_mm = sheet.end_mm + 1.25 * type_of(sheet)
    return Text(
        text=text, x_mm=sheet.scale.ruler_mm, y_mm=y_mm, type_mm=type_of(sheet), anchor="start", is_bold=True
    )
