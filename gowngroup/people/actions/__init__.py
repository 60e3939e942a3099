"""Every write about people: the group, its members, signing in."""

from gowngroup.people.actions.group import GroupDetails, UnknownTimeZone, set_up_group
from gowngroup.people.actions.labels import (
    LabelPrintingDetails,
    PrinterTooFarOut,
    SheetDoesNotFit,
    set_label_printing,
)
from gowngroup.people.actions.links import (
    LinkSpent,
    make_sign_in_link,
    take_back_sign_in_links,
    use_sign_in_link,
)
from gowngroup.people.actions.members import (
    AlreadyLeft,
    Erased,
    LastCoordinator,
    MySettings,
    NoSuchRole,
    PersonDetails,
    StillHasKits,
    add_person,
    change_my_settings,
    change_person,
    end_sessions,
    leave_group,
    return_to_group,
)
from gowngroup.people.actions.sign_in import (
    CodeSpent,
    MailNotSent,
    TooManyCodes,
    WrongCode,
    note_sign_in,
    send_sign_in_code,
    use_sign_in_code,
)

__all__ = [
    "AlreadyLeft",
    "CodeSpent",
    "Erased",
    "GroupDetails",
    "LabelPrintingDetails",
    "LastCoordinator",
    "LinkSpent",
    "MailNotSent",
    "MySettings",
    "NoSuchRole",
    "PersonDetails",
    "PrinterTooFarOut",
    "SheetDoesNotFit",
    "StillHasKits",
    "TooManyCodes",
    "UnknownTimeZone",
    "WrongCode",
    "add_person",
    "change_my_settings",
    "change_person",
    "end_sessions",
    "leave_group",
    "make_sign_in_link",
    "note_sign_in",
    "return_to_group",
    "send_sign_in_code",
    "set_label_printing",
    "set_up_group",
    "take_back_sign_in_links",
    "use_sign_in_code",
    "use_sign_in_link",
]
