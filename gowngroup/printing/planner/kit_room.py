"""How the words of a kit sheet fill its pages, and what room they leave for its drawings."""

from __future__ import annotations

from typing import TYPE_CHECKING

from gowngroup.printing import first_page
from gowngroup.printing.first_page import Header, heading_mm, list_mm, paragraph_mm, table_line_mm, table_mm

if TYPE_CHECKING:
    from gowngroup.printing.planner.kit_sheet import KitSheet

GUIDE_LINES, LEFT_COLUMN_MM, RIGHT_COLUMN_MM = 8, 80.0, 96.0
CAPTION_LETTERS = "x" * 135  # what the key of the chart takes beside its sentences
TEAR_OFF_LINES = 10
CLOTH_LINE = "x" * 60


def is_overfull(sheet: KitSheet) -> bool:
    """Would pieces and trims, even as running text, leave the rest of the first page no room?

    In large print the order of work may go on overleaf, so it is the chart alone that needs room.
    """
    least_mm = sheet.chart.least_mm if sheet.chart else first_page.SMALL_CHART_MM
    steps_mm = 0.0 if first_page.is_large_print() else _steps_mm(sheet)
    taken_mm = _words_mm(sheet, "; ".join(sheet.rows)) + steps_mm
    return taken_mm + least_mm > first_page.page_height_mm()


def drawing_mm(sheet: KitSheet, *, least_mm: float) -> float:
    """Height in mm left on the first page for the chart, or the pieces drawn in its place.

    Where the steps do not fit on this page anyhow, they leave the drawing all the room there is.
    """
    text = ""
    if sheet.is_crowded:
        text = sheet.list_in_short if sheet.has_list_overleaf else "; ".join(sheet.rows)
    words_mm, steps_mm = _words_mm(sheet, text), _steps_mm(sheet)
    is_too_much = words_mm + steps_mm + least_mm > first_page.page_height_mm()
    return first_page.chart_height_mm(words_mm if is_too_much else words_mm + steps_mm, least_mm=least_mm)


def has_room_for(sheet: KitSheet, strip_mm: float) -> bool:
    """Does the second page hold the whole chart beside all else, or where the slip needs a third one, beside the rest?"""
    if first_page.is_large_print():
        return False
    rules_mm = heading_mm() + list_mm(sheet.ward_rules) if sheet.ward_rules else 0.0
    cautions_mm = heading_mm() + list_mm(sheet.cautions) + table_line_mm()
    rest_mm = _guide_mm(sheet) + rules_mm + cautions_mm + first_page.SPARE_MM
    slip_mm, page_mm = TEAR_OFF_LINES * table_line_mm(), first_page.page_height_mm()
    return rest_mm + heading_mm() + strip_mm + (slip_mm if rest_mm + slip_mm <= page_mm else 0.0) <= page_mm


def _guide_mm(sheet: KitSheet) -> float:
    left_mm = table_mm(["x"] * GUIDE_LINES, LEFT_COLUMN_MM) + heading_mm()
    left_mm += heading_mm() + table_mm(["x"] * len(sheet.measures), LEFT_COLUMN_MM)
    right_mm = heading_mm() + sum(
        paragraph_mm(words, RIGHT_COLUMN_MM) for words in (sheet.block_width, sheet.stitch_cards)
    )
    if sheet.guide:
        right_mm += sheet.guide.height_mm + paragraph_mm(sheet.guide.caption, RIGHT_COLUMN_MM)
    return max(left_mm, right_mm)


def _words_mm(sheet: KitSheet, running_text: str) -> float:
    """What stands on the first page before the steps; `running_text` in place of the table, where there is one."""
    return _header_mm(sheet) + _kit_mm(sheet, running_text) + _chart_words_mm(sheet)


def _header_mm(sheet: KitSheet) -> float:
    header = Header(
        kicker=f"{sheet.group.name} {sheet.kit.code} xxxxxxx",
        title=sheet.kit.design_revision.design.name,
        size=f"{sheet.gowns} {sheet.size}",
        notes=sheet.notes,
    )
    faults_mm = sum(paragraph_mm(fault) + 8.0 for fault in sheet.need.faults)
    return first_page.header_mm(header) + faults_mm


def _kit_mm(sheet: KitSheet, running_text: str) -> float:
    width_mm = first_page.kit_list_width_mm()
    if running_text:
        list_mm_ = paragraph_mm(running_text, width_mm) + 2 * table_line_mm()
    else:
        list_mm_ = table_mm(sheet.names, first_page.kit_name_width_mm())
    list_mm_ += heading_mm() + paragraph_mm(CLOTH_LINE, width_mm) + 1.0
    return max(list_mm_, sheet.gown.height_mm + 9.0 if sheet.gown else 0.0)


def _chart_words_mm(sheet: KitSheet) -> float:
    """The words round the chart, or round the pieces drawn in its place."""
    if sheet.chart is None:
        return heading_mm() + table_line_mm()
    floss_mm = sum(
        paragraph_mm(floss.shade, 0.26 * first_page.text_width_mm()) + first_page.RULE_MM
        for floss in sheet.floss
    )
    caption = " ".join((CAPTION_LETTERS, *sheet.chart.sentences))
    return heading_mm() + 2 * table_line_mm() + max(floss_mm, 0.0) + paragraph_mm(caption) + 3.0


def _steps_mm(sheet: KitSheet) -> float:
    return heading_mm() + list_mm(sheet.steps, share=first_page.STEP_SHARE)
