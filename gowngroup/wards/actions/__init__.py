"""Every write about wards and their requests."""

from gowngroup.wards.actions.lines import (
    DeliveredAlready,
    EmptyRequest,
    ImpossibleCount,
    ImpossibleSet,
    LineEntry,
)
from gowngroup.wards.actions.meeting import MoreThanAsked, book_met, book_unmet
from gowngroup.wards.actions.requests import (
    AskedTwice,
    ImpossibleMonth,
    NotOnTheList,
    RequestIsClosed,
    WardIsPaused,
    change_request,
    enter_request,
    repeat_standing_requests,
    withdraw_request,
)
from gowngroup.wards.actions.wards import (
    HospitalNameTaken,
    ImpossibleWard,
    WardDetails,
    WardNameTaken,
    add_hospital,
    add_ward,
    change_hospital,
    change_ward,
    pause_ward,
    set_shelf_level,
)

__all__ = [
    "AskedTwice",
    "DeliveredAlready",
    "EmptyRequest",
    "HospitalNameTaken",
    "ImpossibleCount",
    "ImpossibleMonth",
    "ImpossibleSet",
    "ImpossibleWard",
    "LineEntry",
    "MoreThanAsked",
    "NotOnTheList",
    "RequestIsClosed",
    "WardDetails",
    "WardIsPaused",
    "WardNameTaken",
    "add_hospital",
    "add_ward",
    "book_met",
    "book_unmet",
    "change_hospital",
    "change_request",
    "change_ward",
    "enter_request",
    "pause_ward",
    "repeat_standing_requests",
    "set_shelf_level",
    "withdraw_request",
]
