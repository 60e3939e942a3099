"""The demonstration's mail server: puts letters into a folder, and refuses those to an address that is closed."""

from collections.abc import Sequence
from smtplib import SMTPRecipientsRefused

from django.core.mail import EmailMessage
from django.core.mail.backends.filebased import EmailBackend

# Somebody of the invented group has moved house and has not told the coordinator her new address yet.
CLOSED = "rosalind.peverell@example.org"
NO_SUCH_ADDRESS = 550  # RFC 5321, 4.2.3


class Outbox(EmailBackend):
    """Files what is sent, as Django's own outbox of files does."""

    def send_messages(self, email_messages: Sequence[EmailMessage]) -> int:
        """File these letters, or none of them where one cannot be delivered."""
        closed = {each for letter in email_messages for each in letter.to if each == CLOSED}
        if closed:
            raise SMTPRecipientsRefused(dict.fromkeys(closed, (NO_SUCH_ADDRESS, b"closed")))
        return super().send_messages(email_messages)
