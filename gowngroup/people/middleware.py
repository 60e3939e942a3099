"""Every page is written as its reader reads: in her own language, unit and paper if she chose, else the group's."""

from collections.abc import Callable, Iterator
from dataclasses import replace

from django.conf import settings
from django.db import DatabaseError
from django.http import HttpRequest, HttpResponse
from django.utils.cache import patch_vary_headers
from django.utils.translation import get_supported_language_variant
from django.utils.translation.trans_real import parse_accept_lang_header

from gowngroup.people.queries import reader_for, reading_the_group_once
from gowngroup.records.reader import Reader, reading_as

GetResponse = Callable[[HttpRequest], HttpResponse]


class ReaderSettings:
    """Set language, length unit, paper and time zone for the time of one request, and read the group once for it."""

    def __init__(self, get_response: GetResponse) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        with reading_the_group_once():
            reader = _reader(request)
            # It stays the reader's own where a sheet is in another.
            request.LANGUAGE_CODE = reader.language
            with reading_as(reader):
                response = self.get_response(request)
        response.headers.setdefault("Content-Language", reader.language)
        # Nobody else's copy, and never shown unasked; not `no-store`, with which going back would lose what was typed.
        response.headers.setdefault("Cache-Control", "private, no-cache")
        patch_vary_headers(response, ("Accept-Language",))
        return response


def _reader(request: HttpRequest) -> Reader:
    try:
        reader = reader_for(request.user)
    except DatabaseError:  # the page itself says that the database does not answer
        reader = Reader()
    if getattr(request.user, "language", ""):
        return reader
    return replace(reader, language=next(_of_this_device(request), reader.language))


def _of_this_device(request: HttpRequest) -> Iterator[str]:
    """The languages we speak of those this device asks for: the one chosen on it, then the browser's."""
    chosen = request.COOKIES.get(settings.LANGUAGE_COOKIE_NAME, "")
    wanted = (code for code, _worth in parse_accept_lang_header(request.headers.get("Accept-Language", "")))
    for code in (chosen, *wanted):
        try:
            yield get_supported_language_variant(code)
        except LookupError:
            continue
