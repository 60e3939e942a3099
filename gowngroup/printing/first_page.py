"""How much of a page is left for its drawing once all words on it have their place, so that a page holds what it must."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from gowngroup.printing.letters import letter_widths
from gowngroup.printing.planner.pattern.words import LARGE_MM, SPACES, USUAL_MM
from gowngroup.records.reader import current_reader

# Between the margins, in mm.
TEXT_HEIGHT_MM = {"A4": 273.0, "Letter": 255.4}
TEXT_WIDTH_MM = {"A4": 182.0, "Letter": 187.9}
# Shares of the type's size, as the style sheet sets them.
LINE_SHARE, STEP_SHARE, HEADING_SHARE = 1.22, 1.04, 1.15
TITLE_SHARE, SIZE_SHARE, RING_SHARE = 1.6, 1.25, 1.85
TITLE_LARGE_SHARE, SIZE_LARGE_SHARE, RING_LARGE_SHARE = 1.3, 1.1, 1.5
RULE_MM, BETWEEN_MM, HEADING_GAP_MM, STEP_INDENT_MM, LIST_INDENT_MM = 0.9, 1.0, 3.6, 8.5, 6.0
BESIDE_DRAWING_MM, BESIDE_SMALL_MM, CODE_COLUMN_MM, GOWN_COLUMN_MM = 64.0, 46.0, 48.0, 32.0
LIST_COUNT_SHARE, LIST_MEASURE_SHARE, CELL_GAP_MM = 4.7, 8.6, 2.0  # the columns of counts and measures
LEAST_HEAD_MM = 36.5
SMALL_CHART_MM, LARGE_CHART_MM = 29.0, 84.0
SPARE_MM = 4.0
# Names set bold amid running text, and lines the engine breaks a little earlier.
TEXT_SHARE, BOLD_SHARE, UNKNOWN_SHARE = 1.01, 1.05, 1.05


@dataclass(frozen=True, slots=True, kw_only=True)
class Header:
    """The words at the head of the first page, one paragraph each; `ring` are words and a telephone number."""

    kicker: str
    title: str
    size: str
    notes: tuple[str, ...]
    ring: tuple[str, str]


def is_large_print() -> bool:
    """Does the reader want 14 pt?"""
    return current_reader().has_large_print


def type_mm() -> float:
    """Size of the type the reader wants: 11 or 14 pt."""
    return LARGE_MM if is_large_print() else USUAL_MM


def text_width_mm() -> float:
    """Width between the margins of the reader's paper."""
    return TEXT_WIDTH_MM.get(current_reader().paper_size, TEXT_WIDTH_MM["A4"])


def page_height_mm() -> float:
    """Height between the margins of the reader's paper."""
    return TEXT_HEIGHT_MM.get(current_reader().paper_size, TEXT_HEIGHT_MM["A4"])


def paragraph_mm(
    text: str, width_mm: float | None = None, *, share: float = 1.0, weight: float = TEXT_SHARE
) -> float:
    """Height of a text in lines of a width, its type `share` as large as the page's and its letters `weight` as wide."""
    if not text:
        return 0.0
    size_mm = type_mm() * share
    lines = line_count(text, width_mm or text_width_mm(), share=share, weight=weight)
    return lines * size_mm * LINE_SHARE


def line_count(text: str, width_mm: float, *, share: float = 1.0, weight: float = TEXT_SHARE) -> int:
    """How many lines a text takes, in type `share` as large as the page's; a word too long for one runs on."""
    room = width_mm / (type_mm() * share * weight)
    space = letter_widths()[" "]
    lines, used = 1, 0.0
    for word in SPACES.split(text.strip()):
        wide = _word_width(word)
        if used and used + space + wide > room:
            lines, used = lines + 1, 0.0
        used += (space if used else 0.0) + wide
        while used > room:
            lines, used = lines + 1, used - room
    return lines


@lru_cache(maxsize=4096)
def _word_width(word: str) -> float:
    """A word's width in shares of the type size; letters of other faces are taken to be wide."""
    widths = letter_widths()
    return sum(widths.get(letter, UNKNOWN_SHARE) for letter in word)


def list_mm(items: Sequence[str], *, share: float = 1.0, indent_mm: float = LIST_INDENT_MM) -> float:
    """Height of a list."""
    return sum(paragraph_mm(item, text_width_mm() - indent_mm, share=share) for item in items)


def heading_mm() -> float:
    """Height of a heading with the space round it."""
    return HEADING_GAP_MM + type_mm() * HEADING_SHARE * LINE_SHARE


def table_mm(rows: Sequence[str], width_mm: float) -> float:
    """Height of a table with a line of headings, each row as if it were running text."""
    return table_line_mm() + sum(paragraph_mm(row, width_mm) + RULE_MM for row in rows)


def table_line_mm() -> float:
    """Height of a row of one line."""
    return type_mm() * LINE_SHARE + RULE_MM


def kit_list_width_mm() -> float:
    """Width of the list of what is in the kit, beside the drawing of the gown."""
    return text_width_mm() - (BESIDE_SMALL_MM if is_large_print() else BESIDE_DRAWING_MM)


def kit_name_width_mm(width_mm: float) -> float:
    """Width of the names in a table of pieces and trims of this width."""
    return width_mm - (LIST_COUNT_SHARE + LIST_MEASURE_SHARE) * type_mm() - CELL_GAP_MM


def header_mm(header: Header, *, has_gown: bool = False) -> float:
    """Height of the head of the page: words on the left, code on the right, the gown between them or not."""
    width_mm = text_width_mm() - CODE_COLUMN_MM - (GOWN_COLUMN_MM if has_gown else 0.0)
    bold = TEXT_SHARE * BOLD_SHARE
    title, size, ring = (
        (TITLE_LARGE_SHARE, SIZE_LARGE_SHARE, RING_LARGE_SHARE)
        if is_large_print()
        else (TITLE_SHARE, SIZE_SHARE, RING_SHARE)
    )
    words_mm = (
        paragraph_mm(header.kicker, width_mm)
        + paragraph_mm(header.title, width_mm, share=title, weight=bold)
        + paragraph_mm(header.size, width_mm, share=size)
        + sum(paragraph_mm(note, width_mm) for note in header.notes)
        + _ring_mm(header, width_mm, (size, ring))
        + 0.5 * (len(header.notes) + 1)
        + 1.5 * BETWEEN_MM
    )
    return max(words_mm, LEAST_HEAD_MM)


def _ring_mm(header: Header, width_mm: float, shares: tuple[float, float]) -> float:
    """Height of whom to ring, the number in larger type than the words: one line, or one each."""
    wide = sum(share * _word_width(text) for text, share in zip(header.ring, shares, strict=True))
    lines = 1 if wide * BOLD_SHARE * type_mm() <= width_mm else 2
    return lines * shares[1] * type_mm() * LINE_SHARE
