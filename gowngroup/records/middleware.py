"""Requests no database can store are refused at the door, one that cannot store now asks for patience; text goes compressed."""

import logging
from collections.abc import Callable

from django.db import OperationalError
from django.http import HttpRequest, HttpResponse, HttpResponseBadRequest
from django.http.response import HttpResponseBase
from django.middleware.gzip import GZipMiddleware
from django.template.loader import render_to_string
from django.utils.translation import gettext as _

GetResponse = Callable[[HttpRequest], HttpResponse]
TEXT_TYPES = ("text/", "image/svg+xml", "application/json")
TRY_AGAIN_S = 60

logger = logging.getLogger(__name__)


class CompressText(GZipMiddleware):
    """Pages, drawings and calendars go out compressed; PDFs and spreadsheets are packed already.

    Nobody learns a secret from how long a compressed page is (the attack called BREACH): the forms' tokens are
    masked anew for each page, a length of chance is added to each, and cookies of other sites' requests are not sent.
    """

    def process_response(self, request: HttpRequest, response: HttpResponseBase) -> HttpResponseBase:
        if not response.get("Content-Type", "").startswith(TEXT_TYPES):
            return response
        return super().process_response(request, response)


class AskForPatience:
    """Where the database cannot write or answer just now (its disk is full, it is too busy or away): 503 and when to try again."""

    def __init__(self, get_response: GetResponse) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        return self.get_response(request)

    def process_exception(self, _request: HttpRequest, error: Exception) -> HttpResponse | None:
        """A page that asks the database for nothing itself."""
        if not isinstance(error, OperationalError):
            return None
        logger.error("the database cannot do this just now", exc_info=error)
        return HttpResponse(
            render_to_string("503.html"), status=503, headers={"Retry-After": str(TRY_AGAIN_S)}
        )


class RefuseNullBytes:
    """A NUL byte is a server error on PostgreSQL alone; answer 400 on both databases.

    Looks at the address, the cookies and forms sent in the usual way; in forms with files Django's own
    fields refuse it.
    """

    def __init__(self, get_response: GetResponse) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        if holds_null(request):
            return HttpResponseBadRequest(
                _("What was sent holds a character that cannot be read. Please go back and type it again.")
            )
        return self.get_response(request)


def holds_null(request: HttpRequest) -> bool:
    """Is there a NUL byte where a view might hand it to the database?"""
    address = request.get_full_path()
    if "\0" in request.path or "%00" in address or "\0" in address:
        return True
    if any("\0" in value for value in request.COOKIES.values()):
        return True
    is_plain_form = request.content_type == "application/x-www-form-urlencoded"
    return is_plain_form and (b"%00" in request.body or b"\0" in request.body)
