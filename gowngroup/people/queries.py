"""Reads about people: the group, who somebody is and may do."""

from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from django.contrib.auth.models import AnonymousUser

from gowngroup.people.models import Group, Person, Role
from gowngroup.records.reader import Reader


def the_group() -> Group:
    """The one group of this database, made with defaults where none has been set up yet."""
    return Group.objects.filter(pk=1).first() or Group(pk=1, name="Gowngroup")


def roles_of(person: Person | AnonymousUser) -> frozenset[str]:
    """The roles of a person; nobody signed in has none."""
    if not isinstance(person, Person):
        return frozenset()
    cached = getattr(person, "_roles", None)
    if cached is None:
        cached = frozenset(person.role_rows.values_list("role", flat=True))
        person._roles = cached  # type: ignore[attr-defined]
    return cached


def has_role(person: Person | AnonymousUser, *roles: str) -> bool:
    """Has the person one of these roles? A coordinator has every one."""
    own = roles_of(person)
    return Role.COORDINATOR in own or bool(own & set(roles))


def zone_of(group: Group) -> ZoneInfo:
    """The group's time zone, which decides what "today" and "due" mean."""
    try:
        return ZoneInfo(group.time_zone)
    except (ZoneInfoNotFoundError, ValueError):
        return ZoneInfo("UTC")


def reader_for(person: Person | AnonymousUser) -> Reader:
    """Unit, paper and time zone a page is written in for this person."""
    group = the_group()
    zone = zone_of(group)
    if not isinstance(person, Person):
        return Reader(length_unit=group.length_unit, paper_size=group.paper_size, zone=zone)
    return Reader(
        length_unit=person.length_unit or group.length_unit,
        paper_size=person.paper_size or group.paper_size,
        has_large_print=person.has_large_print,
        zone=zone,
    )
