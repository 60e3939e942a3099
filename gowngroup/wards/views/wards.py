"""Hospitals and wards, their rules and shelves."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _

from gowngroup.catalog.models import DesignRevision
from gowngroup.people.guards import page, person_of
from gowngroup.records.pages import attempt, form_page
from gowngroup.wards.actions import (
    add_hospital,
    add_ward,
    change_hospital,
    change_ward,
    pause_ward,
    set_shelf_levels,
)
from gowngroup.wards.forms import HospitalForm, PauseForm, ShelfForm, WardForm
from gowngroup.wards.queries import (
    hospital_by_id,
    hospitals,
    is_paused,
    requests,
    shelf_levels,
    ward_by_id,
    wards,
    wards_short_at_hand,
)


@page("coordinator", "packer", "inspector", "driver", methods=("GET",))
def ward_list(request: HttpRequest) -> HttpResponse:
    search, is_put_by = request.GET.get("search", "")[:80], "put_by" in request.GET
    found, today, is_low = (
        wards(search=search, are_active=not is_put_by),
        timezone.localdate(),
        "low" in request.GET,
    )
    if is_low:
        found = found.filter(pk__in=wards_short_at_hand(on=today).values("pk"))
    page_obj = Paginator(found, 25).get_page(request.GET.get("page"))
    paused = {ward.pk for ward in page_obj if is_paused(ward, on=today)}
    context = {
        "page_obj": page_obj,
        "search": search,
        "is_put_by": is_put_by,
        "is_low": is_low,
        "paused": paused,
    }
    return render(request, "wards/ward_list.html", {**context, "hospitals": hospitals()})


@page("coordinator", "packer", "inspector", "driver", methods=("GET",))
def ward_page(request: HttpRequest, pk: int) -> HttpResponse:
    ward = ward_by_id(pk)
    context = {
        "ward": ward,
        "is_paused": is_paused(ward, on=timezone.localdate()),
        "levels": shelf_levels(ward),
        "closures": [label for value, label in DesignRevision.Closure.choices if value in ward.closures],
        "requests": requests().filter(ward=ward)[:12],
    }
    return render(request, "wards/ward_page.html", context)


@page("coordinator")
def hospital_new(request: HttpRequest) -> HttpResponse:
    form = HospitalForm(request.POST or None)
    if (
        form.is_valid()
        and attempt(form, lambda: add_hospital(by=person_of(request), at=timezone.now(), **form.cleaned_data))
        is not None
    ):
        messages.success(request, _("The hospital is added. Now add its wards."))
        return redirect("wards:ward_new")
    return form_page(request, "wards/hospital_form.html", form, title=_("Add a hospital"))


@page("coordinator")
def hospital_change(request: HttpRequest, pk: int) -> HttpResponse:
    hospital = hospital_by_id(pk)
    form = HospitalForm(request.POST or None, initial={"name": hospital.name, "address": hospital.address})
    if (
        form.is_valid()
        and attempt(
            form,
            lambda: change_hospital(
                hospital=hospital, by=person_of(request), at=timezone.now(), **form.cleaned_data
            ),
        )
        is not None
    ):
        messages.success(request, _("The hospital is changed."))
        return redirect("wards:ward_list")
    return form_page(request, "wards/hospital_form.html", form, title=_("Change the hospital"))


@page("coordinator")
def ward_new(request: HttpRequest) -> HttpResponse:
    if not hospitals().exists():
        messages.info(request, _("Add the hospital first, then its wards."))
        return redirect("wards:hospital_new")
    form = WardForm(request.POST or None, initial={"hospital": hospitals().first()})
    if (
        form.is_valid()
        and (
            ward := attempt(
                form,
                lambda: add_ward(
                    hospital=form.cleaned_data["hospital"],
                    details=form.details(),
                    by=person_of(request),
                    at=timezone.now(),
                    request_key=form.cleaned_data["request_key"],
                ),
            )
        )
        is not None
    ):
        messages.success(request, _("The ward is added."))
        return redirect("wards:ward_page", ward.pk)
    return form_page(request, "wards/ward_form.html", form, title=_("Add a ward"))


@page("coordinator")
def ward_change(request: HttpRequest, pk: int) -> HttpResponse:
    ward = ward_by_id(pk)
    form = WardForm(request.POST or None, ward=ward)
    if (
        form.is_valid()
        and attempt(
            form,
            lambda: change_ward(
                ward=ward,
                details=form.details(),
                is_active=form.cleaned_data["is_active"],
                by=person_of(request),
                at=timezone.now(),
                request_key=form.cleaned_data["request_key"],
            ),
        )
        is not None
    ):
        messages.success(request, _("The ward is changed."))
        return redirect("wards:ward_page", ward.pk)
    return form_page(request, "wards/ward_form.html", form, title=_("Change the ward"), ward=ward)


@page("coordinator")
def ward_pause(request: HttpRequest, pk: int) -> HttpResponse:
    ward = ward_by_id(pk)
    form = PauseForm(request.POST or None, initial={"paused_until": ward.paused_until})
    if (
        form.is_valid()
        and attempt(
            form, lambda: pause_ward(ward=ward, by=person_of(request), at=timezone.now(), **form.cleaned_data)
        )
        is not None
    ):
        is_pause = form.cleaned_data["paused_until"] is not None
        messages.success(
            request, _("Deliveries are paused.") if is_pause else _("The ward takes deliveries again.")
        )
        return redirect("wards:ward_page", ward.pk)
    return form_page(request, "wards/ward_pause.html", form, ward=ward)


@page("coordinator")
def shelf_change(request: HttpRequest, pk: int) -> HttpResponse:
    ward = ward_by_id(pk)
    form = ShelfForm(request.POST or None, ward=ward)
    if (
        form.is_valid()
        and attempt(
            form,
            lambda: set_shelf_levels(
                ward=ward,
                levels=form.levels(),
                by=person_of(request),
                at=timezone.now(),
                request_key=form.cleaned_data["request_key"],
            ),
        )
        is not None
    ):
        messages.success(request, _("The agreed shelf is noted."))
        return redirect("wards:ward_page", ward.pk)
    return form_page(request, "wards/shelf_form.html", form, ward=ward)
