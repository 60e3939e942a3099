"""Handing a letter to the mail server after what it tells has been kept; a server that is down undoes nothing."""

from collections.abc import Callable, Iterator
from concurrent.futures import Future, ThreadPoolExecutor, wait
from contextlib import contextmanager, suppress
from smtplib import (
    SMTP,
    SMTPAuthenticationError,
    SMTPRecipientsRefused,
    SMTPResponseException,
    SMTPSenderRefused,
)

from django.core.mail import EmailMultiAlternatives, get_connection
from django.core.mail.backends.base import BaseEmailBackend
from django.db import connection

from gowngroup.people.models import UnsentLetter

POSTING_AT_ONCE = 4
LASTING = 500  # RFC 5321, 4.2.1: replies from here on are final, those from 400 for a time
Reason = UnsentLetter.Reason

_posting = ThreadPoolExecutor(max_workers=POSTING_AT_ONCE, thread_name_prefix="post")
_under_way: set[Future[None]] = set()


def hand_over(letter: EmailMultiAlternatives) -> Reason | None:
    """Give a letter to the mail server; gives why it was not taken, and nothing where it was."""
    with _opened() as (server, why_closed):
        return why_closed or _why_not_taken(server, letter)


def knock() -> Reason | None:
    """Look whether the mail server opens; gives why not."""
    with _opened() as (_server, why_closed):
        return why_closed


@contextmanager
def _opened() -> Iterator[tuple[BaseEmailBackend, Reason | None]]:
    server = get_connection()
    try:
        yield server, _why_closed(server)
    finally:
        with suppress(OSError):
            server.close()


def _why_closed(server: BaseEmailBackend) -> Reason | None:
    try:
        server.open()
        line = getattr(server, "connection", None)
        if isinstance(line, SMTP):  # else it would only be greeted with the first letter
            line.ehlo_or_helo_if_needed()
    except SMTPAuthenticationError:
        return Reason.NO_ENTRY
    except OSError:  # also what the mail server says
        return Reason.NO_SERVER
    return None


def _why_not_taken(server: BaseEmailBackend, letter: EmailMultiAlternatives) -> Reason | None:
    try:
        server.send_messages([letter])
    except SMTPRecipientsRefused as error:
        is_lasting = all(code >= LASTING for code, _said in error.recipients.values())
        return Reason.ADDRESS if is_lasting else Reason.LATER
    except SMTPResponseException as error:
        if error.smtp_code < LASTING:
            return Reason.LATER
        return Reason.NO_ENTRY if isinstance(error, SMTPSenderRefused) else Reason.REFUSED
    except ValueError:  # an address that is none
        return Reason.ADDRESS
    except OSError:
        return Reason.BROKE_OFF
    return None


def aside(work: Callable[[], None]) -> None:
    """Do something beside the page, so that nobody can tell by waiting whether there was anything to do.

    It needs no worker; a server that is stopped still ends what it has begun.
    """
    doing = _posting.submit(_do_and_let_go, work)
    _under_way.add(doing)
    doing.add_done_callback(_under_way.discard)


def _do_and_let_go(work: Callable[[], None]) -> None:
    try:
        work()
    finally:
        connection.close()


def letters_gone(timeout_s: float = 20.0) -> bool:
    """Wait until every letter sent beside a page is gone; False where some still are not."""
    return not wait(list(_under_way), timeout=timeout_s).not_done
