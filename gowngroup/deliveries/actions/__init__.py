"""Every write of the deliveries room."""

from gowngroup.deliveries.actions.drop_offs import (
    bring_drop_off_back,
    call_drop_off_off,
    receive_drop_off,
    send_drop_off,
    start_drop_off,
)
from gowngroup.deliveries.actions.packing import fill_drop_off, pack_gown, serve_urgent_request, unpack_gown
from gowngroup.deliveries.actions.receipts import file_receipt, print_receipt

__all__ = [
    "bring_drop_off_back",
    "call_drop_off_off",
    "file_receipt",
    "fill_drop_off",
    "pack_gown",
    "print_receipt",
    "receive_drop_off",
    "send_drop_off",
    "serve_urgent_request",
    "start_drop_off",
    "unpack_gown",
]
