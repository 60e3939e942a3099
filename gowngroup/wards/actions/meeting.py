"""Booking delivered gowns on the lines that asked for them."""

from datetime import datetime

from django.db.models import F
from django.utils.translation import gettext as _

from gowngroup.people.models import Person
from gowngroup.records.actions import action, record
from gowngroup.records.errors import Taken
from gowngroup.records.templatetags.gown import size_length
from gowngroup.wards.actions.requests import close_if_met
from gowngroup.wards.models import RequestLine, WardRequest


class MoreThanAsked(Taken):
    """A line would be met more often than it asks for, or fewer than no times."""


@action
def book_met(*, request_line: RequestLine, gown_count: int, by: Person, at: datetime) -> RequestLine:
    """Book gowns as delivered on a line; the request is met when all its lines are."""
    return _book(request_line, gown_count, by=by, at=at, did="book_met")


@action
def book_unmet(*, request_line: RequestLine, gown_count: int, by: Person, at: datetime) -> RequestLine:
    """Take a booking back because gowns did not arrive; the request is open again."""
    return _book(request_line, -gown_count, by=by, at=at, did="book_unmet")


def _book(request_line: RequestLine, change: int, *, by: Person, at: datetime, did: str) -> RequestLine:
    # Held first, so that of two lines of a request booked at once the second sees both.
    WardRequest.objects.select_for_update().get(pk=request_line.request_id)
    booked = RequestLine.objects.filter(
        pk=request_line.pk, met_count__gte=-change, met_count__lte=F("gown_count") - change
    ).update(met_count=F("met_count") + change)
    request_line.refresh_from_db()
    if not booked:
        raise MoreThanAsked(
            _(
                "The ward asks for %(asked)d of size %(size)s, and %(met)d of them have left already. "
                "Take what is too much out of this drop-off."
            )
            % {
                "asked": request_line.gown_count,
                "met": request_line.met_count,
                "size": size_length(request_line.size.body_length_um),
            }
        )
    close_if_met(request_line.request)
    record(by=by, at=at, did=did, subject=request_line, changes={"met_count": request_line.met_count})
    return request_line
