"""Letters that could not be sent: noted with what they tell of, tried again with care, and told by mouth.

The note is written in the transaction of what the letter tells, so that a server killed before sending loses none.
Whoever sends takes the note up by one conditional update, so that a letter goes out once however many try; one that
broke off while it was handed over may have arrived, and is tried again only by a person's wish.
"""

import logging
from collections.abc import Iterable
from datetime import datetime, timedelta
from functools import partial

from django.core.mail import EmailMultiAlternatives
from django.db import DatabaseError, transaction
from django.db.models import F, QuerySet
from django.utils.module_loading import import_string
from django.utils.translation import gettext as _

from gowngroup.people.actions.post import aside, hand_over
from gowngroup.people.models import Person, UnsentLetter
from gowngroup.people.queries import LONGEST_TRY, unsent_letters
from gowngroup.people.rewriting import written_anew
from gowngroup.records.actions import action, record
from gowngroup.records.errors import Refusal, Taken

# After the first try that failed for a time, the second, and so on; after the last it is left to the coordinator.
GAPS = (timedelta(minutes=15), timedelta(hours=1), timedelta(hours=4), timedelta(days=1))
FORGET_AFTER = timedelta(days=30)
Kind = UnsentLetter.Kind
Reason = UnsentLetter.Reason
FOR_A_TIME = frozenset({Reason.NO_SERVER, Reason.NO_ENTRY, Reason.LATER})

logger = logging.getLogger(__name__)


class NoAddressNow(Refusal):
    """She has no email address any more."""


class NotNeededAnyMore(Taken):
    """What the letter tells is over, or it is of a kind that is never sent twice."""


class SeenTo(Taken):
    """Somebody else has just seen to this letter, or it is being sent."""


def send_on_commit(
    letter: EmailMultiAlternatives,
    *,
    person: Person,
    kind: str,
    at: datetime,
    about_ids: Iterable[int] = (),
    kit_codes: Iterable[str] = (),
) -> None:
    """Note a letter with what it tells of, and send it once the transaction has ended well."""
    note = UnsentLetter.objects.create(
        person=person,
        kind=kind,
        about_ids=list(about_ids),
        kit_codes=list(kit_codes),
        made_at=at,
        tried_at=at,
        next_try_at=at + LONGEST_TRY,  # should the server be killed before it has begun
    )
    transaction.on_commit(partial(_send_first, note.pk, letter, at))


def _send_first(pk: int, letter: EmailMultiAlternatives, at: datetime) -> None:
    try:
        if _take_up(UnsentLetter.objects.filter(pk=pk, reason=Reason.NOT_YET), at):
            _deliver(pk, letter, at)
    except DatabaseError:  # what the letter tells is kept, and its note is still there
        logger.warning("it could not be noted whether a letter was sent")


def _take_up(notes: QuerySet[UnsentLetter], at: datetime) -> bool:
    tried = {"tried_at": at, "next_try_at": None, "try_count": F("try_count") + 1}
    return bool(notes.update(reason=Reason.UNDER_WAY, **tried))


def _deliver(pk: int, letter: EmailMultiAlternatives, at: datetime) -> bool:
    """Send a letter that has been taken up; its note goes, or says why it could not be sent."""
    reason, note = hand_over(letter), UnsentLetter.objects.filter(pk=pk)
    if reason is None:
        note.delete()
        return True
    logger.warning("a letter could not be sent (%s)", reason.value)
    tried = note.values_list("try_count", flat=True).first() or 0
    is_tried_again = reason in FOR_A_TIME and 0 < tried <= len(GAPS)
    next_try_at = at + GAPS[tried - 1] if is_tried_again else None
    note.update(reason=reason, next_try_at=next_try_at)
    if next_try_at is not None:
        _wake_the_worker(pk, next_try_at)
    return False


def _wake_the_worker(pk: int, moment: datetime) -> None:
    """Ask the worker for one more round, once for all letters of the same moment; without one it waits for the day's run."""
    again = import_string("gowngroup.people.tasks.send_letters_again")
    is_asked = UnsentLetter.objects.filter(next_try_at=moment).exclude(pk=pk).exists()
    if again.get_backend().supports_defer and not is_asked:
        again.using(run_after=moment).enqueue()


def send_due_letters(*, at: datetime) -> int:
    """Try each letter again whose time has come, and forget what is too old; gives how many have gone out."""
    _forget_old(at)
    due = UnsentLetter.objects.filter(next_try_at__lte=at).select_related("person").order_by("made_at", "pk")
    return sum(_send_again(note, at) for note in due)


def _forget_old(at: datetime) -> None:
    UnsentLetter.objects.filter(made_at__lt=at - FORGET_AFTER).delete()


def _send_again(note: UnsentLetter, at: datetime) -> bool:
    letter = _begin_again(note=note, at=at)
    return letter is not None and _deliver(note.pk, letter, at)


@action
def _begin_again(*, note: UnsentLetter, at: datetime) -> EmailMultiAlternatives | None:
    """Take a letter up that is due, as it reads now; one that nobody needs any more goes."""
    mine = UnsentLetter.objects.filter(pk=note.pk)
    if not _take_up(mine.filter(next_try_at__lte=at), at):
        return None
    letter = written_anew(note, at)
    if letter is None:
        mine.delete()
    return letter


@action
def try_again(*, letter: UnsentLetter, by: Person, at: datetime, request_key: str = "") -> UnsentLetter:
    """Try a letter again at once because somebody wishes it, to the address she has now."""
    if not letter.person.email:
        raise NoAddressNow(_("She has no email address now. Please tell her by telephone."))
    if not _take_up(unsent_letters(at=at).filter(pk=letter.pk), at):
        raise SeenTo(_("This letter is being sent just now, or somebody has seen to it already."))
    written = written_anew(letter, at)
    if written is None:
        raise NotNeededAnyMore(
            _(
                "What this letter is about is over by now. Please tell her if it still matters, and take it off."
            )
        )
    record(by=by, at=at, did="try_letter_again", subject=letter)
    transaction.on_commit(partial(_deliver, letter.pk, written, at))
    return letter


@action
def tell_instead(*, letter: UnsentLetter, by: Person, at: datetime, request_key: str = "") -> None:
    """Take a letter off the list because she has been told; nothing of it is kept."""
    removed, _rows = unsent_letters(at=at).filter(pk=letter.pk).delete()
    if not removed:
        raise SeenTo(_("This letter is being sent just now, or somebody has seen to it already."))
    record(by=by, at=at, did="tell_instead", subject=letter)


def send_code(letter: EmailMultiAlternatives, *, person_id: int, at: datetime) -> None:
    """Send a code beside the page; it is never sent twice, but that it was not is noted."""
    aside(partial(_send_code, letter, person_id, at))


def _send_code(letter: EmailMultiAlternatives, person_id: int, at: datetime) -> None:
    reason = hand_over(letter)
    if reason is not None:
        _note_code(person_id, reason, at)


def note_code_unsent(person_id: int | None, reason: Reason, at: datetime) -> None:
    """Note beside the page that a code could not be sent; for a stranger nothing, which takes as long."""
    aside(partial(_note_code, person_id, reason, at))


def _note_code(person_id: int | None, reason: Reason, at: datetime) -> None:
    logger.warning("a letter could not be sent (%s)", reason.value)
    facts = {"reason": reason, "tried_at": at}
    try:
        hers = UnsentLetter.objects.filter(person_id=person_id or 0, kind=Kind.CODE)
        if not hers.update(try_count=F("try_count") + 1, **facts) and person_id is not None:
            code = UnsentLetter(person_id=person_id, kind=Kind.CODE, made_at=at, try_count=1, **facts)
            UnsentLetter.objects.bulk_create([code], ignore_conflicts=True)
    except DatabaseError:
        logger.warning("it could not be noted that a letter was not sent")


def forget_code(person: Person) -> None:
    """She has signed in: that a code did not reach her is of no interest any more."""
    UnsentLetter.objects.filter(person=person, kind=Kind.CODE).delete()
