"""Who reads: the language, unit, paper, print, hand and time zone that forms, pages and sheets are written in."""

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from datetime import UTC, tzinfo

from django.utils import timezone, translation


@dataclass(frozen=True, slots=True, kw_only=True)
class Reader:
    """How one person reads words, lengths, paper and time."""

    language: str = "en"
    length_unit: str = "cm"
    paper_size: str = "A4"
    has_large_print: bool = False
    is_left_handed: bool = False
    zone: tzinfo = UTC


_reader: ContextVar[Reader] = ContextVar("reader", default=Reader())  # noqa: B039 - frozen


def current_reader() -> Reader:
    """The reader of the page being written; English, centimetres and A4 outside a request."""
    return _reader.get()


@contextmanager
def reading_as(reader: Reader) -> Iterator[None]:
    """Write everything inside for this reader."""
    token = _reader.set(reader)
    try:
        with translation.override(reader.language), timezone.override(reader.zone):
            yield
    finally:
        _reader.reset(token)
