"""Sending a letter after what it tells has been kept; a mail server that does not answer undoes nothing."""

import logging
from concurrent.futures import Future, ThreadPoolExecutor, wait

from django.core.mail import EmailMultiAlternatives

POSTING_AT_ONCE = 4

logger = logging.getLogger(__name__)
_posting = ThreadPoolExecutor(max_workers=POSTING_AT_ONCE, thread_name_prefix="post")
_under_way: set[Future[None]] = set()


def post_quietly(letter: EmailMultiAlternatives) -> None:
    """Send a letter; where that fails, say so in the log without saying to whom."""
    try:
        letter.send()
    except OSError as error:  # also every refusal of the mail server
        logger.warning("a letter could not be sent (%s)", type(error).__name__)


def post_aside(letter: EmailMultiAlternatives) -> None:
    """Send a letter beside the page, so that nobody can tell by waiting whether there was one.

    It needs no worker; a server that is stopped still sends what it has begun.
    """
    sending = _posting.submit(post_quietly, letter)
    _under_way.add(sending)
    sending.add_done_callback(_under_way.discard)


def letters_gone(timeout_s: float = 20.0) -> bool:
    """Wait until every letter sent beside a page is gone; False where some still are not."""
    return not wait(list(_under_way), timeout=timeout_s).not_done
