"""Email addresses as they are kept and compared."""

import unicodedata

from django.utils.crypto import salted_hmac


def tidy_address(typed: str) -> str:
    """An address as it is kept: without spaces round it, in small letters, one spelling of each letter."""
    return unicodedata.normalize("NFKC", typed).strip().lower()


def address_hash(address: str) -> str:
    """What stands for an address where the address itself must not be kept."""
    return salted_hmac("gowngroup.people.address", tidy_address(address), algorithm="sha256").hexdigest()
