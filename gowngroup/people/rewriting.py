"""How a letter that could not be sent is written anew: each room brings along who writes its kinds."""

from collections.abc import Callable, Iterable
from datetime import datetime

from django.core.mail import EmailMultiAlternatives
from django.utils.module_loading import import_string

from gowngroup.people.models import UnsentLetter

Writer = Callable[[UnsentLetter, datetime], EmailMultiAlternatives | None]
_writers: dict[str, str] = {}


def bring_along(kinds: Iterable[str], writer: str) -> None:
    """Say who writes letters of these kinds anew, by dotted name, loaded when the first is needed."""
    _writers.update(dict.fromkeys(kinds, writer))


def written_anew(letter: UnsentLetter, at: datetime) -> EmailMultiAlternatives | None:
    """The letter as it reads now; None where nobody needs it any more, or it is never sent twice."""
    name = _writers.get(letter.kind)
    if name is None or not letter.person.email or not letter.person.is_active:
        return None
    writer: Writer = import_string(name)
    return writer(letter, at)
