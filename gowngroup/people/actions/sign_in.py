"""Signing in by a code sent to an email address.

Our own, because the library for it counts wrong codes in the session, where guesses sent side by side are
all evaluated, and wants one address per account, while our people share addresses.
"""

import secrets
from datetime import datetime, timedelta
from functools import partial
from hashlib import sha256

from django.core.mail import EmailMultiAlternatives
from django.db import transaction
from django.db.models import F
from django.template.loader import render_to_string
from django.utils import translation
from django.utils.crypto import constant_time_compare, salted_hmac
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from gowngroup.people.actions.post import knock
from gowngroup.people.actions.unsent import forget_code, note_code_unsent, send_code
from gowngroup.people.addresses import address_hash, tidy_address
from gowngroup.people.models import Person, SignInCode
from gowngroup.people.queries import people_at, the_group
from gowngroup.records.actions import action, record
from gowngroup.records.codes import ALPHABET, clean_code
from gowngroup.records.errors import NotNow, Refusal, Taken

CODE_LENGTH = 9  # of 22 characters: 40.1 bits
GROUP_LENGTH = 3
VALID_FOR = timedelta(minutes=10)
WINDOW = timedelta(minutes=10)
MAILS_PER_WINDOW = 3
GUESSES = 5
FORGET_AFTER = timedelta(days=1)


class TooManyCodes(NotNow):
    """Three codes have been asked for this address in the last ten minutes."""

    status = 429


class MailNotSent(NotNow):
    """The mail server does not take letters just now."""


class WrongCode(Refusal):
    """The code is not the one in the newest letter."""


class CodeSpent(Taken):
    """The code is too old, used, guessed at too often, or was asked for in another browser."""


def new_sign_in_code() -> str:
    """A code of at least 40 bits without letters and digits that look alike."""
    return "".join(secrets.choice(ALPHABET) for _position in range(CODE_LENGTH))


def in_groups(code: str) -> str:
    """A code as it stands in the letter, in groups of three."""
    return "-".join(code[start : start + GROUP_LENGTH] for start in range(0, len(code), GROUP_LENGTH))


@action
def send_sign_in_code(*, email: str, browser: str, at: datetime) -> SignInCode:
    """Send a code to an address, for one browser; a stranger's address is treated alike but gets no mail."""
    address, code = tidy_address(email), new_sign_in_code()
    people = people_at(address)
    row = _fill_slot(address_hash(address), at, {
        "email": address if people else "",
        "code_hash": _code_hash(code, browser),
        "browser_hash": _browser_hash(browser),
    })  # fmt: skip
    forget_old_codes(at=at)
    if people:
        record(by=None, at=at, did="send_sign_in_code", subject=row)
    letter = _letter(people[0] if people else Person(), code)  # for strangers too: it takes as long
    transaction.on_commit(partial(_post, letter, people[0].pk if people else None, at))
    return row


def forget_old_codes(*, at: datetime) -> None:
    """Remove codes nobody can use any more, with the addresses they were sent to."""
    SignInCode.objects.filter(sent_at__lt=at - FORGET_AFTER).delete()


def _fill_slot(address: str, at: datetime, values: dict[str, str]) -> SignInCode:
    SignInCode.objects.bulk_create(
        (
            SignInCode(address_hash=address, slot=slot, sent_at=at - WINDOW, expires_at=at - WINDOW)
            for slot in range(MAILS_PER_WINDOW)
        ),
        ignore_conflicts=True,
    )
    for slot in range(MAILS_PER_WINDOW):
        free = SignInCode.objects.filter(address_hash=address, slot=slot, sent_at__lte=at - WINDOW)
        if free.update(**values, sent_at=at, expires_at=at + VALID_FOR, guess_count=0, used_at=None):
            return SignInCode.objects.get(address_hash=address, slot=slot)
    raise TooManyCodes(
        _(
            "Three codes have been asked for this address in the last ten minutes. "
            "Please use the newest one, or try again in ten minutes."
        ),
        retry_after_s=int(WINDOW.total_seconds()),
    )


def _letter(person: Person, code: str) -> EmailMultiAlternatives:
    """Written as whoever reads mail at the address chose, or else as the page was on which the code was asked for."""
    with translation.override(person.language or translation.get_language()):
        return _written_letter(person.email, code)


def _written_letter(address: str, code: str) -> EmailMultiAlternatives:
    context = {"group": the_group(), "code": in_groups(code), "minutes": int(VALID_FOR.total_seconds() // 60)}
    letter = EmailMultiAlternatives(
        subject=_("Your code to sign in – %(group)s") % {"group": the_group().name},
        body=render_to_string("people/mail/sign_in_code.txt", context),
        to=[address],
    )
    letter.attach_alternative(render_to_string("people/mail/sign_in_code.html", context), "text/html")
    return letter


def _post(letter: EmailMultiAlternatives, person_id: int | None, at: datetime) -> None:
    """Knock at the mail server, so that a broken one answers everybody alike, and send a known address its letter.

    It is sent beside the page: who waited for it would be told by the clock that the address is known.
    """
    reason = knock()
    if reason is not None:
        note_code_unsent(person_id, reason, at)
        raise MailNotSent(
            _(
                "Sorry, no letters can be sent just now. Please try again in a few minutes, "
                "or ring the coordinator."
            ),
            retry_after_s=300,
        )
    if person_id is not None:
        send_code(letter, person_id=person_id, at=at)


def use_sign_in_code(*, browser: str, typed: str, at: datetime) -> SignInCode:
    """Use up the code this browser asked for, if what was typed is it; it may stand for several people.

    Two transactions, not one: a wrong guess must stay counted although it is then refused.
    """
    code = count_guess(browser=browser, at=at)
    if code is None:
        raise CodeSpent(
            _("This code can no longer be used. Please ask for a new one, in this browser."), field="code"
        )
    if not constant_time_compare(code.code_hash, _code_hash(clean_code(typed), browser)):
        raise WrongCode(_wrong_sentence(GUESSES - code.guess_count), field="code")
    return use_up(code=code, at=at)


@action
def count_guess(*, browser: str, at: datetime) -> SignInCode | None:
    """Count one guess at the code of this browser; None where no guess is left to be evaluated."""
    mine = SignInCode.objects.filter(browser_hash=_browser_hash(browser))
    may_guess = mine.filter(used_at=None, expires_at__gt=at, guess_count__lt=GUESSES)
    return mine.first() if may_guess.update(guess_count=F("guess_count") + 1) else None


@action
def use_up(*, code: SignInCode, at: datetime) -> SignInCode:
    """Mark a code as used, which works once."""
    if not SignInCode.objects.filter(pk=code.pk, code_hash=code.code_hash, used_at=None).update(used_at=at):
        raise CodeSpent(_("This code has been used already. Please ask for a new one."), field="code")
    code.refresh_from_db()
    return code


@action
def note_sign_in(*, person: Person, way: str, at: datetime) -> Person:
    """Leave a line in the trail that somebody has signed in, and by which way."""
    forget_code(person)
    record(by=person, at=at, did="note_sign_in", subject=person, changes={"way": way})
    return person


def _wrong_sentence(left_count: int) -> str:
    if left_count <= 0:
        return _("That is not the code in the newest letter. Please ask for a new code.")
    return ngettext(
        "That is not the code in the newest letter. You can try %(count)s more time.",
        "That is not the code in the newest letter. You can try %(count)s more times.",
        left_count,
    ) % {"count": left_count}


def _code_hash(code: str, browser: str) -> str:
    return salted_hmac("gowngroup.people.code", f"{browser}:{code}", algorithm="sha256").hexdigest()


def _browser_hash(browser: str) -> str:
    return sha256(browser.encode()).hexdigest()
