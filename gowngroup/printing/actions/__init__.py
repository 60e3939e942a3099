"""What printing writes down: sheets kept, sheets given out, long prints begun, followed, cancelled, gone on with."""

from gowngroup.printing.actions.keeping import keep_sheet, note_given_out
from gowngroup.printing.actions.runs import (
    BeingPrinted,
    NothingToPrint,
    NotInterrupted,
    cancel_print,
    end_print,
    note_printed_so_far,
    resume_print,
    start_print,
)

__all__ = [
    "BeingPrinted",
    "NotInterrupted",
    "NothingToPrint",
    "cancel_print",
    "end_print",
    "keep_sheet",
    "note_given_out",
    "note_printed_so_far",
    "resume_print",
    "start_print",
]
