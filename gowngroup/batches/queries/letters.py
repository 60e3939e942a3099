"""Who is told of which kit, and what has been told already."""

from collections.abc import Iterable, Iterator
from datetime import date, datetime
from hashlib import sha256
from itertools import groupby
from typing import Any, cast

from django.db.models import Exists, F, Max, OuterRef, Q, QuerySet
from django.db.models.functions import Coalesce, Greatest
from django.http import Http404

from gowngroup.batches.models import Claim, Finish, Kit, KitWish, Letter
from gowngroup.batches.queries.claims import day_of, kits_to_take, suiting_kits, with_card
from gowngroup.catalog.models import Purpose
from gowngroup.people.models import Group, Person, ReminderWay


def wish_of(person: Person) -> KitWish | None:
    """What a person has asked to be told of."""
    return KitWish.objects.filter(person=person).select_related("size").first()


def wishes_in_turn() -> QuerySet[KitWish]:
    """The wishes of those who are with the group, who has waited longest first."""
    wishes = KitWish.objects.filter(person__is_active=True)
    return wishes.select_related("person", "size").order_by("waits_since", "pk")


def kits_to_tell_of(wish: KitWish, group: Group) -> Iterator[tuple[Kit, date]]:
    """The kits waiting that suit a wish and of which she has not been told, each with the day since when it waits."""
    kits = suiting_kits(wish.person)
    if wish.size_id is not None:
        kits = kits.filter(size_id=wish.size_id)
    if wish.is_by_post_only:
        kits = kits.filter(can_be_posted=True)
    since = Greatest(Coalesce(Max("claims__ended_at"), F("offered_at")), F("offered_at"))
    told = set(
        Letter.objects.filter(person=wish.person, kind=Letter.Kind.SUITS).values_list("kit_id", "about_on")
    )
    for kit in with_card(kits.annotate(waits_since=since)):
        waits_on = day_of(cast("Any", kit).waits_since, group)
        if (kit.pk, waits_on) not in told:
            yield kit, waits_on


def told_lately(*, since: datetime) -> QuerySet[Letter, int]:
    """The kits of which somebody has been told since then."""
    return Letter.objects.filter(kind=Letter.Kind.SUITS, sent_at__gt=since).values_list("kit_id", flat=True)


def was_told_after(person: Person, moment: datetime) -> bool:
    """Has she had a letter about kits waiting after this moment?"""
    return Letter.objects.filter(person=person, kind=Letter.Kind.SUITS, sent_at__gt=moment).exists()


def kits_due_about(
    earliest: date, latest: date, *, kind: str, today: date
) -> Iterator[tuple[Person, list[Kit]]]:
    """Kits due within these days whose holder is still to be reminded, person by person; never a memorial kit.

    Who is not written to stands on the list of the late ones once her day has passed.
    """
    reminded = Letter.objects.filter(
        kit=OuterRef("pk"), person=OuterRef("holder"), kind=kind, about_on=OuterRef("due_on")
    )
    finished = Claim.objects.filter(kit=OuterRef("pk"), ended_at__isnull=True, finish__isnull=False)
    kits = (
        Kit.objects.filter(
            state=Kit.State.CLAIMED,
            due_on__range=(earliest, latest),
            holder__is_active=True,
        )
        .exclude(purpose=Purpose.MEMORIAL)
        .exclude(holder__reminded_by=ReminderWay.NONE)
        .exclude(Exists(reminded) | Exists(finished))
    )
    if kind == Letter.Kind.AFTER:
        kits = kits.filter(holder__reminded_by=ReminderWay.MAIL).exclude(holder__email="")
    rows = with_card(kits).select_related("holder").order_by("holder_id", "due_on", "pk")
    for person, hers in groupby(rows, key=lambda kit: kit.holder):
        if person is not None and not person.is_away(today):
            yield person, list(hers)


def letters_to_tell(*, today: date) -> QuerySet[Letter]:
    """What is to be told by telephone or card and is still so: the kit waits for her, or is hers and due that day."""
    waits = Q(kit__state=Kit.State.WAITING)
    is_free = Q(kit__kept_for__isnull=True) | Q(kit__kept_for=F("person"))
    may_see = ~Q(kit__purpose=Purpose.MEMORIAL) | Q(person__has_agreed_to_memorial=True)
    suits = Q(kind=Letter.Kind.SUITS, person__kit_wish__isnull=False) & waits & is_free & may_see
    kept = Q(kind=Letter.Kind.KEPT, kit__kept_for=F("person")) & waits
    due = Q(
        kind__in=(Letter.Kind.BEFORE, Letter.Kind.ON_THE_DAY),
        kit__state=Kit.State.CLAIMED,
        kit__holder=F("person"),
        kit__due_on=F("about_on"),
        about_on__gte=today,
    )
    said = Claim.objects.filter(kit=OuterRef("kit"), ended_at__isnull=True, finish__isnull=False)
    letters = Letter.objects.filter(is_by_mail=False, told_at__isnull=True, person__is_active=True)
    return letters.filter(suits | kept | due).exclude(Exists(said)).order_by("sent_at", "pk")


def people_to_tell(*, today: date) -> QuerySet[Person]:
    """Those who are to be rung, or written a card, about a kit."""
    return Person.objects.filter(pk__in=letters_to_tell(today=today).order_by().values("person"))


def news_by_person(*, today: date) -> dict[Person, list[Letter]]:
    """What is to be told to whom, who has waited longest first; of a kit the last word alone."""
    letters = letters_to_tell(today=today).select_related(
        "person", "kit__design_revision__design", "kit__size"
    )
    found: dict[Person, dict[int, Letter]] = {}
    for letter in letters:
        found.setdefault(letter.person, {})[letter.kit_id] = letter
    return {person: list(hers.values()) for person, hers in found.items()}


def letters_of_use(pks: Iterable[int], person: Person, *, today: date) -> list[Letter]:
    """Those of the letters to a person that would still tell her the truth, and that she still wishes to get."""
    rows = list(Letter.objects.filter(pk__in=pks, person=person).order_by("about_on", "pk"))
    kits = {kit.pk: kit for kit in with_card(Kit.objects.filter(pk__in=[row.kit_id for row in rows]))}
    waiting = kits_to_take(person).filter(pk__in=kits)
    finishes = Finish.objects.filter(claim__ended_at__isnull=True, claim__kit__in=kits)
    wanted = {
        Letter.Kind.SUITS.value: set(waiting.values_list("pk", flat=True)) if wish_of(person) else set(),
        Letter.Kind.KEPT.value: set(waiting.filter(kept_for=person).values_list("pk", flat=True)),
    }
    finished = set(finishes.values_list("claim__kit_id", flat=True))
    for row in rows:
        row.kit = kits[row.kit_id]
    return [
        row
        for row in rows
        if row.kit_id in wanted.get(row.kind, set())
        or (row.kit_id not in finished and _still_due(row, person, today))
    ]


def _still_due(row: Letter, person: Person, today: date) -> bool:
    """Is it a reminder whose time it is, of a kit she has until that same day, and does she wish it by email?"""
    is_time = {
        Letter.Kind.BEFORE.value: today < row.about_on,
        Letter.Kind.ON_THE_DAY.value: today == row.about_on,
        Letter.Kind.AFTER.value: today > row.about_on,
    }
    is_hers = row.kit.holder_id == person.pk and row.kit.due_on == row.about_on
    is_wished = person.reminded_by == ReminderWay.MAIL and not person.is_away(today)
    return is_time.get(row.kind, False) and is_hers and is_wished


def hash_of_stop_link(secret: str) -> str:
    """What is kept of a stop link's secret."""
    return sha256(secret.encode()).hexdigest()


def letter_to_stop(secret: str) -> Letter:
    """The letter this stop link stands in; 404 for any other."""
    letters = Letter.objects.filter(stop_hash=hash_of_stop_link(secret), person__is_active=True)
    letter = letters.exclude(kind=Letter.Kind.KEPT).select_related("person").first()
    if letter is None:
        raise Http404
    return letter
