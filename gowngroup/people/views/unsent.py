"""Letters that could not be sent: who is to be told in another way."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from gowngroup.people.actions import tell_instead, try_again
from gowngroup.people.guards import page, person_of
from gowngroup.people.queries import unsent_letter_named, unsent_letters, whom_to_tell
from gowngroup.records.errors import Refusal
from gowngroup.records.pages import posted_key, refused

PER_PAGE = 25
LIST = "people:letter_list"


@page("coordinator", methods=("GET",))
def letter_list(request: HttpRequest) -> HttpResponse:
    letters = unsent_letters(at=timezone.now()).select_related("person")
    page_obj = Paginator(letters, PER_PAGE).get_page(request.GET.get("page"))
    rows = list(zip(page_obj, whom_to_tell(list(page_obj)), strict=True))
    return render(request, "people/letter_list.html", {"page_obj": page_obj, "rows": rows})


@page("coordinator", methods=("POST",))
def letter_again(request: HttpRequest, pk: int) -> HttpResponse:
    letter, by, key, at = unsent_letter_named(pk), person_of(request), posted_key(request), timezone.now()
    try:
        try_again(letter=letter, by=by, at=at, request_key=key)
    except Refusal as refusal:
        return refused(request, refusal, back=reverse(LIST))
    left = unsent_letters(at=at).filter(pk=pk).first()
    name = {"name": letter.person}
    if left is None:
        messages.success(request, _("The letter to %(name)s has gone out.") % name)
    else:
        words = _("The letter to %(name)s could not be sent this time either.") % name
        messages.warning(request, f"{words} {left.get_reason_display()}")
    return redirect(LIST)


@page("coordinator", methods=("POST",))
def letter_told(request: HttpRequest, pk: int) -> HttpResponse:
    letter, by, key = unsent_letter_named(pk), person_of(request), posted_key(request)
    try:
        tell_instead(letter=letter, by=by, at=timezone.now(), request_key=key)
    except Refusal as refusal:
        return refused(request, refusal, back=reverse(LIST))
    messages.success(
        request, _("Thank you. The letter to %(name)s is off the list.") % {"name": letter.person}
    )
    return redirect(LIST)
