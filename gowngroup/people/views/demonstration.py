"""Pages of the demonstration alone: be anybody of the cast, read the letters sent."""

from collections.abc import Callable
from functools import wraps
from pathlib import Path
from typing import ParamSpec

from django.conf import settings
from django.contrib import messages
from django.core.paginator import Paginator
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _

from gowngroup.people.guards import VISITOR, page
from gowngroup.people.outbox import letters
from gowngroup.people.queries import cast as everybody
from gowngroup.people.sessions import begin_session

P = ParamSpec("P")
PER_PAGE = 25
MOST_LETTERS = 200


def only_in_demonstration(view: Callable[P, HttpResponse]) -> Callable[P, HttpResponse]:
    """Answer 404 outside the demonstration, as if the page did not exist."""

    @wraps(view)
    def guarded(*args: P.args, **kwargs: P.kwargs) -> HttpResponse:
        if not settings.IS_DEMO:
            raise Http404
        return view(*args, **kwargs)

    return guarded


@page(*VISITOR)
@only_in_demonstration
def cast(request: HttpRequest) -> HttpResponse:
    people = list(everybody())
    chosen = [person for person in people if str(person.pk) == request.POST.get("person")]
    if chosen:
        begin_session(request, chosen[0], way="demonstration")
        messages.success(request, _("You are %(name)s now.") % {"name": chosen[0]})
        return redirect("home:home")
    return render(request, "people/cast.html", {"people": people})


@page(*VISITOR, methods=("GET",))
@only_in_demonstration
def outbox(request: HttpRequest) -> HttpResponse:
    found = letters(Path(settings.EMAIL_FILE_PATH or settings.VAR_DIR / "outbox"), at_most=MOST_LETTERS)
    return render(
        request,
        "people/outbox.html",
        {"page_obj": Paginator(found, PER_PAGE).get_page(request.GET.get("page"))},
    )
