"""Who is told of which kit, and what has been told already."""

from collections.abc import Iterator
from datetime import date, datetime
from hashlib import sha256
from itertools import groupby
from typing import Any, cast

from django.db.models import Exists, F, Max, OuterRef, QuerySet
from django.db.models.functions import Coalesce, Greatest
from django.http import Http404

from gowngroup.batches.models import Claim, Kit, KitWish, Letter
from gowngroup.batches.queries.claims import day_of, suiting_kits, with_card
from gowngroup.catalog.models import Purpose
from gowngroup.people.models import Group, Person, ReminderWay


def wish_of(person: Person) -> KitWish | None:
    """What a person has asked to be told of."""
    return KitWish.objects.filter(person=person).select_related("size").first()


def wishes_in_turn() -> QuerySet[KitWish]:
    """The wishes of those who can be written to, who has waited longest first."""
    reachable = KitWish.objects.filter(person__is_active=True).exclude(person__email="")
    return reachable.select_related("person", "size").order_by("waits_since", "pk")


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
    """Kits due within these days whose holder is still to be reminded, person by person; never a memorial kit."""
    reminded = Letter.objects.filter(
        kit=OuterRef("pk"), person=OuterRef("holder"), kind=kind, about_on=OuterRef("due_on")
    )
    finished = Claim.objects.filter(kit=OuterRef("pk"), ended_at__isnull=True, finish__isnull=False)
    kits = (
        Kit.objects.filter(
            state=Kit.State.CLAIMED,
            due_on__range=(earliest, latest),
            holder__is_active=True,
            holder__reminded_by=ReminderWay.MAIL,
        )
        .exclude(purpose=Purpose.MEMORIAL)
        .exclude(holder__email="")
        .exclude(Exists(reminded) | Exists(finished))
    )
    rows = with_card(kits).select_related("holder").order_by("holder_id", "due_on", "pk")
    for person, hers in groupby(rows, key=lambda kit: kit.holder):
        if person is not None and not person.is_away(today):
            yield person, list(hers)


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
