"""What stands on each sheet, worked out before it is written."""

from gowngroup.printing.planner.drop_off import Box, NothingPacked, Stop, driver_sheet, packing_list
from gowngroup.printing.planner.kit_sheet import KitSheet
from gowngroup.printing.planner.kit_written import kit_sheet
from gowngroup.printing.planner.labels import LabelPage, label_pages
from gowngroup.printing.planner.receipt import (
    Mark,
    NoReceiptYet,
    ReceiptPage,
    SignedReceipt,
    mark_of,
    receipt_pages,
    signed_receipt,
)

__all__ = [
    "Box",
    "KitSheet",
    "LabelPage",
    "Mark",
    "NoReceiptYet",
    "NothingPacked",
    "ReceiptPage",
    "SignedReceipt",
    "Stop",
    "driver_sheet",
    "kit_sheet",
    "label_pages",
    "mark_of",
    "packing_list",
    "receipt_pages",
    "signed_receipt",
]
