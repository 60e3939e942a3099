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
# By so much what stands overleaf is reckoned too high: where the slip may just fit, no chart takes its room.
RECKONED_TOO_HIGH_MM = 16.0
MOST_PAGES_IN_BLOCKS = 2
DRAWN_LINES = "x" * 10  # as wide as the lines drawn amid the words on chart and floss
GOOD_DRAWING_MM = 42.0  # a drawing no table should take room from
GOOD_LARGE_MM = 36.0  # one that in large print nothing that explains itself should
GOWN_MM, SMALL_GOWN_MM, HEAD_GOWN_MM, TABLE_GOWN_MM, LEAST_GOWN_MM = 54.0, 34.0, 34.0, 44.0, 28.0
FIGURE_MM, GOWN_ABOVE_MM, PLEATING_GAP_MM = 1.5, 9.0, 1.5
# Columns of the table of floss, in shares of the type's size and of the page's width, and the gaps of its five cells.
FLOSS_SHARE, FLOSS_LARGE_SHARE, WOUND_SHARE = 13.6, 10.2, 0.31
FLOSS_GAPS_MM = 5 * first_page.CELL_GAP_MM

ListForm = Literal["table", "text", "counts", "overleaf"]
ChartForm = Literal["drawn", "brief", "floss", "overleaf"]
GownPlace = Literal["list", "head", "overleaf"]
NAMED: tuple[ListForm, ...] = ("table", "text", "counts")
DRAWN: tuple[ChartForm, ...] = ("drawn", "brief")


@dataclass(frozen=True, slots=True, kw_only=True)
class Forms:
    """In which form the parts of the first page stand on it.

    Pieces and trims as a table, as running text, named and counted with their measures overleaf, or only counted. The
    chart with a table of its floss and all there is to say of it, or in brief with a line for each floss; of a chart
    only its floss; or nothing of it. How to pleat, or that it stands overleaf. The gown beside the list, in the head,
    or overleaf.
    """

    chart: ChartForm
    list: ListForm
    has_pleating: bool = True
    has_seams: bool = True
    gown: GownPlace = "list"


@dataclass(frozen=True, slots=True, kw_only=True)
class FirstPage:
    """What the first page has room for beside its head and all steps, its drawing (a chart, else the pieces) so high."""

    forms: Forms
    drawing_mm: float
    gown_mm: float


FEWEST = Forms(chart="overleaf", list="overleaf", has_pleating=False)


def first_page_of(sheet: KitSheet) -> FirstPage:
    """The fullest first page that holds all steps; where none does, they go on overleaf below as little as can be."""
    rest_mm = first_page.page_height_mm() - _steps_mm(sheet) - first_page.SPARE_MM
    found = (_with_room(sheet, forms, rest_mm - _header_mm(sheet, forms)) for forms in _forms(sheet))
    return next((page for page in found if page is not None), _page(sheet, FEWEST, 0.0))


def _with_room(sheet: KitSheet, forms: Forms, free_mm: float) -> FirstPage | None:
    """A first page in these forms, or None where so much room is too little for it."""
    room_mm = (
        free_mm
        - _chart_words_mm(sheet, forms.chart)
        - _kit_mm(sheet, forms)
        - _pleating_mm(sheet, forms)
        - (_seams_mm(sheet) if forms.has_seams else 0.0)
    )
    return None if room_mm < _least_mm(sheet, forms) else _page(sheet, forms, room_mm)


def _page(sheet: KitSheet, forms: Forms, room_mm: float) -> FirstPage:
    return FirstPage(
        forms=forms,
        drawing_mm=min(room_mm, first_page.LARGE_CHART_MM),
        gown_mm=_gown_mm(sheet, forms),
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
    is_slip_apart = rest_mm + slip_mm > page_mm + RECKONED_TOO_HIGH_MM
    return rest_mm + heading_mm() + strip_mm + (0.0 if is_slip_apart else slip_mm) <= page_mm


def keeps_blocks_whole(sheet: KitSheet) -> bool:
    """Is what stands overleaf little enough to leave gaps at the foot of pages, for the sake of whole blocks?"""
    rest_mm = _list_overleaf_mm(sheet) + _guide_mm(sheet) + _rules_mm(sheet)
    return rest_mm <= MOST_PAGES_IN_BLOCKS * first_page.page_height_mm()


def _forms(sheet: KitSheet) -> Iterator[Forms]:
    """What may stand on the first page, the fullest first."""
    named = NAMED if sheet.rows else NAMED[:1]
    if sheet.chart is None:
        charts: tuple[ChartForm, ...] = ("drawn", "overleaf") if sheet.has_outlines else ("overleaf",)
        yield from (Forms(chart=chart, list=form) for chart in charts for form in named)
    elif first_page.is_large_print():
        yield from _forms_in_large_print(named)
    else:
        yield from _forms_in_usual_print(named)


def _forms_in_usual_print(named: tuple[ListForm, ...]) -> Iterator[Forms]:
    """What explains itself in the chart goes overleaf before measures, then how to pleat, which is done before the first stitch, then the list."""
    yield from (Forms(chart="drawn", list=form) for form in named[:2])
    yield from (Forms(chart="brief", list=form) for form in named[1:2])
    yield from (Forms(chart="drawn", list=form) for form in named[2:])
    yield from (Forms(chart="drawn", list=form, has_pleating=False) for form in (named[-1], "overleaf"))
    yield from _forms_without_chart(named)


def _forms_in_large_print(named: tuple[ListForm, ...]) -> Iterator[Forms]:
    """The list goes overleaf first, for the kit comes cut; then what explains itself in the chart, the gown, seams, how to pleat."""
    yield from (Forms(chart="drawn", list=form) for form in named)
    for chart in DRAWN:
        yield Forms(chart=chart, list="overleaf", gown="head")
        yield Forms(chart=chart, list="overleaf", gown="overleaf")
    yield Forms(chart="brief", list="overleaf", has_seams=False, gown="head")
    yield Forms(chart="brief", list="overleaf", has_seams=False, gown="overleaf")
    yield Forms(chart="brief", list="overleaf", has_pleating=False, gown="overleaf")
    yield Forms(chart="brief", list="overleaf", has_pleating=False, has_seams=False, gown="overleaf")
    yield from _forms_without_chart(named)


def _forms_without_chart(named: tuple[ListForm, ...]) -> Iterator[Forms]:
    """Where the chart has no room: the floss, and at last not even that."""
    yield from (Forms(chart="floss", list=form) for form in named)
    yield Forms(chart="floss", list=named[-1], has_pleating=False)
    yield from (Forms(chart="overleaf", list=form) for form in named)
    yield Forms(chart="floss", list="overleaf", has_pleating=False)


def _least_mm(sheet: KitSheet, forms: Forms) -> float:
    """The least height in mm of what is drawn on the first page; a drawing of the pieces comes whole or not at all."""
    if forms.chart not in DRAWN:
        return 0.0
    if sheet.chart is None:
        return first_page.SMALL_CHART_MM
    good_mm = GOOD_DRAWING_MM if forms.list == "table" else 0.0
    if forms.chart == "drawn" and first_page.is_large_print():
        good_mm = max(good_mm, GOOD_LARGE_MM)
    return max(sheet.chart.least_mm, good_mm)


def _list_overleaf_mm(sheet: KitSheet) -> float:
    if not sheet.has_list_overleaf:
        return 0.0
    width_mm = first_page.kit_name_width_mm(first_page.text_width_mm())
    seams_mm = 0.0 if sheet.has_seams_first else _seams_mm(sheet) + first_page.BETWEEN_MM
    return heading_mm() + table_mm(sheet.names, width_mm) + seams_mm


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


def _header_mm(sheet: KitSheet, forms: Forms) -> float:
    header = Header(
        kicker=f"{sheet.group.name} {sheet.kit.code} xxxxxxx",
        title=sheet.kit.design_revision.design.name,
        size=f"{sheet.gowns} {sheet.size}",
        notes=sheet.notes,
        ring=(sheet.ring_words, sheet.group.telephone),
    )
    faults_mm = sum(paragraph_mm(fault) + 8.0 for fault in sheet.need.faults)
    return first_page.header_mm(header, has_gown=forms.gown == "head") + faults_mm


def _kit_mm(sheet: KitSheet, forms: Forms) -> float:
    """Height of what is in the kit beside the drawing of the gown, or of the one paragraph on it."""
    if not sheet.rows and sheet.gown_drawing is None:
        return 0.0
    if forms.gown != "list":
        return paragraph_mm(sheet.kit_in_short) + PLEATING_GAP_MM
    return max(
        _list_mm(sheet, forms.list), _gown_mm(sheet, forms) + GOWN_ABOVE_MM if sheet.gown_drawing else 0.0
    )


def _pleating_mm(sheet: KitSheet, forms: Forms) -> float:
    """Height of what is said of pleating below the list; nothing where it is not said and the list is overleaf, too."""
    if not sheet.pleating or (forms.list == "overleaf" and not forms.has_pleating):
        return 0.0
    said = sheet.pleating_text if forms.has_pleating else sheet.pleating_is_overleaf
    return paragraph_mm(said) + PLEATING_GAP_MM


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


def _gown_mm(sheet: KitSheet, forms: Forms) -> float:
    """Height of the drawing of the gown: as high as the words beside it where they are many, small in stages."""
    if forms.gown == "head":
        return HEAD_GOWN_MM
    most_mm = GOWN_MM
    if first_page.is_large_print() or sheet.kit.stage in (Stage.PLEAT, Stage.SMOCK):
        most_mm = SMALL_GOWN_MM
    least_mm = TABLE_GOWN_MM if forms.list == "table" else LEAST_GOWN_MM
    return min(max(_list_mm(sheet, forms.list) - GOWN_ABOVE_MM, least_mm), most_mm)


def _chart_words_mm(sheet: KitSheet, form: ChartForm) -> float:
    """The words round the chart, or round the pieces drawn in its place."""
    if sheet.chart is None:
        return heading_mm() + paragraph_mm(sheet.outlines_note) + 2 * FIGURE_MM if form in DRAWN else 0.0
    if form == "overleaf":
        return paragraph_mm(sheet.floss_is_overleaf) + PLEATING_GAP_MM
    is_brief = form == "brief"
    floss_mm = _floss_lines_mm(sheet) if is_brief else _floss_mm(sheet)
    if form == "floss":
        return floss_mm + paragraph_mm(sheet.chart_is_overleaf) + first_page.BETWEEN_MM
    said = (DRAWN_LINES, *sheet.chart_key, *sheet.chart_said(is_brief=is_brief))
    return floss_mm + paragraph_mm(" ".join(said)) + FIGURE_MM


def _floss_lines_mm(sheet: KitSheet) -> float:
    """The heading of the chart and a line for each floss."""
    lines_mm = sum(paragraph_mm(f"{floss.role} {DRAWN_LINES} {floss.text}") for floss in sheet.floss)
    return heading_mm() + lines_mm + FIGURE_MM


def _floss_mm(sheet: KitSheet) -> float:
    """The heading of the chart, its floss and what needle it takes."""
    width_mm, is_large = first_page.text_width_mm(), first_page.is_large_print()
    wound_mm = WOUND_SHARE * width_mm
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
    needle_mm = paragraph_mm(sheet.needle) + first_page.BETWEEN_MM
    return heading_mm() + table_line_mm() + lines_mm + needle_mm


def _steps_mm(sheet: KitSheet) -> float:
    share = 1.0 if first_page.is_large_print() else first_page.STEP_SHARE
    steps_mm = list_mm(sheet.steps, share=share, indent_mm=first_page.STEP_INDENT_MM)
    end_mm = paragraph_mm(sheet.goes_out) + first_page.BETWEEN_MM if sheet.goes_out else 0.0
    return heading_mm() + steps_mm + end_mm


def _seams_mm(sheet: KitSheet) -> float:
    return paragraph_mm(sheet.seams)
