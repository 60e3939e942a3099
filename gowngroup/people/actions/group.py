"""Setting up the one group of this database, and changing how it works."""

from dataclasses import dataclass
from datetime import datetime
from zoneinfo import available_timezones

from django.utils.translation import gettext as _

from gowngroup.people.actions.details import apply
from gowngroup.people.models import Group, Person
from gowngroup.records.actions import action, record
from gowngroup.records.errors import Refusal

# The telephone is the coordinator's and the pick-up place often her home: the trail names only the field.
PERSONAL_FIELDS = frozenset({"telephone", "pick_up_place"})


class UnknownTimeZone(Refusal):
    """No place on the list of time zones has this name."""


@dataclass(frozen=True, slots=True, kw_only=True)
class GroupDetails:
    """How the group works; the defaults are those of a new group."""

    name: str
    telephone: str = ""
    pick_up_place: str = ""
    time_zone: str = "UTC"
    language: str = "en"
    length_unit: str = "cm"
    paper_size: str = "A4"
    claim_limit_count: int = 2
    sewing_time_days: int = 28
    share_passed_percent: int = 90
    label_line: str = ""
    has_join_form: bool = True


@action
def set_up_group(*, details: GroupDetails, by: Person | None, at: datetime, request_key: str = "") -> Group:
    """Set up the group, or change how it works; `by` is None only before anybody has been added."""
    if details.time_zone not in available_timezones():
        raise UnknownTimeZone(_("Please choose a time zone from the list."), field="time_zone")
    group = Group.objects.select_for_update().filter(pk=1).first() or Group(pk=1)
    before = apply(group, details)
    group.save()
    if before:
        record(by=by, at=at, did="set_up_group", subject=group, changes=_changes(before, details))
    return group


def _changes(before: dict[str, object], details: GroupDetails) -> dict[str, object]:
    return {
        name: None if name in PERSONAL_FIELDS else [old, getattr(details, name)]
        for name, old in before.items()
    }
