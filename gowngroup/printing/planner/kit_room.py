"""How the words of a kit sheet fill its pages: what stands on the first one, and what goes overleaf as a whole."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from gowngroup.batches.models import Stage
from gowngroup.printing import first_page
from gowngroup.printing.first_page import Header, heading_mm, list_mm, paragraph_mm, table_line_mm, table_mm

if TYPE_CHECKING:
    from gowngroup.printing.planner.kit_sheet import KitSheet

GUIDE_LINES, LEFT_COLUMN_MM, RIGHT_COLUMN_MM = 8, 80.0, 96.0
MEASURE_NAME_SHARE = 0.42  # of the left column
TEAR_OFF_LINES = 9.3
MOST_PAGES_IN_BLOCKS = 2
KEY_MM = 18.0  # the lines drawn in the key of the chart
GOOD_DRAWING_MM = 42.0  # a drawing no table should take room from
GOWN_MM, SMALL_GOWN_MM, TABLE_GOWN_MM, LEAST_GOWN_MM = 54.0, 34.0, 44.0, 28.0
FIGURE_MM, GOWN_ABOVE_MM, PLEATING_GAP_MM = 1.5, 9.0, 1.5
# Columns of the table of floss, in shares of the type's size and of the page's width, and the gaps of its five cells.
FLOSS_SHARE, FLOSS_LARGE_SHARE, WOUND_SHARE, WOUND_LARGE_SHARE = 13.6, 10.2, 0.40, 0.31
FLOSS_GAPS_MM = 5 * first_page.CELL_GAP_MM

ListForm = Literal["table", "text", "counts", "overleaf"]
ChartForm = Literal["drawn", "brief", "floss", "overleaf"]
NAMED: tuple[ListForm, ...] = ("table", "text", "counts")
DRAWN: tuple[ChartForm, ...] = ("drawn", "brief")
Forms = tuple[ChartForm, ListForm, bool]


@dataclass(frozen=True, slots=True, kw_only=True)
class FirstPage:
    """What the first page has room for beside its head and all steps of the work.

    Pieces and trims as a table, as running text, named and counted with their measures overleaf, or only counted.
    The drawing (a chart with its floss, else the pieces) so high; the chart with less said of it; of a chart only its
    floss; or nothing of it. How to pleat, or that it stands overleaf.
    """

    list_form: ListForm
    chart_form: ChartForm
    has_pleating: bool
    drawing_mm: float
    gown_mm: float


def first_page_of(sheet: KitSheet) -> FirstPage:
    """The fullest first page that holds all steps; where none does, they go on overleaf below as little as can be."""
    fixed_mm = _header_mm(sheet) + _steps_mm(sheet) + first_page.SPARE_MM
    free_mm = first_page.page_height_mm() - fixed_mm
    found = [_with_room(sheet, forms, free_mm) for forms in _forms(sheet)]
    return next((page for page in found if page is not None), _fewest(sheet))


def _with_room(sheet: KitSheet, forms: Forms, free_mm: float) -> FirstPage | None:
    """A first page in these forms, or None where so much room is too little for it."""
    chart_form, list_form, has_pleating = forms
    room_mm = (
        free_mm
        - _chart_words_mm(sheet, chart_form)
        - _kit_mm(sheet, list_form)
        - _pleating_mm(sheet, list_form, has_pleating=has_pleating)
    )
    if room_mm < _least_mm(sheet, list_form, chart_form):
        return None
    return FirstPage(
        list_form=list_form,
        chart_form=chart_form,
        has_pleating=has_pleating,
        drawing_mm=min(room_mm, first_page.LARGE_CHART_MM),
        gown_mm=_gown_mm(sheet, list_form),
    )


def _fewest(sheet: KitSheet) -> FirstPage:
    gown_mm = _gown_mm(sheet, "overleaf")
    return FirstPage(
        list_form="overleaf", chart_form="overleaf", has_pleating=False, drawing_mm=0.0, gown_mm=gown_mm
    )


def overleaf_drawing_mm(least_mm: float) -> float:
    """Height of a chart that has a page to itself and its floss."""
    return max(first_page.LARGE_CHART_MM, least_mm)


def has_room_for(sheet: KitSheet, strip_mm: float) -> bool:
    """Does the second page hold the whole chart beside all else, or where the slip needs a third one, beside the rest?"""
    if first_page.is_large_print():
        return False
    rest_mm = _list_overleaf_mm(sheet) + _guide_mm(sheet) + _rules_mm(sheet) + first_page.SPARE_MM
    slip_mm, page_mm = TEAR_OFF_LINES * table_line_mm(), first_page.page_height_mm()
    return rest_mm + heading_mm() + strip_mm + (slip_mm if rest_mm + slip_mm <= page_mm else 0.0) <= page_mm


def keeps_blocks_whole(sheet: KitSheet) -> bool:
    """Is what stands overleaf little enough to leave gaps at the foot of pages, for the sake of whole blocks?"""
    rest_mm = _list_overleaf_mm(sheet) + _guide_mm(sheet) + _rules_mm(sheet)
    return rest_mm <= MOST_PAGES_IN_BLOCKS * first_page.page_height_mm()


def _forms(sheet: KitSheet) -> Iterator[Forms]:
    """What may stand on the first page, the fullest first.

    How to pleat goes overleaf for the sake of the chart, for it is done before the first stitch; then a list is only
    counted, in large print later still than the chart goes. A drawing of the pieces comes whole or not at all.
    """
    named = NAMED if sheet.rows else NAMED[:1]
    for chart in _chart_forms(sheet):
        yield from ((chart, form, True) for form in named)
        if chart != "overleaf" and sheet.chart:
            yield chart, named[-1], False
        if chart == "drawn" and sheet.chart and not first_page.is_large_print():
            yield chart, "overleaf", False
    if sheet.chart:
        yield from ((chart, "overleaf", False) for chart in (*DRAWN, "floss"))


def _chart_forms(sheet: KitSheet) -> tuple[ChartForm, ...]:
    if sheet.chart is None:
        return ("drawn", "overleaf") if sheet.has_outlines else ("overleaf",)
    return (*DRAWN, "floss", "overleaf") if first_page.is_large_print() else ("drawn", "floss", "overleaf")


def _least_mm(sheet: KitSheet, list_form: ListForm, chart_form: ChartForm) -> float:
    """The least height in mm of what is drawn on the first page."""
    if chart_form not in DRAWN:
        return 0.0
    if sheet.chart is None:
        return first_page.SMALL_CHART_MM
    return max(sheet.chart.least_mm, GOOD_DRAWING_MM if list_form == "table" else 0.0)


def _list_overleaf_mm(sheet: KitSheet) -> float:
    if not sheet.has_list_overleaf:
        return 0.0
    width_mm = first_page.kit_name_width_mm(first_page.text_width_mm())
    return heading_mm() + table_mm(sheet.names, width_mm)


def _rules_mm(sheet: KitSheet) -> float:
    """What the wards ask, and what to mind."""
    rules_mm = heading_mm() + list_mm(sheet.ward_rules) if sheet.ward_rules else 0.0
    return rules_mm + heading_mm() + list_mm(sheet.cautions) + table_line_mm()


def _guide_mm(sheet: KitSheet) -> float:
    left_mm = heading_mm() + GUIDE_LINES * table_line_mm() if sheet.guide else 0.0
    names = [measure.label for measure in sheet.measures]
    left_mm += heading_mm() + table_mm(names, MEASURE_NAME_SHARE * LEFT_COLUMN_MM) if names else 0.0
    right_mm = paragraph_mm(sheet.stitch_cards, RIGHT_COLUMN_MM) + FIGURE_MM
    if sheet.guide:
        right_mm += sheet.guide.height_mm + paragraph_mm(sheet.guide.caption, RIGHT_COLUMN_MM) + FIGURE_MM
    notes_mm = sum(
        paragraph_mm(note) + first_page.BETWEEN_MM for note in (*sheet.need.notes, sheet.chart_rest)
    )
    return max(left_mm, right_mm) + (notes_mm if sheet.chart else 0.0)


def _header_mm(sheet: KitSheet) -> float:
    header = Header(
        kicker=f"{sheet.group.name} {sheet.kit.code} xxxxxxx",
        title=sheet.kit.design_revision.design.name,
        size=f"{sheet.gowns} {sheet.size}",
        notes=sheet.notes,
    )
    faults_mm = sum(paragraph_mm(fault) + 8.0 for fault in sheet.need.faults)
    return first_page.header_mm(header) + faults_mm


def _kit_mm(sheet: KitSheet, form: ListForm) -> float:
    """Height of what is in the kit beside the drawing of the gown."""
    if not sheet.rows and sheet.gown_drawing is None:
        return 0.0
    return max(_list_mm(sheet, form), _gown_mm(sheet, form) + GOWN_ABOVE_MM if sheet.gown_drawing else 0.0)


def _pleating_mm(sheet: KitSheet, form: ListForm, *, has_pleating: bool) -> float:
    """Height of what is said of pleating below the list; nothing where the list is overleaf, too."""
    if not sheet.pleating or form == "overleaf":
        return 0.0
    return paragraph_mm(sheet.pleating_text if has_pleating else sheet.pleating_is_overleaf) + PLEATING_GAP_MM


def _list_mm(sheet: KitSheet, form: ListForm) -> float:
    width_mm = first_page.kit_list_width_mm()
    if form == "table":
        name_mm = first_page.kit_name_width_mm(width_mm)
        names = [*sheet.names] and [sheet.list_heading, *sheet.names]
        taken_mm = sum(paragraph_mm(name, name_mm) + first_page.RULE_MM for name in names)
    else:
        bold = first_page.TEXT_SHARE * first_page.BOLD_SHARE
        taken_mm = paragraph_mm(sheet.list_text(form), width_mm, weight=bold)
    return heading_mm() + taken_mm + paragraph_mm(sheet.cloth, width_mm) + first_page.BETWEEN_MM


def _gown_mm(sheet: KitSheet, form: ListForm) -> float:
    """Height of the drawing of the gown: as high as the words beside it where they are many, small in stages."""
    most_mm = GOWN_MM
    if first_page.is_large_print() or sheet.kit.stage in (Stage.PLEAT, Stage.SMOCK):
        most_mm = SMALL_GOWN_MM
    least_mm = TABLE_GOWN_MM if form == "table" else LEAST_GOWN_MM
    return min(max(_list_mm(sheet, form) - GOWN_ABOVE_MM, least_mm), most_mm)


def _chart_words_mm(sheet: KitSheet, form: ChartForm) -> float:
    """The words round the chart, or round the pieces drawn in its place."""
    if sheet.chart is None:
        return heading_mm() + table_line_mm() + FIGURE_MM if form in DRAWN else 0.0
    if form == "overleaf":
        return paragraph_mm(sheet.floss_is_overleaf) + PLEATING_GAP_MM
    floss_mm = _floss_mm(sheet, is_brief=form == "brief")
    if form == "floss":
        return floss_mm + paragraph_mm(sheet.chart_is_overleaf) + first_page.BETWEEN_MM
    said = (sheet.chart_key, *sheet.chart_said(is_brief=form == "brief"))
    return floss_mm + paragraph_mm(f"{'x' * round(KEY_MM / 1.8)} {' '.join(said)}") + FIGURE_MM


def _floss_mm(sheet: KitSheet, *, is_brief: bool) -> float:
    """The heading of the chart, its floss and what needle it takes."""
    width_mm, is_large = first_page.text_width_mm(), first_page.is_large_print()
    wound_mm = (WOUND_LARGE_SHARE if is_large else WOUND_SHARE) * width_mm
    columns_mm = (FLOSS_LARGE_SHARE if is_large else FLOSS_SHARE) * first_page.type_mm()
    shade_mm = width_mm - wound_mm - columns_mm - FLOSS_GAPS_MM
    lines_mm = sum(
        max(
            paragraph_mm(floss.shade, shade_mm),
            paragraph_mm(floss.wound, wound_mm),
            table_line_mm() - first_page.RULE_MM,
        )
        + first_page.RULE_MM
        for floss in sheet.floss
    )
    needle_mm = paragraph_mm(sheet.needle_said(is_brief=is_brief)) + first_page.BETWEEN_MM
    return heading_mm() + table_line_mm() + lines_mm + needle_mm


def _steps_mm(sheet: KitSheet) -> float:
    share = 1.0 if first_page.is_large_print() else first_page.STEP_SHARE
    steps_mm = list_mm(sheet.steps, share=share, indent_mm=first_page.STEP_INDENT_MM)
    end_mm = paragraph_mm(sheet.goes_out) + first_page.BETWEEN_MM if sheet.goes_out else 0.0
    return heading_mm() + steps_mm + end_mm
