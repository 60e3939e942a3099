"""What the log of the server must not hold: addresses that open something to whoever knows them."""

import logging
import re

SECRET_IN_ADDRESS = re.compile(r"(/sign-in/link/|/calendar/|/letters/stop/)[^/\s]+")


class HideSecrets(logging.Filter):
    """Leave the secret out of an address: of a sign-in link, a calendar, a link that stops letters."""

    def filter(self, record: logging.LogRecord) -> bool:
        """Every line is kept, with its secrets taken out."""
        record.msg, record.args = SECRET_IN_ADDRESS.sub(r"\1…", record.getMessage()), ()
        return True
