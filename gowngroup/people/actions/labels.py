"""Setting how labels are printed: how far the printer is out, and the group's own sheet."""

from dataclasses import dataclass
from datetime import datetime

from django.utils.translation import gettext as _

from gowngroup.people.actions.details import apply
from gowngroup.people.label_words import fault_sentence
from gowngroup.people.models import LabelPrinting, Person
from gowngroup.people.queries import own_label_sheet
from gowngroup.planning.label_sheets import sheet_faults
from gowngroup.records.actions import action, record
from gowngroup.records.errors import Refusal

MOST_OFFSET_UM = 10_000
LEAST_SIDE_UM = 10_000
MOST_LABELS_ON_A_SHEET = 400
FIELDS = {
    "left": "left_um",
    "upper": "top_um",
    "right": "column_count",
    "lower": "row_count",
    "beside": "pitch_x_um",
    "below": "pitch_y_um",
}


class SheetDoesNotFit(Refusal):
    """Labels of the sheet would leave the paper, cover each other, or be too small or too many."""


class PrinterTooFarOut(Refusal):
    """The printer would be out by more than any printer is."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelPrintingDetails:
    """How labels are printed; without a name there is no sheet of the group's own."""

    offset_right_um: int = 0
    offset_down_um: int = 0
    sheet_name: str = ""
    paper_size: str = "A4"
    column_count: int = 1
    row_count: int = 1
    label_width_um: int = 0
    label_height_um: int = 0
    pitch_x_um: int = 0
    pitch_y_um: int = 0
    left_um: int = 0
    top_um: int = 0


@action
def set_label_printing(
    *, details: LabelPrintingDetails, by: Person, at: datetime, request_key: str = ""
) -> LabelPrinting:
    """Set the printer's offset and the group's own sheet of labels; a sheet that cannot be printed is refused."""
    row = LabelPrinting.objects.select_for_update().filter(pk=1).first() or LabelPrinting(pk=1)
    before = apply(row, details)
    _check_offset(details)
    if details.sheet_name:
        _check_sheet(row, details)
    row.save()
    if before:
        changes = {name: [old, getattr(details, name)] for name, old in before.items()}
        record(by=by, at=at, did="set_label_printing", subject=row, changes=changes)
    return row


def _check_offset(details: LabelPrintingDetails) -> None:
    for field in ("offset_right_um", "offset_down_um"):
        if abs(getattr(details, field)) > MOST_OFFSET_UM:
            raise PrinterTooFarOut(
                _(
                    "A printer is seldom out by more than 10 mm. Please measure again on a fresh test page, printed at 100 %."
                ),
                field=field,
            )


def _check_sheet(row: LabelPrinting, details: LabelPrintingDetails) -> None:
    for field in ("label_width_um", "label_height_um"):
        if getattr(details, field) < LEAST_SIDE_UM:
            raise SheetDoesNotFit(_("A label needs at least 10 mm."), field=field)
    if details.column_count * details.row_count > MOST_LABELS_ON_A_SHEET:
        raise SheetDoesNotFit(_("That is more than 400 labels on one sheet."), field="column_count")
    sheet = own_label_sheet(row)
    faults = sheet_faults(sheet)
    if faults:
        raise SheetDoesNotFit(fault_sentence(faults[0]), field=FIELDS[faults[0].reason])
    moved = sheet.shifted(right_mm=details.offset_right_um / 1000, down_mm=details.offset_down_um / 1000)
    for fault in sheet_faults(moved):
        field = "offset_right_um" if fault.reason in ("left", "right") else "offset_down_um"
        raise SheetDoesNotFit(fault_sentence(fault, is_moved=True), field=field)
