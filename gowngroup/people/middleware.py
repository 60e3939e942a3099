"""Every page is written in the reader's own unit and paper: hers if she chose, else the group's."""

from collections.abc import Callable

from django.db import DatabaseError
from django.http import HttpRequest, HttpResponse

from gowngroup.people.queries import reader_for
from gowngroup.records.reader import Reader, reading_as

GetResponse = Callable[[HttpRequest], HttpResponse]


class ReaderSettings:
    """Set length unit, paper and time zone for the time of one request."""

    def __init__(self, get_response: GetResponse) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        with reading_as(_reader(request)):
            return self.get_response(request)


def _reader(request: HttpRequest) -> Reader:
    try:
        return reader_for(request.user)
    except DatabaseError:  # the page itself says that the database does not answer
        return Reader()
