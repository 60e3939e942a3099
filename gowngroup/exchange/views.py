"""The page on which somebody asks for a calendar address, and the address itself."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache

from gowngroup.exchange import actions, queries
from gowngroup.exchange.feed import calendar_of
from gowngroup.people.guards import VISITOR, page, person_of
from gowngroup.people.queries import reader_for, the_group
from gowngroup.records.pages import posted_key
from gowngroup.records.reader import reading_as


@page("volunteer")
@never_cache
def my_calendar(request: HttpRequest) -> HttpResponse:
    person, address = person_of(request), ""
    if request.method == "POST":
        secret = actions.make_calendar_link(by=person, at=timezone.now())
        address = request.build_absolute_uri(reverse("exchange:calendar_feed", args=[secret]))
    # The scheme by which telephones and computers hand an address to their calendar.
    calendar_address = f"webcal:{address.partition(':')[2]}"
    context = {"link": queries.open_link(person), "address": address, "calendar_address": calendar_address}
    return render(request, "exchange/my_calendar.html", context)


@page("volunteer", methods=("POST",))
def my_calendar_end(request: HttpRequest) -> HttpResponse:
    actions.end_calendar_link(by=person_of(request), at=timezone.now(), request_key=posted_key(request))
    messages.success(request, _("The address no longer works."))
    return redirect("exchange:my_calendar")


@page(*VISITOR, methods=("GET",))
@never_cache
def calendar_feed(request: HttpRequest, secret: str) -> HttpResponse:
    person = queries.person_of_link(secret)
    with reading_as(reader_for(person)):
        feed = calendar_of(queries.claims_at_home(person), name=the_group().name)
    return HttpResponse(feed, content_type="text/calendar; charset=utf-8")
