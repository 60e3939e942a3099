"""Requests no database can store are refused at the door."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse, HttpResponseBadRequest
from django.utils.translation import gettext as _

GetResponse = Callable[[HttpRequest], HttpResponse]


class RefuseNullBytes:
    """A NUL byte in an address is a server error on PostgreSQL alone; answer 400 on both databases."""

    def __init__(self, get_response: GetResponse) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        address = request.get_full_path()
        if "\0" in request.path or "%00" in address:
            return HttpResponseBadRequest(_("This address holds a character that cannot be read."))
        return self.get_response(request)
