"""What is written on a pattern piece, and where it finds room."""

from collections.abc import Sequence
from dataclasses import dataclass

from gowngroup.planning.geometry import Point, bounding_box_mm
from gowngroup.planning.tiling import Box, Placed, Room, Shape, free_corner, polygon_on
from gowngroup.printing.planner.pattern.lines import PieceLines
from gowngroup.printing.planner.pattern.words import LINE_SHARE, text_width_mm, wrapped

WIDTHS_MM = (110.0, 85.0, 65.0, 48.0, 36.0)
CAPTION_WIDTH_MM, CAPTION_GAP_MM, EDGE_MM = 100.0, 1.0, 2.0
SAME_MM = 1e-6
_NOWHERE = (0.0, 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Words:
    """One line of text in a drawing: its left end or its middle on the baseline."""

    text: str
    x_mm: float
    y_mm: float
    is_bold: bool = False
    is_centred: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """Lines of text of a piece; where none of its widths fits inside, `caption_mm` is the room they take below."""

    texts: tuple[str, ...]
    type_mm: float
    caption_mm: tuple[float, float] = (0.0, 0.0)

    @property
    def is_inside(self) -> bool:
        """Does it stand inside the piece?"""
        return self.caption_mm == _NOWHERE

    def lines(self, width_mm: float) -> tuple[str, ...]:
        """The text in lines of a width."""
        return tuple(line for text in self.texts for line in wrapped(text, width_mm, self.type_mm))

    def size_mm(self, width_mm: float) -> tuple[float, float]:
        """Width and height the text takes when set to a width."""
        lines = self.lines(width_mm)
        widest_mm = max(text_width_mm(line, self.type_mm) for line in lines)
        return widest_mm, len(lines) * self.type_mm * LINE_SHARE

    def words(self, corner: Point, width_mm: float) -> tuple[Words, ...]:
        """The text with its upper left corner somewhere; the first of its texts in bold."""
        bold_count = len(wrapped(self.texts[0], width_mm, self.type_mm))
        return tuple(
            Words(
                text=line,
                x_mm=corner[0],
                y_mm=corner[1] + (index * LINE_SHARE + 0.9) * self.type_mm,
                is_bold=index < bold_count,
            )
            for index, line in enumerate(self.lines(width_mm))
        )


def label_of(
    texts: tuple[str, ...], lines: PieceLines, *, turns_deg: Sequence[float], type_mm: float
) -> Label:
    """A label that stands inside its piece where there is room, whichever way the piece is turned, else outside."""
    label = Label(texts=texts, type_mm=type_mm)
    if all(_has_room(label, lines, angle_deg) for angle_deg in turns_deg):
        return label
    width_mm, height_mm = label.size_mm(CAPTION_WIDTH_MM)
    return Label(texts=texts, type_mm=type_mm, caption_mm=(width_mm, height_mm + CAPTION_GAP_MM))


def _has_room(label: Label, lines: PieceLines, angle_deg: float) -> bool:
    turned = Placed(key="", angle_deg=angle_deg, move_x_mm=0.0, move_y_mm=0.0, caption=_NOWHERE)
    return bool(label_words(label, turned, lines, bounding_box_mm(turned.on_sheet(lines.outline))))


def words_box(words: Words, type_mm: float) -> Box:
    """The room a line of words takes at most, in mm."""
    width_mm = text_width_mm(words.text, type_mm)
    left = words.x_mm - (width_mm / 2 if words.is_centred else 0.0)
    return left, words.y_mm - type_mm, left + width_mm, words.y_mm + 0.3 * type_mm


def spot(label: Label, free: Shape, *, near: Point) -> tuple[Point, float] | None:
    """Corner and width of the widest setting of a label that finds room; None where none does."""
    for width_mm in WIDTHS_MM:
        if corner := free_corner(free, label.size_mm(width_mm), near=near):
            return corner, width_mm
    return None


def label_words(label: Label, place: Placed, lines: PieceLines, box: Box) -> tuple[Words, ...]:
    """The label of a placed piece as seen in a box of the sheet; () where it finds no room there."""
    if not label.is_inside:
        return _caption(label, place, box)
    free = _free(place, lines, box)
    if free.is_empty:
        return ()
    middle = free.centroid
    found = spot(label, free, near=(middle.x, middle.y))
    return label.words(*found) if found else ()


def _caption(label: Label, place: Placed, box: Box) -> tuple[Words, ...]:
    """The label outside its piece, slid along it into the box where it may; () where the box cannot show it whole."""
    left, top, right, bottom = box
    width_mm, height_mm = label.caption_mm
    x = max(place.caption[0], left + EDGE_MM)
    is_beside = x <= place.caption[0] + place.caption_slide_mm + SAME_MM
    is_across = x + width_mm <= right - EDGE_MM + SAME_MM
    if not (is_beside and is_across and top <= place.caption[1] <= bottom - height_mm + SAME_MM):
        return ()
    return label.words((x - left, place.caption[1] - top + CAPTION_GAP_MM / 2), CAPTION_WIDTH_MM)


def _free(place: Placed, lines: PieceLines, box: Box) -> Shape:
    """The room inside a placed piece as seen in a box of the sheet."""
    left, top, _, _ = box
    on_sheet = [
        tuple((x - left, y - top) for x, y in place.on_sheet(line))
        for style in lines.by_style.values()
        for line in style
    ]
    return Room(area=polygon_on(place.on_sheet(lines.outline), box), lines=on_sheet).free
