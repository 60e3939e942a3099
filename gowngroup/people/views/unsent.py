"""Letters that could not be sent: who is to be told in another way."""

from collections.abc import Callable
from functools import partial

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from gowngroup.people.actions import tell_instead, try_again
from gowngroup.people.guards import page, person_of
from gowngroup.people.queries import unsent_letter, unsent_letters, whom_to_tell
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
    letter = unsent_letter(pk)
    if letter is None:
        return _seen_to(request)
    refusal = _refusal(request, partial(try_again, letter=letter))
    if refusal is not None:
        return refusal
    left = unsent_letters(at=timezone.now()).filter(pk=pk).first()
    name = {"name": letter.person}
    if left is None:
        messages.success(request, _("The letter to %(name)s has gone out.") % name)
    else:
        words = _("The letter to %(name)s could not be sent this time either.") % name
        messages.warning(request, f"{words} {left.get_reason_display()}")
    return redirect(LIST)


@page("coordinator", methods=("POST",))
def letter_told(request: HttpRequest, pk: int) -> HttpResponse:
    letter = unsent_letter(pk)
    if letter is None:
        return _seen_to(request)
    refusal = _refusal(request, partial(tell_instead, letter=letter))
    if refusal is not None:
        return refusal
    messages.success(
        request, _("Thank you. The letter to %(name)s is off the list.") % {"name": letter.person}
    )
    return redirect(LIST)


def _refusal(request: HttpRequest, see_to: Callable[..., object]) -> HttpResponse | None:
    """Do what a button says; gives the page that refuses it, and nothing where it is done."""
    try:
        see_to(by=person_of(request), at=timezone.now(), request_key=posted_key(request))
    except Refusal as why:
        return refused(request, why, back=reverse(LIST))
    return None


def _seen_to(request: HttpRequest) -> HttpResponse:
    """The list as it stands, where a letter is gone from it: the button was pressed twice, or by two people."""
    messages.info(request, _("This letter is being sent just now, or somebody has seen to it already."))
    return redirect(LIST)
