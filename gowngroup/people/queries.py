"""Reads about people: the group, who somebody is and may do."""

from calendar import monthrange
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import replace
from datetime import date, datetime, timedelta
from hashlib import sha256
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from django.contrib.auth.models import AnonymousUser
from django.db.models import F, Q, QuerySet, Sum, Value
from django.db.models.expressions import Combinable
from django.db.models.functions import Replace
from django.shortcuts import get_object_or_404

from gowngroup.people.models import (
    Group,
    JoinRequest,
    LabelPrinting,
    Person,
    Role,
    SignInCode,
    SignInLink,
    UnsentLetter,
)
from gowngroup.people.traces import LEAST_DIGITS, Words
from gowngroup.planning.label_sheets import LabelSheet
from gowngroup.records.codes import clean_code
from gowngroup.records.reader import Reader

OWN_SHEET = "own"
GAPS = " ()/.-"
LONGEST_TRY = timedelta(hours=1)  # whatever is being sent for longer was broken off
OWN_DIGITS = 8  # the last of a number, without the codes of country and trunk that come and go


_groups_read: ContextVar[list[Group] | None] = ContextVar("groups_read", default=None)


@contextmanager
def reading_the_group_once() -> Iterator[None]:
    """Inside, such as for the time of one request, the group is read when first asked for and not again."""
    token = _groups_read.set([])
    try:
        yield
    finally:
        _groups_read.reset(token)


def the_group() -> Group:
    """The one group of this database, made with defaults where none has been set up yet."""
    read = _groups_read.get()
    if read:
        return read[0]
    group = Group.objects.filter(pk=1).first() or Group(pk=1, name="Gowngroup")
    if read is not None:
        read.append(group)
    return group


def label_printing() -> LabelPrinting:
    """How the group prints labels; with no offset and no sheet of its own where nothing has been set."""
    return LabelPrinting.objects.filter(pk=1).first() or LabelPrinting(pk=1)


def own_label_sheet(printing: LabelPrinting) -> LabelSheet:
    """The group's own sheet of labels, lengths in mm, before the printer's offset."""
    return LabelSheet(
        key=OWN_SHEET,
        name=printing.sheet_name,
        paper_size=printing.paper_size,
        column_count=printing.column_count,
        row_count=printing.row_count,
        label_width_mm=printing.label_width_um / 1000,
        label_height_mm=printing.label_height_um / 1000,
        pitch_x_mm=printing.pitch_x_um / 1000,
        pitch_y_mm=printing.pitch_y_um / 1000,
        left_mm=printing.left_um / 1000,
        top_mm=printing.top_um / 1000,
    )


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


def as_volunteer(person: Person) -> Person:
    """The same person with the rights of somebody who sews, at most."""
    rights = {Role.VOLUNTEER.value} if has_role(person, Role.VOLUNTEER) else set()
    person._roles = frozenset(rights)  # type: ignore[attr-defined]
    return person


def zone_of(group: Group) -> ZoneInfo:
    """The group's time zone, which decides what "today" and "due" mean."""
    try:
        return ZoneInfo(group.time_zone)
    except (ZoneInfoNotFoundError, ValueError):
        return ZoneInfo("UTC")


def group_reader(group: Group | None = None) -> Reader:
    """How what is for the group, or for somebody it does not know, is written."""
    group = group or the_group()
    return Reader(
        language=group.language,
        length_unit=group.length_unit,
        paper_size=group.paper_size,
        zone=zone_of(group),
    )


def reader_for(person: Person | AnonymousUser) -> Reader:
    """Language, unit, paper and time zone anything is written in for this person: hers if chosen, else the group's."""
    group = the_group()
    if not isinstance(person, Person):
        return group_reader(group)
    return Reader(
        language=person.language or group.language,
        length_unit=person.length_unit or group.length_unit,
        paper_size=person.paper_size or group.paper_size,
        has_large_print=person.has_large_print,
        is_left_handed=person.is_left_handed,
        zone=zone_of(group),
    )


def people_at(address: str) -> list[Person]:
    """The people of the group who read mail at this address; it must be tidied already."""
    if not address:
        return []
    return list(Person.objects.filter(email=address, is_active=True, erased_at=None))


def used_code(code_hash: str, *, since: datetime) -> SignInCode | None:
    """The code this hash stands for, if it was used since then."""
    return SignInCode.objects.filter(code_hash=code_hash, used_at__gte=since).first()


def hash_of_link(token: str) -> str:
    """What is kept of a sign-in link's secret."""
    return sha256(token.encode()).hexdigest()


def open_links(*, at: datetime) -> QuerySet[SignInLink]:
    """The sign-in links that still work, of people with the group."""
    return SignInLink.objects.filter(
        used_at=None, taken_back_at=None, expires_at__gt=at, person__is_active=True, person__erased_at=None
    )


def open_link(token: str, *, at: datetime) -> SignInLink | None:
    """The open link of this secret, a letter's typed in any way; nothing for any other, as if it never existed."""
    hashes = {hash_of_link(token), hash_of_link(clean_code(token))}
    return open_links(at=at).select_related("person").filter(token_hash__in=hashes).first()


def people_reached_by(*, email: str, telephone: str) -> list[Person]:
    """Who is with the group already, or was, under this address or number."""
    reached = Q(pk__in=[])
    if email:
        reached |= Q(email=email)
    if telephone:
        reached |= Q(telephone=telephone)
    return list(Person.objects.filter(reached, erased_at=None))


def unsent_letters(*, at: datetime) -> QuerySet[UnsentLetter]:
    """Letters that could not be sent, the newest first; none that may be on its way at this moment."""
    waiting = (UnsentLetter.Reason.NOT_YET, UnsentLetter.Reason.UNDER_WAY)
    return UnsentLetter.objects.exclude(reason__in=waiting, tried_at__gt=at - LONGEST_TRY)


def unsent_letter(pk: int) -> UnsentLetter | None:
    """One letter that could not be sent, with its person; None where there is none, or none any more."""
    return UnsentLetter.objects.select_related("person").filter(pk=pk).first()


def whom_to_tell(letters: Sequence[UnsentLetter]) -> list[list[Person]]:
    """Of each of these letters whom it was for; a code may have been asked for by any who read mail at its address."""
    addresses = {letter.person.email for letter in letters if letter.kind == UnsentLetter.Kind.CODE} - {""}
    readers: dict[str, list[Person]] = {}
    for person in Person.objects.filter(email__in=addresses, is_active=True, erased_at=None):
        readers.setdefault(person.email, []).append(person)
    return [
        readers.get(letter.person.email) or [letter.person]
        if letter.kind == UnsentLetter.Kind.CODE
        else [letter.person]
        for letter in letters
    ]


def join_requests() -> QuerySet[JoinRequest]:
    """Who asks to join, the longest waiting first."""
    return JoinRequest.objects.all()


def join_request_named(pk: int) -> JoinRequest:
    """One request to join; 404 where there is none, or none any more."""
    return get_object_or_404(JoinRequest, pk=pk)


def unshared_words(words: Words, *, but: Person | None) -> Words:
    """What somebody is known by, without the address or number another person of the group has too."""
    others = Person.objects.filter(erased_at=None)
    if but is not None:
        others = others.exclude(pk=but.pk)
    return replace(
        words,
        email="" if others.filter(email__iexact=words.email).exists() else words.email,
        telephone="" if others.filter(telephone=words.telephone).exists() else words.telephone,
    )


def people_who_left() -> QuerySet[Person]:
    """Who left by herself, or asked to be forgotten, until a coordinator has seen it; the last first."""
    return Person.objects.filter(unseen_leave_at__isnull=False).order_by("-unseen_leave_at", "pk")


def person_named(pk: int) -> Person:
    """One person, also one who has left; 404 where there is none."""
    return get_object_or_404(Person, pk=pk)


SORTS = {
    "name": ("name", "pk"),
    "joined": ("-joined_on", "name", "pk"),
    "hours": ("-hours_offered_min", "name", "pk"),
}


def people_found(
    *, words: str = "", role: str = "", has_left: bool = False, sort: str = "name"
) -> QuerySet[Person]:
    """People by part of a name or address, by task, with the group or left; erased people are never found."""
    found = Person.objects.filter(is_active=not has_left, erased_at=None).prefetch_related("role_rows")
    if is_telephone_number(words):
        digits = "".join(character for character in words if character.isdigit())[-OWN_DIGITS:]
        found = found.annotate(_digits=_digits_of("telephone")).filter(_digits__contains=digits)
    else:
        for word in words.split()[:5]:
            found = found.filter(
                Q(name__icontains=word) | Q(email__icontains=word) | Q(telephone__icontains=word)
            )
    if role:
        found = found.filter(role_rows__role=role)
    return found.order_by(*SORTS.get(sort, SORTS["name"]))


def is_telephone_number(words: str) -> bool:
    """Is this nothing but a number of several digits, as it was rung from or written down?"""
    return sum(map(str.isdigit, words)) >= LEAST_DIGITS and not set(words) - set(f"0123456789+{GAPS}")


def _digits_of(column: str) -> Combinable:
    """A column's number without what people write between its digits."""
    bare: Combinable = F(column)
    for gap in GAPS:
        bare = Replace(bare, Value(gap))
    return bare


def minutes_offered(*, month: date) -> int:
    """Minutes the people of the group offer in a month, less the share of it somebody is away."""
    first = month.replace(day=1)
    day_count = monthrange(first.year, first.month)[1]
    people = Person.objects.filter(is_active=True, erased_at=None)
    total = people.aggregate(total=Sum("hours_offered_min"))["total"] or 0
    away = people.filter(away_until__gte=first).values_list("hours_offered_min", "away_until")
    return int(total) - sum(
        round(minutes * min((until - first).days + 1, day_count) / day_count)
        for minutes, until in away
        if until
    )


def cast() -> QuerySet[Person]:
    """Everybody of the invented group, for the demonstration."""
    return Person.objects.filter(is_active=True, erased_at=None).prefetch_related("role_rows").order_by("pk")


def people_with(role: str) -> QuerySet[Person]:
    """Everybody of the group who has a role, by name."""
    return Person.objects.filter(is_active=True, role_rows__role=role).order_by("name", "pk")
