"""The pattern on one large page, as a PDF for a copy shop and as an SVG with real units."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

from gowngroup.planning.geometry import bounding_box_mm
from gowngroup.planning.tiling import Line, Placed, SheetPiece, one_page
from gowngroup.printing.planner.pattern.drawing import (
    SQUARES_GAP_MM,
    SQUARES_MM,
    StyledPath,
    TestSquare,
    box_line,
    squares_from,
    squares_size_mm,
    styled_paths,
)
from gowngroup.printing.planner.pattern.labels import EDGE_MM as WORDS_EDGE_MM
from gowngroup.printing.planner.pattern.labels import Words, label_words
from gowngroup.printing.planner.pattern.pattern import Pattern, PatternPiece
from gowngroup.printing.planner.pattern.words import text_width_mm

MARGIN_MM = 10.0
EDGE_MM = 1.0
SQUARES_KEY = "squares"
LEAST_WIDTH_MM = 260.0  # so that the heading has room


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnPiece:
    """A piece where it lies on the page."""

    piece: PatternPiece
    paths: tuple[StyledPath, ...]
    words: tuple[Words, ...]

    @property
    def title(self) -> str:
        """The piece in words."""
        return f"{self.piece.number} {self.piece.name}. {self.piece.cut_words}"


@dataclass(frozen=True, slots=True, kw_only=True)
class LargePage:
    """Every piece on one page, with both test squares; lengths in mm from the upper left corner of the drawing."""

    pattern: Pattern
    width_mm: float
    height_mm: float
    pieces: tuple[DrawnPiece, ...]
    squares: tuple[TestSquare, ...]

    @property
    def title(self) -> str:
        """The drawing in words, for who cannot see it."""
        return _("All pieces at true size, with two test squares: %(pieces)s") % {
            "pieces": "; ".join(each.title for each in self.pieces)
        }


def large_page(pattern: Pattern) -> LargePage:
    """The pattern on as short a page as found, no wider than a usual roll of paper where the pieces allow."""
    width_mm, height_mm = squares_size_mm()
    squares = SheetPiece(
        key=SQUARES_KEY, outline=box_line((0.0, 0.0, width_mm, height_mm))[:-1], turns_deg=(0.0,)
    )
    places, size_mm = one_page([*(piece.sheet_piece for piece in pattern.pieces), squares])
    by_key = {place.key: place for place in places}
    return LargePage(
        pattern=pattern,
        width_mm=round(size_mm[0] + 2 * EDGE_MM, 3),
        height_mm=round(size_mm[1] + 2 * EDGE_MM, 3),
        pieces=tuple(_drawn(piece, by_key[piece.key]) for piece in pattern.pieces),
        squares=_squares(by_key[SQUARES_KEY], pattern.type_mm),
    )


def _squares(place: Placed, type_mm: float) -> tuple[TestSquare, ...]:
    x, y = place.move_x_mm + EDGE_MM, place.move_y_mm + EDGE_MM
    return squares_from([(x, y), (x + SQUARES_MM[0][1] + SQUARES_GAP_MM, y)], type_mm)


def _drawn(piece: PatternPiece, place: Placed) -> DrawnPiece:
    lines: dict[str, list[Line]] = {
        style: [_off_edge(place.on_sheet(line)) for line in found]
        for style, found in piece.lines.by_style.items()
    }
    return DrawnPiece(
        piece=piece, paths=styled_paths(lines), words=(*_label(piece, place), *_numbers(piece, place))
    )


def _off_edge(line: Sequence[tuple[float, float]]) -> Line:
    return tuple((x + EDGE_MM, y + EDGE_MM) for x, y in line)


def _label(piece: PatternPiece, place: Placed) -> tuple[Words, ...]:
    """The words of a piece, seen in a box that holds the piece, the words below it, and their distance to the edge."""
    left, top, right, bottom = bounding_box_mm(place.on_sheet(piece.sheet_piece.outline))
    wide_mm, high_mm = piece.label.caption_mm
    box = (left - WORDS_EDGE_MM, top, right + wide_mm + WORDS_EDGE_MM, bottom + high_mm + WORDS_EDGE_MM)
    words = label_words(piece.label, place, piece.lines, box)
    return tuple(_moved(each, box[0] + EDGE_MM, top + EDGE_MM) for each in words)


def _numbers(piece: PatternPiece, place: Placed) -> tuple[Words, ...]:
    shift_mm = 0.35 * piece.label.type_mm
    points = [(number, place.on_sheet([point])[0]) for number, point in piece.lines.row_numbers]
    return tuple(
        Words(text=number, x_mm=x + EDGE_MM, y_mm=y + EDGE_MM + shift_mm, is_centred=True)
        for number, (x, y) in points
    )


def _moved(words: Words, x_mm: float, y_mm: float) -> Words:
    return Words(
        text=words.text,
        x_mm=words.x_mm + x_mm,
        y_mm=words.y_mm + y_mm,
        is_bold=words.is_bold,
        is_centred=words.is_centred,
    )


def page_size_mm(page: LargePage, header_mm: float) -> tuple[float, float]:
    """Width and height of the paper that holds the drawing, its heading and margins."""
    width_mm = max(page.width_mm, LEAST_WIDTH_MM)
    return round(width_mm + 2 * MARGIN_MM, 2), round(page.height_mm + 2 * MARGIN_MM + header_mm, 2)


def header_mm(text: str, page: LargePage, type_mm: float) -> float:
    """Room for a heading of this text above the drawing."""
    lines = 1 + text_width_mm(text, type_mm) // max(page.width_mm, LEAST_WIDTH_MM)
    return float((lines + 1) * type_mm * 1.5)
