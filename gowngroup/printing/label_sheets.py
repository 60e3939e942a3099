"""Which sheets of labels there are to print on, moved as the group's printer needs them, and their names."""

from django.utils.translation import gettext as _

from gowngroup.people.label_words import fault_sentence
from gowngroup.people.queries import label_printing, own_label_sheet
from gowngroup.planning.label_sheets import (
    LABEL_SHEETS,
    PAPER_MM,
    LabelSheet,
    Place,
    SheetFault,
    sheet_faults,
    tape_sheet,
)
from gowngroup.records.reader import current_reader
from gowngroup.records.written import written_number

__all__ = ["INSIDE_MM", "LABEL_SHEETS", "LabelSheet", "Place"]

INSIDE_MM = 2.0  # kept free along each label's edge, since printers and hands are never exact
TAPES = tuple(tape_sheet(paper_size) for paper_size in PAPER_MM)


def sheets_to_print_on(*, has_tape: bool = False) -> tuple[LabelSheet, ...]:
    """The generic sheets on the reader's paper first, the group's own before them all, tapes for gowns last."""
    printing = label_printing()
    own = (own_label_sheet(printing),) if printing.sheet_name else ()
    sheets = (*LABEL_SHEETS, *(TAPES if has_tape else ()))
    return (*own, *sorted(sheets, key=lambda sheet: sheet.paper_size != current_reader().paper_size))


def printed_sheet(key: str) -> LabelSheet | None:
    """The sheet of this key, moved by the printer's offset; None where there is none."""
    printing = label_printing()
    found = next((sheet for sheet in sheets_to_print_on(has_tape=True) if sheet.key == key), None)
    return found and found.shifted(
        right_mm=printing.offset_right_um / 1000, down_mm=printing.offset_down_um / 1000
    )


def offset_sentence(sheet: LabelSheet) -> str:
    """Why a moved sheet cannot be printed; empty where it can."""
    faults: tuple[SheetFault, ...] = sheet_faults(sheet)
    return fault_sentence(faults[0], is_moved=True) if faults else ""


def sheet_title(sheet: LabelSheet) -> str:
    """How a sheet is named: its paper, how many labels, how large."""
    size = {
        "paper": sheet.paper_size,
        "columns": sheet.column_count,
        "rows": sheet.row_count,
        "width": _mm(sheet.label_width_mm),
        "height": _mm(sheet.label_height_mm),
    }
    if sheet.tuck_mm:
        return (
            _("%(paper)s, plain: %(columns)d × %(rows)d to cut out and sew in, %(width)s × %(height)s mm")
            % size
        )
    generic = _("%(paper)s, %(columns)d × %(rows)d labels of %(width)s × %(height)s mm") % size
    return f"{sheet.name} ({generic})" if sheet.name else generic


def _mm(length_mm: float) -> str:
    return written_number(f"{length_mm:.2f}".rstrip("0").rstrip("."))
