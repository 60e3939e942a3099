"""What lies on the shelf, one lot, and how lots come in."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _

from gowngroup.people.guards import page, person_of
from gowngroup.records.pages import attempt, form_page
from gowngroup.stock.actions import receive_lot
from gowngroup.stock.forms.arrivals import arrival_in
from gowngroup.stock.forms.lots import WASHABLE, ReceiveForm, ShelfFilter
from gowngroup.stock.queries import lot_by_code, lot_ledger, lots_on_shelf, material_by_id

PER_PAGE = 25


@page("coordinator", "packer", methods=("GET",))
def lot_list(request: HttpRequest) -> HttpResponse:
    chosen = ShelfFilter(request.GET)
    chosen.is_valid()
    lots = lots_on_shelf(**chosen.cleaned_data)
    page_obj = Paginator(lots, PER_PAGE).get_page(request.GET.get("page"))
    is_filtered = any(chosen.cleaned_data.values())
    return render(
        request,
        "stock/lot_list.html",
        {"filter": chosen, "page_obj": page_obj, "is_filtered": is_filtered},
    )


@page("coordinator", "packer", methods=("GET",))
def lot_page(request: HttpRequest, code: str) -> HttpResponse:
    lot = lot_by_code(code)
    page_obj = Paginator(lot_ledger(lot), PER_PAGE).get_page(request.GET.get("page"))
    can_be_measured = not lot.material.is_counted and lot.on_hand_amount > 0
    return render(
        request,
        "stock/lot_page.html",
        {
            "lot": lot,
            "page_obj": page_obj,
            "can_be_measured": can_be_measured,
            "is_washable": lot.material.kind in WASHABLE and not lot.material.is_counted,
        },
    )


@page("coordinator", "packer")
def lot_receive(request: HttpRequest, pk: int) -> HttpResponse:
    material = material_by_id(pk)
    arrival = arrival_in(request.GET)
    form = ReceiveForm(
        material,
        request.POST if request.method == "POST" else None,
        initial=arrival.initial(material) if arrival else None,
    )
    if form.is_valid():
        facts = dict(form.cleaned_data)
        lot = attempt(
            form,
            lambda: receive_lot(material=material, by=person_of(request), at=timezone.now(), **facts),
        )
        if lot:
            messages.success(request, _("%(lot)s is on the shelf.") % {"lot": lot})
            return redirect("stock:lot_page", lot.code)
    return form_page(
        request,
        "stock/lot_receive.html",
        form,
        material=material,
        arrival=arrival,
        form_count=arrival.form_count(material) if arrival else 1,
    )
