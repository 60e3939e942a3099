"""Sizes, pleaters, and a catalog to start from."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from gowngroup.catalog.actions import (
    add_pleater,
    add_size,
    calibrate_pleater,
    change_pleater,
    change_size,
    start_catalog,
    use_pleater,
)
from gowngroup.catalog.forms.sizes import CalibrateForm, PleaterForm, SizeForm
from gowngroup.catalog.models import PleaterProfile, Size
from gowngroup.catalog.queries import pleaters, sizes
from gowngroup.people.guards import EVERYONE, page, person_of
from gowngroup.records.errors import Refusal
from gowngroup.records.pages import attempt, form_page, posted_key, refused
from gowngroup.records.written import written_number


@page(*EVERYONE, methods=("GET",))
def size_list(request: HttpRequest) -> HttpResponse:
    return render(request, "catalog/size_list.html", {"sizes": sizes()})


@page("coordinator")
def size_new(request: HttpRequest) -> HttpResponse:
    form = SizeForm(request.POST or None)
    if (
        form.is_valid()
        and attempt(form, lambda: add_size(by=person_of(request), at=timezone.now(), **form.cleaned_data))
        is not None
    ):
        messages.success(request, _("The size is added."))
        return redirect("catalog:size_list")
    return form_page(request, "catalog/size_form.html", form, title=_("Add a size"))


@page("coordinator")
def size_change(request: HttpRequest, pk: int) -> HttpResponse:
    size = get_object_or_404(Size, pk=pk)
    form = SizeForm(request.POST or None, size=size)
    if (
        form.is_valid()
        and attempt(
            form,
            lambda: change_size(size=size, by=person_of(request), at=timezone.now(), **form.cleaned_data),
        )
        is not None
    ):
        messages.success(request, _("The size is changed; plans made before keep their measures."))
        return redirect("catalog:size_list")
    return form_page(request, "catalog/size_form.html", form, title=_("Change the size"), size=size)


@page("coordinator", methods=("POST",))
def catalog_start(request: HttpRequest) -> HttpResponse:
    try:
        start_catalog(by=person_of(request), at=timezone.now(), request_key=posted_key(request))
    except Refusal as refusal:
        return refused(request, refusal, back=reverse("catalog:design_list"))
    messages.success(request, _("The catalog has ten sizes, three charts and three designs to start from."))
    return redirect("catalog:design_list")


@page("coordinator", "packer", methods=("GET",))
def pleater_list(request: HttpRequest) -> HttpResponse:
    return render(request, "catalog/pleater_list.html", {"pleaters": pleaters()})


@page("coordinator")
def pleater_new(request: HttpRequest) -> HttpResponse:
    form = PleaterForm(request.POST or None)
    if (
        form.is_valid()
        and attempt(form, lambda: add_pleater(by=person_of(request), at=timezone.now(), **form.measures()))
        is not None
    ):
        messages.success(request, _("The pleater is added."))
        return redirect("catalog:pleater_list")
    return form_page(request, "catalog/pleater_form.html", form, title=_("Add a pleater"))


@page("coordinator")
def pleater_change(request: HttpRequest, pk: int) -> HttpResponse:
    pleater = get_object_or_404(PleaterProfile, pk=pk)
    form = PleaterForm(request.POST or None, pleater=pleater)
    if (
        form.is_valid()
        and attempt(
            form,
            lambda: change_pleater(
                pleater=pleater, by=person_of(request), at=timezone.now(), **form.measures()
            ),
        )
        is not None
    ):
        messages.success(request, _("The pleater is changed."))
        return redirect("catalog:pleater_list")
    title = _("Change the pleater")
    return form_page(request, "catalog/pleater_form.html", form, title=title, pleater=pleater)


@page("coordinator", "packer")
def pleater_calibrate(request: HttpRequest, pk: int) -> HttpResponse:
    pleater = get_object_or_404(PleaterProfile, pk=pk)
    form = CalibrateForm(request.POST or None)
    if form.is_valid():
        changed = attempt(
            form,
            lambda: calibrate_pleater(
                pleater=pleater, by=person_of(request), at=timezone.now(), **form.cleaned_data
            ),
        )
        if changed is not None:
            values = {"now": _millimetres(changed.take_up_um), "before": _millimetres(pleater.take_up_um)}
            done = _("The pleater is calibrated: %(now)s mm of flat cloth per pleat, before %(before)s mm.")
            messages.success(request, done % values)
            return redirect("catalog:pleater_list")
    title = _("Calibrate the pleater")
    return form_page(request, "catalog/pleater_form.html", form, title=title, pleater=pleater)


def _millimetres(length_um: int) -> str:
    return written_number(f"{length_um / 1000:.2f}")


@page("coordinator", methods=("POST",))
def pleater_use(request: HttpRequest, pk: int) -> HttpResponse:
    pleater = get_object_or_404(PleaterProfile, pk=pk)
    use_pleater(pleater=pleater, by=person_of(request), at=timezone.now(), request_key=posted_key(request))
    messages.success(request, _("Plans are worked out with this pleater from now on."))
    return redirect("catalog:pleater_list")
