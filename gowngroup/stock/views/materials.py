"""The list of materials, and of those who give."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _

from gowngroup.people.guards import page, person_of
from gowngroup.records.pages import attempt, form_page
from gowngroup.stock.actions import add_donor, add_material, change_donor, change_material
from gowngroup.stock.forms.materials import (
    DonorFilter,
    DonorForm,
    MaterialChangeForm,
    MaterialFilter,
    MaterialForm,
)
from gowngroup.stock.queries import donor_by_id, donors, material_by_id, materials

PER_PAGE = 25


@page("coordinator", "packer", methods=("GET",))
def material_list(request: HttpRequest) -> HttpResponse:
    chosen = MaterialFilter(request.GET)
    chosen.is_valid()
    page_obj = Paginator(materials(**chosen.cleaned_data), PER_PAGE).get_page(request.GET.get("page"))
    is_filtered = any(chosen.cleaned_data.values())
    return render(
        request,
        "stock/material_list.html",
        {"filter": chosen, "page_obj": page_obj, "is_filtered": is_filtered},
    )


@page("coordinator", "packer")
def material_add(request: HttpRequest) -> HttpResponse:
    form = MaterialForm(request.POST if request.method == "POST" else None)
    if form.is_valid():
        material = attempt(
            form, lambda: add_material(by=person_of(request), at=timezone.now(), **form.cleaned_data)
        )
        if material:
            messages.success(
                request, _("%(material)s is on the list. Now say what came in.") % {"material": material}
            )
            return redirect("stock:lot_receive", material.pk)
    return form_page(request, "stock/material_form.html", form, material=None)


@page("coordinator", "packer")
def material_change(request: HttpRequest, pk: int) -> HttpResponse:
    material = material_by_id(pk)
    form = MaterialChangeForm(material, request.POST if request.method == "POST" else None)
    if (
        form.is_valid()
        and attempt(
            form,
            lambda: change_material(
                material=material, by=person_of(request), at=timezone.now(), **form.cleaned_data
            ),
        )
        is not None
    ):
        messages.success(request, _("Noted."))
        return redirect("stock:material_list")
    return form_page(request, "stock/material_form.html", form, material=material)


@page("coordinator", "packer", methods=("GET",))
def donor_list(request: HttpRequest) -> HttpResponse:
    chosen = DonorFilter(request.GET)
    chosen.is_valid()
    page_obj = Paginator(donors(**chosen.cleaned_data), PER_PAGE).get_page(request.GET.get("page"))
    return render(
        request,
        "stock/donor_list.html",
        {"filter": chosen, "page_obj": page_obj, "is_filtered": any(chosen.cleaned_data.values())},
    )


@page("coordinator", "packer")
def donor_add(request: HttpRequest) -> HttpResponse:
    form = DonorForm(request.POST if request.method == "POST" else None)
    if (
        form.is_valid()
        and attempt(form, lambda: add_donor(by=person_of(request), at=timezone.now(), **form.cleaned_data))
        is not None
    ):
        messages.success(request, _("Noted, with thanks."))
        return redirect("stock:donor_list")
    return form_page(request, "stock/donor_form.html", form, donor=None)


@page("coordinator", "packer")
def donor_change(request: HttpRequest, pk: int) -> HttpResponse:
    donor = donor_by_id(pk)
    form = DonorForm(request.POST if request.method == "POST" else None, donor=donor)
    if (
        form.is_valid()
        and attempt(
            form,
            lambda: change_donor(donor=donor, by=person_of(request), at=timezone.now(), **form.cleaned_data),
        )
        is not None
    ):
        messages.success(request, _("Noted."))
        return redirect("stock:donor_list")
    return form_page(request, "stock/donor_form.html", form, donor=donor)
