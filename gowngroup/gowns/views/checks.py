"""The inspector's table: first and second check, mending, washing."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from gowngroup.gowns.actions import check_gown, finish_mending, wash_gowns
from gowngroup.gowns.checklist import round_of
from gowngroup.gowns.forms.checks import CheckForm, WashForm
from gowngroup.gowns.models import Gown, GownCheck
from gowngroup.gowns.queries import gown_by_code, gown_counts, gowns_in, gowns_to_check, last_round
from gowngroup.gowns.words import outcome_words, tolerances
from gowngroup.people.guards import page, person_of
from gowngroup.records.codes import spaced
from gowngroup.records.errors import Refusal
from gowngroup.records.pages import attempt, form_page, posted_key, refused

PER_PAGE = 25
Round = GownCheck.Round


def _queue(request: HttpRequest, template: str, gowns: QuerySet[Gown]) -> HttpResponse:
    page_obj = Paginator(gowns, PER_PAGE).get_page(request.GET.get("page"))
    return render(request, template, {"page_obj": page_obj, "counts": gown_counts()})


@page("coordinator", "inspector", methods=("GET",))
def first_checks(request: HttpRequest) -> HttpResponse:
    return _queue(request, "gowns/first_checks.html", gowns_to_check(Round.FIRST))


@page("coordinator", "inspector", methods=("GET",))
def second_checks(request: HttpRequest) -> HttpResponse:
    return _queue(request, "gowns/second_checks.html", gowns_to_check(Round.SECOND))


@page("coordinator", "inspector", methods=("GET",))
def mending(request: HttpRequest) -> HttpResponse:
    return _queue(request, "gowns/mending.html", gowns_in(Gown.State.MENDING))


@page("coordinator", "inspector")
def gown_check(request: HttpRequest, code: str) -> HttpResponse:
    gown = gown_by_code(code)
    round_ = _posted_round(request) or round_of(gown, lambda: last_round(gown))
    if round_ is None:
        messages.info(request, _("This gown cannot be checked just now; here is how far it is."))
        return redirect("gowns:gown_page", gown.code)
    form = CheckForm(gown, round_, request.POST if request.method == "POST" else None)
    if form.is_valid():
        check = attempt(
            form,
            lambda: check_gown(gown=gown, by=person_of(request), at=timezone.now(), **form.facts()),
        )
        if check:
            done = _("%(gown)s: %(outcome)s.") % {
                "gown": spaced(gown.code),
                "outcome": outcome_words(check),
            }
            messages.success(request, done)
            return _next_in_queue(round_)
    return form_page(
        request,
        "gowns/gown_check.html",
        form,
        gown=gown,
        is_second=round_ == Round.SECOND,
        tolerances=tolerances(),
    )


def _posted_round(request: HttpRequest) -> str | None:
    """The check that was shown, even where the gown has moved on since: then the action says so."""
    posted = request.POST.get("round", "")
    return posted if posted in Round.values else None


def _next_in_queue(round_: str) -> HttpResponse:
    following = gowns_to_check(round_).first()
    if following is None:
        return redirect("gowns:first_checks" if round_ == Round.FIRST else "gowns:second_checks")
    return redirect("gowns:gown_check", following.code)


@page("coordinator", "inspector", methods=("POST",))
def gown_mended(request: HttpRequest, code: str) -> HttpResponse:
    gown = gown_by_code(code)
    try:
        finish_mending(gown=gown, by=person_of(request), at=timezone.now(), request_key=posted_key(request))
    except Refusal as refusal:
        return refused(request, refusal, back=reverse("gowns:mending"))
    messages.success(
        request, _("%(gown)s is mended and waits for its first check.") % {"gown": spaced(gown.code)}
    )
    return redirect("gowns:mending")


@page("coordinator", "inspector")
def wash(request: HttpRequest) -> HttpResponse:
    form = WashForm(request.POST if request.method == "POST" else None)
    if form.is_valid():
        chosen = list(form.cleaned_data["gowns"])
        attempt(
            form,
            lambda: wash_gowns(by=person_of(request), at=timezone.now(), **form.cleaned_data),
        )
        if not form.errors:
            done = ngettext(
                "%(count)d gown is washed and waits for its second check.",
                "%(count)d gowns are washed and wait for their second check.",
                len(chosen),
            )
            messages.success(request, done % {"count": len(chosen)})
            return redirect("gowns:second_checks")
    counts = gown_counts()
    return form_page(request, "gowns/wash.html", form, counts=counts, is_waiting=counts["to_wash"] > 0)
