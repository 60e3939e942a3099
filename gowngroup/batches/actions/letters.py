"""Letters that go out by themselves: a kit that suits is waiting, a kit is kept, a kit is soon due.

Each is noted in the same transaction, once for each kit, person, kind and day, and sent when that has ended well.
"""

import secrets
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.utils.translation import gettext as _
from django.utils.translation import ngettext, ngettext_lazy

from gowngroup.batches.mail import page_address, send_later
from gowngroup.batches.models import Kit, KitWish, Letter
from gowngroup.batches.queries.claims import bundle_count, day_of
from gowngroup.batches.queries.letters import (
    hash_of_stop_link,
    kits_due_about,
    kits_to_tell_of,
    letters_to_tell,
    told_lately,
    was_told_after,
    wishes_in_turn,
)
from gowngroup.catalog.models import Size
from gowngroup.people.actions.one_wish import stop_reminders
from gowngroup.people.models import Group, Person, ReminderWay
from gowngroup.people.queries import the_group
from gowngroup.records.actions import action, next_number, record
from gowngroup.records.codes import spaced

MOST_IN_A_LETTER = 3
FIRST_CHANCE = timedelta(hours=24)  # so long nobody else is told of a kit
REST = timedelta(days=3)  # nobody gets such a letter more often
STOP_BYTES = 32
Kind = Letter.Kind


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

    Who has no e-mail address has her turn like everybody; the coordinator's list says that she is to be rung.
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
            letter_count += _tell(wish.person, chosen, at)
            spoken_for |= {kit.pk for kit, _day in chosen}
    return letter_count


def _one_after_the_other() -> None:
    """Hold the counter of runs until this one has ended: two runs at once never look at the same letters."""
    next_number("letter runs")


def _may_be_told(person: Person, group: Group, at: datetime) -> bool:
    has_room = bundle_count(person) < group.claim_limit_count
    return has_room and not person.is_away(day_of(at, group)) and not was_told_after(person, at - REST)


def _tell(person: Person, kits: list[tuple[Kit, date]], at: datetime) -> int:
    def subject() -> str:
        return ngettext("A kit that may suit you is waiting", "Kits that may suit you are waiting", len(kits))

    return _post(_Post(person=person, kind=Kind.SUITS, subject=subject), kits, at)


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
            letter_count += _remind(person, kind, kits, at)
    return letter_count


def _remind(person: Person, kind: Kind, kits: list[Kit], at: datetime) -> int:
    codes = ", ".join(spaced(kit.code) for kit in kits)
    subjects = {
        Kind.BEFORE: ngettext_lazy(
            "Your kit %(kits)s is due soon", "Your kits %(kits)s are due soon", len(kits)
        ),
        Kind.ON_THE_DAY: ngettext_lazy(
            "Your kit %(kits)s is due today", "Your kits %(kits)s are due today", len(kits)
        ),
        Kind.AFTER: ngettext_lazy(
            "How is your kit %(kits)s coming along?", "How are your kits %(kits)s coming along?", len(kits)
        ),
    }
    post = _Post(
        person=person,
        kind=kind,
        subject=lambda: subjects[kind] % {"kits": codes},
        is_by_mail=person.reminded_by == ReminderWay.MAIL and bool(person.email),
    )
    return _post(post, [(kit, kit.due_on) for kit in kits if kit.due_on], at)


@action
def tell_kept(*, kit: Kit, at: datetime) -> None:
    """Tell somebody that a kit is kept for her."""
    person = kit.kept_for
    if person is not None and person.is_active:
        about_on = day_of(at, the_group())
        if not Letter.objects.filter(kit=kit, person=person, kind=Kind.KEPT, about_on=about_on).exists():
            _post(
                _Post(person=person, kind=Kind.KEPT, subject=lambda: _("A kit is kept for you")),
                [(kit, about_on)],
                at,
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Post:
    """One letter: to whom, what of, and its subject, which never says what the gowns are for."""

    person: Person
    kind: Kind
    subject: Callable[[], str]
    is_by_mail: bool = True


def _post(post: _Post, kits: Iterable[tuple[Kit, date]], at: datetime) -> int:
    """Note a letter and send it, or leave it to be told by telephone; gives how many go by e-mail."""
    is_by_mail = post.is_by_mail and bool(post.person.email)
    secret = secrets.token_urlsafe(STOP_BYTES)
    pairs = list(kits)
    for kit, about_on in pairs:
        Letter.objects.create(
            kit=kit,
            person=post.person,
            kind=post.kind,
            about_on=about_on,
            stop_hash=hash_of_stop_link(secret),
            sent_at=at,
            is_by_mail=is_by_mail,
        )
    if is_by_mail:
        _send(post, pairs, secret)
    return int(is_by_mail)


def _send(post: _Post, pairs: list[tuple[Kit, date]], secret: str) -> None:
    send_later(
        post.person,
        subject=post.subject,
        template="kits_waiting" if post.kind in (Kind.SUITS, Kind.KEPT) else "kits_due",
        context={
            "kind": post.kind.value,
            "kits": [{"kit": kit, "url": page_address("batches:kit_page", kit.code)} for kit, _day in pairs],
            "waiting_url": page_address("batches:kits_waiting"),
            "mine_url": page_address("batches:my_kits"),
        },
        stop_url="" if post.kind == Kind.KEPT else page_address("batches:letters_stop", secret),
    )


@action
def note_told(*, person: Person, by: Person, at: datetime, request_key: str = "") -> int:
    """Note that somebody has been rung, or written a card, about her kits; gives how much she was told of."""
    news = letters_to_tell(today=day_of(at, the_group())).filter(person=person).values_list("pk", flat=True)
    count = Letter.objects.filter(pk__in=list(news)).update(told_at=at)
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
