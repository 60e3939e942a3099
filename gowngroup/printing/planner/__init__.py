"""What stands on each sheet, worked out before it is written."""

from gowngroup.printing.planner.kit_sheet import KitSheet, kit_sheet
from gowngroup.printing.planner.labels import LabelPage, label_pages
from gowngroup.printing.planner.receipt import NoReceiptYet, ReceiptPage, receipt_pages

__all__ = [
    "KitSheet",
    "LabelPage",
    "NoReceiptYet",
    "ReceiptPage",
    "kit_sheet",
    "label_pages",
    "receipt_pages",
]
