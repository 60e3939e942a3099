"""Sending a letter after what it tells has been kept; a mail server that does not answer undoes nothing."""

import logging

from django.core.mail import EmailMultiAlternatives

logger = logging.getLogger(__name__)


def post_quietly(letter: EmailMultiAlternatives) -> None:
    """Send a letter; where that fails, say so in the log without saying to whom."""
    try:
        letter.send()
    except OSError as error:  # also every refusal of the mail server
        logger.warning("a letter could not be sent (%s)", type(error).__name__)
