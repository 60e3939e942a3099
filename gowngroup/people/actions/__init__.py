"""Every write about people: the group, its members, signing in."""

from gowngroup.people.actions.group import GroupDetails, set_up_group
from gowngroup.people.actions.members import (
    MySettings,
    PersonDetails,
    add_person,
    change_my_settings,
    change_person,
    end_sessions,
    leave_group,
    return_to_group,
)
from gowngroup.people.actions.sign_in import note_sign_in, send_sign_in_code, use_sign_in_code

__all__ = [
    "GroupDetails",
    "MySettings",
    "PersonDetails",
    "add_person",
    "change_my_settings",
    "change_person",
    "end_sessions",
    "leave_group",
    "note_sign_in",
    "return_to_group",
    "send_sign_in_code",
    "set_up_group",
    "use_sign_in_code",
]
