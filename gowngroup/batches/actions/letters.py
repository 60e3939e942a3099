"""Letters that go out by themselves: a kit that suits is waiting, a kit is kept, a kit is soon due.

Each is noted in the same transaction, once for each kit, person, kind and day, and sent when that has ended well.
"""

import secrets
from collections.abc import Collection
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.core.mail import EmailMultiAlternatives
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from gowngroup.batches.mail import page_address, written_letter
from gowngroup.batches.models import Kit, KitWish, Letter
from gowngroup.batches.queries.claims import bundle_count, day_of
from gowngroup.batches.queries.letters import (
    hash_of_stop_link,
    kits_due_about,
    kits_to_tell_of,
    letters_of_use,
    letters_to_tell,
    told_lately,
    was_told_after,
    wishes_in_turn,
)
from gowngroup.catalog.models import Size
from gowngroup.people.actions.one_wish import stop_reminders
from gowngroup.people.actions.unsent import send_on_commit
from gowngroup.people.models import Group, Person, ReminderWay, UnsentLetter
from gowngroup.people.queries import the_group
from gowngroup.records.actions import action, next_number, record
from gowngroup.records.codes import spaced

MOST_IN_A_LETTER = 3
FIRST_CHANCE = timedelta(hours=24)  # so long nobody else is told of a kit
REST = timedelta(days=3)  # nobody gets such a letter more often
STOP_BYTES = 32
Kind = Letter.Kind
REMINDERS = frozenset({Kind.BEFORE, Kind.ON_THE_DAY, Kind.AFTER})


@dataclass(frozen=True, slots=True, kw_only=True)
class WishDetails:
    """What somebody wishes of a kit, besides what she likes to sew."""

    size: Size | None = None
    is_by_post_only: bool = False


@action
def ask_to_be_told(
    *, details: WishDetails, person: Person, by: Person, at: datetime, request_key: str = ""
) -> KitWish:
    """Note that somebody would like to be told when a kit that suits is waiting; a changed wish keeps its turn."""
    wish = KitWish.objects.filter(person=person).first() or KitWish(person=person, waits_since=at)
    wish.size, wish.is_by_post_only = details.size, details.is_by_post_only
    wish.save()
    record(by=by, at=at, did="ask_to_be_told", subject=wish)
    return wish


@action
def stop_being_told(*, person: Person, by: Person, at: datetime, request_key: str = "") -> None:
    """Note that somebody would like to hear no more of kits that are waiting."""
    wish = KitWish.objects.filter(person=person).first()
    if wish is not None:
        record(by=by, at=at, did="stop_being_told", subject=wish)
        wish.delete()


@action
def tell_those_waiting(*, at: datetime) -> int:
    """Tell those who wait of kits that suit them, who has waited longest first; gives how many letters go out.

    Who has no email address has her turn like everybody; the coordinator's list says that she is to be rung.
    """
    _one_after_the_other()
    group = the_group()
    spoken_for = set(told_lately(since=at - FIRST_CHANCE))
    letter_count = 0
    for wish in wishes_in_turn():
        if not _may_be_told(wish.person, group, at):
            continue
        free = [pair for pair in kits_to_tell_of(wish, group) if pair[0].pk not in spoken_for]
        chosen = free[:MOST_IN_A_LETTER]
        if chosen:
            letter_count += _post(wish.person, Kind.SUITS, chosen, at)
            spoken_for |= {kit.pk for kit, _day in chosen}
    return letter_count


def _one_after_the_other() -> None:
    """Hold the counter of runs until this one has ended: two runs at once never look at the same letters."""
    next_number("letter runs")


def _may_be_told(person: Person, group: Group, at: datetime) -> bool:
    has_room = bundle_count(person) < group.claim_limit_count
    return has_room and not person.is_away(day_of(at, group)) and not was_told_after(person, at - REST)


@action
def remind_sewers(*, at: datetime) -> int:
    """Remind those who wish it of kits due soon, today or some days ago; gives how many letters go out."""
    _one_after_the_other()
    today = day_of(at, the_group())
    letter_count = 0
    for kind, earliest, latest in (
        (Kind.BEFORE, today + timedelta(days=1), today + timedelta(days=3)),
        (Kind.ON_THE_DAY, today, today),
        (Kind.AFTER, today - timedelta(days=21), today - timedelta(days=5)),
    ):
        for person, kits in kits_due_about(earliest, latest, kind=kind, today=today):
            letter_count += _post(person, kind, [(kit, kit.due_on) for kit in kits if kit.due_on], at)
    return letter_count


@action
def tell_kept(*, kit: Kit, at: datetime) -> None:
    """Tell somebody that a kit is kept for her."""
    person = kit.kept_for
    if person is not None and person.is_active:
        about_on = day_of(at, the_group())
        if not Letter.objects.filter(kit=kit, person=person, kind=Kind.KEPT, about_on=about_on).exists():
            _post(person, Kind.KEPT, [(kit, about_on)], at)


def _post(person: Person, kind: Kind, pairs: list[tuple[Kit, date]], at: datetime) -> int:
    """Note a letter and send it, or leave it to be told by telephone; gives how many go by email."""
    is_by_mail = bool(person.email) and (kind not in REMINDERS or person.reminded_by == ReminderWay.MAIL)
    secret = secrets.token_urlsafe(STOP_BYTES)
    rows = [
        Letter.objects.create(
            kit=kit,
            person=person,
            kind=kind,
            about_on=about_on,
            stop_hash=hash_of_stop_link(secret),
            sent_at=at,
            is_by_mail=is_by_mail,
        )
        for kit, about_on in pairs
    ]
    if is_by_mail:
        kits = [kit for kit, _day in pairs]
        send_on_commit(
            _written(person, kind, kits, secret),
            person=person,
            kind=kind.value,
            at=at,
            about_ids=[row.pk for row in rows],
            kit_codes=[kit.code for kit in kits],
        )
    return int(is_by_mail)


def write_letter_anew(unsent: UnsentLetter, at: datetime) -> EmailMultiAlternatives | None:
    """The letter once more, of those of its kits it still speaks truly of, with a stop link of its own."""
    rows = letters_of_use(unsent.about_ids, unsent.person, today=day_of(at, the_group()))
    if not rows:
        return None
    secret = secrets.token_urlsafe(STOP_BYTES)
    Letter.objects.filter(pk__in=[row.pk for row in rows]).update(stop_hash=hash_of_stop_link(secret))
    return _written(unsent.person, Kind(unsent.kind), [row.kit for row in rows], secret)


def _written(person: Person, kind: Kind, kits: list[Kit], secret: str) -> EmailMultiAlternatives:
    return written_letter(
        person,
        subject=lambda: _subject(kind, kits),
        template="kits_due" if kind in REMINDERS else "kits_waiting",
        context={
            "kind": kind.value,
            "kits": [{"kit": kit, "url": page_address("batches:kit_page", kit.code)} for kit in kits],
            "waiting_url": page_address("batches:kits_waiting"),
            "mine_url": page_address("batches:my_kits"),
        },
        stop_url="" if kind == Kind.KEPT else page_address("batches:letters_stop", secret),
    )


def _subject(kind: Kind, kits: list[Kit]) -> str:
    """What a letter is about; it never says what the gowns are for."""
    if kind == Kind.KEPT:
        return _("A kit is kept for you")
    if kind == Kind.SUITS:
        return ngettext("A kit that may suit you is waiting", "Kits that may suit you are waiting", len(kits))
    subjects = {
        Kind.BEFORE: ngettext("Your kit %(kits)s is due soon", "Your kits %(kits)s are due soon", len(kits)),
        Kind.ON_THE_DAY: ngettext(
            "Your kit %(kits)s is due today", "Your kits %(kits)s are due today", len(kits)
        ),
        Kind.AFTER: ngettext(
            "How is your kit %(kits)s coming along?", "How are your kits %(kits)s coming along?", len(kits)
        ),
    }
    return subjects[kind] % {"kits": ", ".join(spaced(kit.code) for kit in kits)}


@action
def note_told(
    *, person: Person, letter_ids: Collection[int], by: Person, at: datetime, request_key: str = ""
) -> int:
    """Note that somebody has been rung, or written a card, about these letters; gives how much she was told of.

    What was to be told of the same kits before goes with it; what came after the list was opened stays.
    """
    news = list(letters_to_tell(today=day_of(at, the_group())).filter(person=person))
    last = {letter.kit_id: place for place, letter in enumerate(news) if letter.pk in letter_ids}
    told = [letter.pk for place, letter in enumerate(news) if place <= last.get(letter.kit_id, -1)]
    count = Letter.objects.filter(pk__in=told).update(told_at=at)
    if count:
        record(by=by, at=at, did="note_told", subject=person)
    return count


@action
def stop_letters(*, letter: Letter, at: datetime, request_key: str = "") -> Person:
    """Stop letters of this kind to whom it was sent, who need not be signed in for it."""
    person = letter.person
    if letter.kind == Kind.SUITS:
        stop_being_told(person=person, by=person, at=at)
    else:
        stop_reminders(person=person, by=person, at=at)
    return person
