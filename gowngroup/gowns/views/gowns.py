"""All gowns, one gown with its history, and the shelf."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _

from gowngroup.gowns.actions import place_gown
from gowngroup.gowns.checklist import round_of
from gowngroup.gowns.forms.checks import GownFilter, PlaceForm, ShelfFilter
from gowngroup.gowns.queries import (
    gown_by_code,
    gown_checks,
    gown_counts,
    gown_history,
    gowns,
    gowns_on_shelf,
    last_round,
    shelf_counts,
)
from gowngroup.people.guards import page, person_of
from gowngroup.records.pages import attempt, form_page
from gowngroup.records.paging import LongPaginator

PER_PAGE = 25


@page("coordinator", "inspector", "packer", methods=("GET",))
def gown_list(request: HttpRequest) -> HttpResponse:
    chosen = GownFilter(request.GET)
    chosen.is_valid()
    page_obj = LongPaginator(gowns(**chosen.cleaned_data), PER_PAGE).get_page(request.GET.get("page"))
    return render(
        request,
        "gowns/gown_list.html",
        {
            "filter": chosen,
            "page_obj": page_obj,
            "is_filtered": any(chosen.cleaned_data.values()),
            "counts": gown_counts(),
        },
    )


@page("coordinator", "inspector", "packer", methods=("GET",))
def gown_page(request: HttpRequest, code: str) -> HttpResponse:
    gown = gown_by_code(code)
    can_be_checked = round_of(gown, lambda: last_round(gown)) is not None
    return render(
        request,
        "gowns/gown_page.html",
        {
            "gown": gown,
            "checks": gown_checks(gown),
            "history": gown_history(gown),
            "can_be_checked": can_be_checked,
        },
    )


@page("coordinator", "inspector", "packer")
def gown_place(request: HttpRequest, code: str) -> HttpResponse:
    gown = gown_by_code(code)
    form = PlaceForm(request.POST if request.method == "POST" else None, initial={"place": gown.place})
    if form.is_valid() and (
        attempt(
            form,
            lambda: place_gown(gown=gown, by=person_of(request), at=timezone.now(), **form.cleaned_data),
        )
        is not None
    ):
        messages.success(request, _("Noted."))
        return redirect("gowns:gown_page", gown.code)
    return form_page(request, "gowns/gown_place.html", form, gown=gown)


@page("coordinator", "inspector", "packer", methods=("GET",))
def shelf(request: HttpRequest) -> HttpResponse:
    chosen = ShelfFilter(request.GET)
    chosen.is_valid()
    narrowed = {name: value for name, value in chosen.cleaned_data.items() if value}
    page_obj = Paginator(gowns_on_shelf().filter(**narrowed), PER_PAGE).get_page(request.GET.get("page"))
    return render(
        request,
        "gowns/shelf.html",
        {"rows": shelf_counts(), "page_obj": page_obj, "narrowed": narrowed, "counts": gown_counts()},
    )
