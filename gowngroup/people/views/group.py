"""How the group works, and the planner's figures."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _

from gowngroup.people.actions import set_up_group
from gowngroup.people.figure_uses import IN_PLANS, USE_LABELS
from gowngroup.people.forms.group import FigureForm, FigureSearchForm, GroupForm, group_details_of
from gowngroup.people.guards import page, person_of
from gowngroup.people.queries import the_group
from gowngroup.planning.figures.uses import uses_of
from gowngroup.records.actions import set_figure
from gowngroup.records.pages import attempt, form_page, posted_key
from gowngroup.records.queries import figure_history, figure_in_force, figure_named, figures_found

PER_PAGE = 25


@page("coordinator")
def group_settings(request: HttpRequest) -> HttpResponse:
    form = GroupForm(request.POST or None, initial=group_details_of(the_group()))
    if request.method == "POST" and form.is_valid():
        by, key = person_of(request), posted_key(request)
        saved = attempt(
            form, lambda: set_up_group(details=form.details(), by=by, at=timezone.now(), request_key=key)
        )
        if saved is not None:
            messages.success(request, _("Saved."))
            return redirect("people:group_settings")
    return form_page(request, "people/group_settings.html", form)


@page("coordinator", methods=("GET",))
def figure_list(request: HttpRequest) -> HttpResponse:
    form = FigureSearchForm(request.GET)
    wanted = form.cleaned_data if form.is_valid() else {}
    found = [{**row, "uses": _use_words(str(row["key"]))} for row in figures_found(**wanted)]
    figures = Paginator(found, PER_PAGE).get_page(request.GET.get("page"))
    return render(request, "people/figure_list.html", {"form": form, "page_obj": figures})


def _use_words(key: str) -> str:
    return ", ".join(str(USE_LABELS[use]) for use in uses_of(key))


@page("coordinator")
def figure_page(request: HttpRequest, key: str) -> HttpResponse:
    figure = figure_named(key)
    form = FigureForm(request.POST or None, figure=figure)
    if request.method == "POST" and form.is_valid():
        change = attempt(
            form,
            lambda: set_figure(
                key=key,
                value=form.cleaned_data["value"],
                source=form.cleaned_data["source"],
                by=person_of(request),
                at=timezone.now(),
                request_key=posted_key(request),
            ),
        )
        if change is not None:
            messages.success(request, _("Saved. New plans are made with this figure; old ones keep theirs."))
            return redirect("people:figure_page", key=key)
    return form_page(
        request,
        "people/figure_page.html",
        form,
        figure=figure,
        in_force=figure_in_force(key),
        history=figure_history(key),
        uses=[(use, USE_LABELS[use], use in IN_PLANS) for use in uses_of(key)],
    )
