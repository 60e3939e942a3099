"""Every write of the gowns room."""

from gowngroup.gowns.actions.checks import check_gown, finish_mending, place_gown, wash_gowns
from gowngroup.gowns.actions.leaving import bring_back_gowns, send_gowns
from gowngroup.gowns.actions.returns import add_gown, take_back

__all__ = [
    "add_gown",
    "bring_back_gowns",
    "check_gown",
    "finish_mending",
    "place_gown",
    "send_gowns",
    "take_back",
    "wash_gowns",
]
