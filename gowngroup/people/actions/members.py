"""Adding people, changing what they do and how they read, leaving and coming back."""

from dataclasses import dataclass, field, replace
from datetime import date, datetime, timedelta

from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from gowngroup.people.actions.details import apply
from gowngroup.people.addresses import tidy_address
from gowngroup.people.models import (
    Person,
    PersonRole,
    Practice,
    ReminderWay,
    Role,
    SewingStage,
    UnsentLetter,
)
from gowngroup.people.queries import the_group, zone_of
from gowngroup.records.actions import action, record
from gowngroup.records.errors import Refusal, Taken


class NoSuchRole(Refusal):
    """Nobody can have this role."""


class LastCoordinator(Refusal):
    """The group would be left without anybody who may do everything."""


class StillHasKits(Taken):
    """Somebody who leaves gives back her kits first."""


class AwayWhen(Refusal):
    """Nobody is away until a day that is over, or for years."""


class NoSuchStage(Refusal):
    """There is no such stage of a gown."""


class AlreadyLeft(Taken):
    """She is not with the group any more."""


class Erased(Taken):
    """Her details were erased at her wish, and stay erased."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PersonDetails:
    """What the coordinator writes down of a person; nothing about health, ever."""

    name: str
    email: str = ""
    telephone: str = ""
    roles: tuple[str, ...] = (Role.VOLUNTEER.value,)
    note: str = ""
    hours_offered_min: int = 0
    stages_liked: list[str] = field(default_factory=list)
    practice: int = Practice.EXPERIENCED.value
    has_pleater: bool = False
    has_agreed_to_memorial: bool = False
    away_until: date | None = None
    reminded_by: str = ReminderWay.MAIL.value
    language: str = ""
    length_unit: str = ""
    paper_size: str = ""
    has_large_print: bool = False
    is_left_handed: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class MySettings:
    """What everybody may change of herself."""

    hours_offered_min: int = 0
    stages_liked: list[str] = field(default_factory=list)
    practice: int = Practice.EXPERIENCED.value
    has_pleater: bool = False
    has_agreed_to_memorial: bool = False
    away_until: date | None = None
    reminded_by: str = ReminderWay.MAIL.value
    language: str = ""
    length_unit: str = ""
    paper_size: str = ""
    has_large_print: bool = False
    is_left_handed: bool = False


ROLES_APART = frozenset({"roles"})
LONGEST_AWAY = timedelta(days=2 * 365)


@action
def add_person(*, details: PersonDetails, by: Person | None, at: datetime, request_key: str = "") -> Person:
    """Add somebody to the group; `by` is None only for the very first person."""
    _check_roles(details)
    _check_wishes(details, at)
    person = Person(joined_on=_day(at))
    apply(person, _tidied(details), leave_out=ROLES_APART)
    person.set_unusable_password()
    person.save()
    PersonRole.objects.bulk_create(PersonRole(person=person, role=role) for role in details.roles)
    record(by=by, at=at, did="add_person", subject=person, changes={"roles": [[], sorted(details.roles)]})
    return person


@action
def change_person(
    *, person: Person, details: PersonDetails, by: Person, at: datetime, request_key: str = ""
) -> Person:
    """Change what is written down of a person; a new address ends her open sign-ins."""
    _check_roles(details)
    if Role.COORDINATOR not in details.roles:
        keep_a_coordinator(person)
    person = Person.objects.select_for_update().get(pk=person.pk)
    _check_wishes(details, at)
    if person.erased_at:
        raise Erased(_("Her details have been erased and stay erased."))
    before = apply(person, _tidied(details), leave_out=ROLES_APART)
    if "email" in before:
        person.set_unusable_password()
    person.save()
    changes: dict[str, object] = dict.fromkeys(before)
    roles = _set_roles(person, details.roles)
    if roles is not None:
        changes["roles"] = roles
    if changes:
        record(by=by, at=at, did="change_person", subject=person, changes=changes)
    return person


@action
def change_my_settings(*, settings: MySettings, by: Person, at: datetime, request_key: str = "") -> Person:
    """Change how many hours I offer, what I like to sew and how pages are written for me."""
    _check_wishes(settings, at)
    person = Person.objects.select_for_update().get(pk=by.pk)
    before = apply(person, settings)
    if before:
        person.save(update_fields=list(before))
        record(by=by, at=at, did="change_my_settings", subject=person, changes=dict.fromkeys(before))
    return person


@action
def end_sessions(*, person: Person, by: Person, at: datetime, request_key: str = "") -> Person:
    """Sign a person out on every device, as after a telephone was lost."""
    person = Person.objects.select_for_update().get(pk=person.pk)
    person.set_unusable_password()
    person.save(update_fields=["password"])
    record(by=by, at=at, did="end_sessions", subject=person)
    return person


@action
def leave_group(*, person: Person, by: Person, at: datetime, request_key: str = "") -> Person:
    """Let a person leave once her kits are back; her gowns stay counted and she cannot sign in."""
    keep_a_coordinator(person)
    person = Person.objects.select_for_update().get(pk=person.pk)
    check_holds_nothing(person, by)
    unseen_at = at if by.pk == person.pk else None
    active = Person.objects.filter(pk=person.pk, is_active=True)
    if not active.update(is_active=False, unseen_leave_at=unseen_at):
        raise AlreadyLeft(_("She has already left the group."))
    UnsentLetter.objects.filter(person=person).delete()
    record(by=by, at=at, did="leave_group", subject=person, changes={"is_active": [True, False]})
    person.refresh_from_db()
    return person


@action
def return_to_group(*, person: Person, by: Person, at: datetime, request_key: str = "") -> Person:
    """Welcome back somebody who had left and was not erased."""
    left = Person.objects.filter(pk=person.pk, is_active=False, erased_at=None)
    if not left.update(is_active=True, unseen_leave_at=None):
        raise Taken(_("She is already with the group, or her details have been erased."))
    record(by=by, at=at, did="return_to_group", subject=person, changes={"is_active": [False, True]})
    person.refresh_from_db()
    return person


@action
def see_leave(*, person: Person, by: Person, at: datetime, request_key: str = "") -> None:
    """Note that a coordinator has seen that somebody left, or asked to be forgotten; nobody is told of it again."""
    if Person.objects.filter(pk=person.pk, unseen_leave_at__isnull=False).update(unseen_leave_at=None):
        record(by=by, at=at, did="see_leave", subject=person)


def _tidied(details: PersonDetails) -> PersonDetails:
    return replace(
        details,
        name=" ".join(details.name.split()),
        email=tidy_address(details.email),
        telephone=" ".join(details.telephone.split()),
        note=" ".join(details.note.split()),
    )


def _day(at: datetime) -> date:
    return timezone.localdate(at, zone_of(the_group()))


def _check_roles(details: PersonDetails) -> None:
    if not details.roles or not set(details.roles) <= set(Role.values):
        raise NoSuchRole(_("Please choose at least one task from the list."), field="roles")


def _check_wishes(wishes: PersonDetails | MySettings, at: datetime) -> None:
    if not set(wishes.stages_liked) <= set(SewingStage.values):
        raise NoSuchStage(_("Please choose from the list."), field="stages_liked")
    if wishes.away_until is None:
        return
    if wishes.away_until < _day(at):
        raise AwayWhen(
            _("That day is over. Please choose the last day away, or leave it empty."), field="away_until"
        )
    if wishes.away_until > _day(at) + LONGEST_AWAY:
        raise AwayWhen(
            _("That is more than two years from now; please look at the year again."), field="away_until"
        )


def check_holds_nothing(person: Person, by: Person | None) -> None:
    """Refuse to let go of somebody who still has kits at home; herself in words of her own."""
    count = person.kits_held.count()
    if not count:
        return
    if by is not None and by.pk == person.pk:
        sentence = ngettext(
            "You still have %(count)s kit. Please give it back first; nobody asks for a reason.",
            "You still have %(count)s kits. Please give them back first; nobody asks for a reason.",
            count,
        )
    else:
        sentence = ngettext(
            "She still has %(count)s kit. Take it back or give it to somebody else first.",
            "She still has %(count)s kits. Take them back or give them to somebody else first.",
            count,
        )
    raise StillHasKits(sentence % {"count": count})


def keep_a_coordinator(person: Person) -> None:
    """Refuse what would leave the group without anybody who may do everything."""
    rows = PersonRole.objects.filter(role=Role.COORDINATOR)
    # Locked first, in the same order and before any person, and looked at only then: of two coordinators who let each
    # other go at the same moment neither waits for the other, and the second sees that the first has gone.
    list(rows.select_for_update().order_by("pk"))
    coordinators = set(rows.filter(person__is_active=True).values_list("person_id", flat=True))
    if coordinators == {person.pk}:
        raise LastCoordinator(
            _("This is the only coordinator. Please make somebody else coordinator first."), field="roles"
        )


def _set_roles(person: Person, roles: tuple[str, ...]) -> list[list[str]] | None:
    before = set(person.role_rows.values_list("role", flat=True))
    if before == set(roles):
        return None
    person.role_rows.exclude(role__in=roles).delete()
    PersonRole.objects.bulk_create(
        PersonRole(person=person, role=role) for role in sorted(set(roles) - before)
    )
    return [sorted(before), sorted(roles)]
