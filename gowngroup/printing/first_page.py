"""How much of the first page is left for the chart, so that this page alone is enough to sew from."""

from collections.abc import Sequence
from math import ceil

from gowngroup.records.reader import current_reader

# Measured on the sheets themselves, in mm at 11 pt.
TEXT_HEIGHT_MM = {"A4": 270.0, "Letter": 252.4}
TEXT_WIDTH_MM = {"A4": 182.0, "Letter": 187.9}
HEADER_MM, HEADING_MM, LINE_MM, STEP_MM, CAPTION_MM = 47.0, 9.5, 4.9, 5.4, 11.0
TITLE_MM, RULE_MM = 7.6, 1.0
LETTER_MM, STEP_LETTER_MM, TITLE_LETTER_MM = 1.95, 2.1, 3.6  # usual width of a letter
BESIDE_DRAWING_MM, BESIDE_CODE_MM = 118.0, 140.0
SMALL_CHART_MM, LARGE_CHART_MM = 34.0, 84.0
MOST_TABLE_LINES = 12


def text_width_mm() -> float:
    """Width between the margins of the reader's paper."""
    return TEXT_WIDTH_MM.get(current_reader().paper_size, TEXT_WIDTH_MM["A4"])


def is_crowded(rows: Sequence[str]) -> bool:
    """Would a table of the pieces and trims take more of the first page than it should?"""
    return sum(_table_lines(row) for row in rows) > MOST_TABLE_LINES


def chart_height_mm(
    *, group: str, design: str, rows: Sequence[str], floss_count: int, steps: Sequence[str], drawing_mm: float
) -> float:
    """Height in mm that the middle of the chart may take once all else on the first page has its place."""
    kit_mm = max(HEADING_MM + _list_mm(rows), drawing_mm)
    floss_mm = HEADING_MM + (floss_count + 2) * (LINE_MM + RULE_MM)
    steps_mm = HEADING_MM + sum(_lines(step, STEP_LETTER_MM, text_width_mm()) for step in steps) * STEP_MM
    scale = 14 / 11 if current_reader().has_large_print else 1.0
    taken_mm = scale * (kit_mm + floss_mm + steps_mm + CAPTION_MM) + _header_mm(group, design)
    page_mm = TEXT_HEIGHT_MM.get(current_reader().paper_size, TEXT_HEIGHT_MM["A4"])
    return min(max(page_mm - taken_mm, SMALL_CHART_MM), LARGE_CHART_MM)


def _header_mm(group: str, design: str) -> float:
    more_titles = _lines(design, TITLE_LETTER_MM, BESIDE_CODE_MM) - 1
    more_lines = _lines(group, LETTER_MM, BESIDE_CODE_MM - 25) - 1
    return HEADER_MM + more_titles * TITLE_MM + more_lines * LINE_MM


def _list_mm(rows: Sequence[str]) -> float:
    if is_crowded(rows):
        return (_lines("; ".join(rows), LETTER_MM, BESIDE_DRAWING_MM) + 2) * LINE_MM
    return sum(_table_lines(row) * LINE_MM + RULE_MM for row in rows) + 2 * (LINE_MM + RULE_MM)


def _table_lines(row: str) -> int:
    return _lines(row, LETTER_MM, BESIDE_DRAWING_MM)


def _lines(text: str, letter_mm: float, width_mm: float) -> int:
    return ceil(max(len(text), 1) * letter_mm / width_mm)
