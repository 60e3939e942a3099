"""Gowns come back from a kit, or come in without one."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from gowngroup.batches.queries import kit_by_code
from gowngroup.gowns.actions import add_gown, take_back
from gowngroup.gowns.forms.returns import GownForm, KitCodeForm, TakeBackForm
from gowngroup.gowns.queries import return_by_id
from gowngroup.people.guards import page, person_of
from gowngroup.records.codes import spaced
from gowngroup.records.pages import attempt, form_page


@page("coordinator", "inspector", "packer", methods=("GET",))
def kit_returns(request: HttpRequest) -> HttpResponse:
    form = KitCodeForm(request.GET if "code" in request.GET else None)
    if form.is_valid():
        return redirect("gowns:kit_return", form.cleaned_data["code"])
    return form_page(request, "gowns/kit_returns.html", form)


@page("coordinator", "inspector", "packer")
def kit_return(request: HttpRequest, code: str) -> HttpResponse:
    kit = kit_by_code(code)
    form = TakeBackForm(kit, request.POST if request.method == "POST" else None)
    if form.is_valid():
        back = attempt(
            form,
            lambda: take_back(kit=kit, by=person_of(request), at=timezone.now(), **form.cleaned_data),
        )
        if back:
            done = ngettext("%(count)d gown is back.", "%(count)d gowns are back.", back.gown_count)
            messages.success(request, done % {"count": back.gown_count})
            return redirect("gowns:return_page", back.pk)
    return form_page(request, "gowns/kit_return.html", form, kit=kit)


@page("coordinator", "inspector", "packer", methods=("GET",))
def return_page(request: HttpRequest, pk: int) -> HttpResponse:
    back = return_by_id(pk)
    return render(
        request, "gowns/return_page.html", {"back": back, "gowns": back.gowns.select_related("size")}
    )


@page("coordinator", "inspector")
def gown_add(request: HttpRequest) -> HttpResponse:
    form = GownForm(request.POST if request.method == "POST" else None)
    if form.is_valid():
        gown = attempt(form, lambda: add_gown(by=person_of(request), at=timezone.now(), **form.cleaned_data))
        if gown:
            messages.success(
                request, _("It has the code %(code)s. Write it on its bag.") % {"code": spaced(gown.code)}
            )
            return redirect("gowns:gown_page", gown.code)
    return form_page(request, "gowns/gown_add.html", form)
