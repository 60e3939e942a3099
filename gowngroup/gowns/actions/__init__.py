"""Every write of the gowns room."""

from gowngroup.gowns.actions.checks import check_gown, finish_mending, place_gown, wash_gowns
from gowngroup.gowns.actions.leaving import bring_back_gowns, send_gowns
from gowngroup.gowns.actions.returns import add_gown, take_back, undo_take_back
from gowngroup.gowns.actions.table import BackRow, OutRow, RowRefused, book_back, enter_table_list

__all__ = [
    "BackRow",
    "OutRow",
    "RowRefused",
    "add_gown",
    "book_back",
    "bring_back_gowns",
    "check_gown",
    "enter_table_list",
    "finish_mending",
    "place_gown",
    "send_gowns",
    "take_back",
    "undo_take_back",
    "wash_gowns",
]
