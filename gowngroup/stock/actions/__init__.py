"""Every write of the stock room."""

from gowngroup.stock.actions.ledger import (
    issue_free,
    issue_reserved,
    release_amount,
    reserve_amount,
    return_amount,
)
from gowngroup.stock.actions.lots import (
    add_flaw,
    mark_flaws,
    mark_washed,
    measure_lot,
    move_lot,
    open_package,
    receive_lot,
    remove_flaw,
    take_stock,
)
from gowngroup.stock.actions.materials import add_donor, add_material, change_donor, change_material

__all__ = [
    "add_donor",
    "add_flaw",
    "add_material",
    "change_donor",
    "change_material",
    "issue_free",
    "issue_reserved",
    "mark_flaws",
    "mark_washed",
    "measure_lot",
    "move_lot",
    "open_package",
    "receive_lot",
    "release_amount",
    "remove_flaw",
    "reserve_amount",
    "return_amount",
    "take_stock",
]
