"""The pages of drop-offs: start, pack, send, sign for, bring back."""

from collections.abc import Callable

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from gowngroup.deliveries import actions, queries
from gowngroup.deliveries.forms import BackForm, Filter, ScanForm, SignedForm, StartForm
from gowngroup.deliveries.models import DropOff
from gowngroup.gowns.queries import gown_by_code
from gowngroup.people.guards import page, person_of
from gowngroup.records.codes import spaced
from gowngroup.records.errors import Refusal
from gowngroup.records.pages import attempt, form_page, posted_key, refused
from gowngroup.records.paging import LongPaginator

PER_PAGE = 25
PACKING = ("coordinator", "packer", "inspector")
DRIVING = (*PACKING, "driver")


@page(*DRIVING, methods=("GET",))
def drop_off_list(request: HttpRequest) -> HttpResponse:
    chosen = Filter(request.GET)
    wanted = chosen.cleaned_data if chosen.is_valid() else {}
    found = queries.drop_offs(person_of(request), **wanted)
    context = {
        "page_obj": LongPaginator(found, PER_PAGE).get_page(request.GET.get("page")),
        "filter": chosen,
        "is_filtered": any(wanted.values()),
        "urgent": queries.urgent_requests(),
    }
    return render(request, "deliveries/drop_off_list.html", context)


@page(*PACKING)
def drop_off_start(request: HttpRequest) -> HttpResponse:
    posted = request.POST if request.method == "POST" else None
    form = StartForm(posted, initial={"planned_on": timezone.localdate(), "ward": request.GET.get("ward")})
    if form.is_valid():
        drop_off = attempt(
            form,
            lambda: actions.start_drop_off(by=person_of(request), at=timezone.now(), **form.cleaned_data),
        )
        if drop_off:
            return redirect("deliveries:drop_off_page", drop_off.pk)
    return form_page(request, "deliveries/drop_off_start.html", form)


def _page_context(drop_off: DropOff) -> dict[str, object]:
    return {
        "drop_off": drop_off,
        "rows": queries.packed_rows(drop_off),
        "differences": queries.noted_differences(drop_off),
        "wanted": queries.still_wanted(drop_off.ward) if drop_off.state == DropOff.State.PACKING else (),
    }


@page(*DRIVING, methods=("GET",))
def drop_off_page(request: HttpRequest, pk: int) -> HttpResponse:
    drop_off = queries.drop_off_for(person_of(request), pk)
    return render(request, "deliveries/drop_off_page.html", {"scan": ScanForm(), **_page_context(drop_off)})


@page(*PACKING, methods=("POST",))
def gown_pack(request: HttpRequest, pk: int) -> HttpResponse:
    drop_off = queries.drop_off_for(person_of(request), pk)
    form = ScanForm(request.POST)
    if form.is_valid():
        row = attempt(
            form,
            lambda: actions.pack_gown(
                drop_off=drop_off,
                gown=form.cleaned_data["code"],
                by=person_of(request),
                at=timezone.now(),
                request_key=form.cleaned_data["request_key"],
            ),
        )
        if row:
            messages.success(
                request,
                _("%(gown)s goes into box %(box)d.") % {"gown": spaced(row.gown.code), "box": row.box_number},
            )
            return redirect("deliveries:drop_off_page", pk)
    return form_page(request, "deliveries/drop_off_page.html", form, scan=form, **_page_context(drop_off))


def _run(request: HttpRequest, pk: int, run: Callable[[DropOff], object], done: str) -> HttpResponse:
    drop_off = queries.drop_off_for(person_of(request), pk)
    try:
        run(drop_off)
    except Refusal as refusal:
        return refused(request, refusal, back=reverse("deliveries:drop_off_page", args=[pk]))
    messages.success(request, done)
    return redirect("deliveries:drop_off_page", pk)


@page(*PACKING, methods=("POST",))
def gown_unpack(request: HttpRequest, pk: int, code: str) -> HttpResponse:
    gown = gown_by_code(code)
    return _run(
        request,
        pk,
        lambda drop_off: actions.unpack_gown(
            drop_off=drop_off,
            gown=gown,
            by=person_of(request),
            at=timezone.now(),
            request_key=posted_key(request),
        ),
        _("%(gown)s is back on the shelf.") % {"gown": spaced(gown.code)},
    )


@page(*PACKING, methods=("POST",))
def drop_off_fill(request: HttpRequest, pk: int) -> HttpResponse:
    return _run(
        request,
        pk,
        lambda drop_off: actions.fill_drop_off(
            drop_off=drop_off, by=person_of(request), at=timezone.now(), request_key=posted_key(request)
        ),
        _("Packed from the shelf. Please check the boxes."),
    )


@page(*PACKING, methods=("POST",))
def drop_off_send(request: HttpRequest, pk: int) -> HttpResponse:
    return _run(
        request,
        pk,
        lambda drop_off: actions.send_drop_off(
            drop_off=drop_off, by=person_of(request), at=timezone.now(), request_key=posted_key(request)
        ),
        _("It has its receipt number. Print the receipt in two copies."),
    )


@page(*PACKING, methods=("POST",))
def drop_off_call_off(request: HttpRequest, pk: int) -> HttpResponse:
    return _run(
        request,
        pk,
        lambda drop_off: actions.call_drop_off_off(
            drop_off=drop_off, by=person_of(request), at=timezone.now(), request_key=posted_key(request)
        ),
        _("Called off. Its gowns are on the shelf again."),
    )


@page(*DRIVING)
def drop_off_signed(request: HttpRequest, pk: int) -> HttpResponse:
    drop_off = queries.drop_off_for(person_of(request), pk)
    lines = queries.receipt_lines(drop_off)
    form = SignedForm(lines, request.POST if request.method == "POST" else None)
    if form.is_valid():
        received = attempt(
            form,
            lambda: actions.receive_drop_off(
                drop_off=drop_off,
                signed_name=form.cleaned_data["signed_name"],
                differences=form.differences,
                by=person_of(request),
                at=timezone.now(),
                request_key=form.cleaned_data["request_key"],
            ),
        )
        if received:
            messages.success(request, _("The ward has it. Thank you."))
            return redirect("deliveries:drop_off_page", pk)
    return form_page(request, "deliveries/drop_off_signed.html", form, drop_off=drop_off)


@page(*DRIVING)
def drop_off_back(request: HttpRequest, pk: int) -> HttpResponse:
    drop_off = queries.drop_off_for(person_of(request), pk)
    form = BackForm(request.POST if request.method == "POST" else None)
    if form.is_valid():
        back = attempt(
            form,
            lambda: actions.bring_drop_off_back(
                drop_off=drop_off, by=person_of(request), at=timezone.now(), **form.cleaned_data
            ),
        )
        if back:
            messages.success(request, _("Its gowns are on the shelf again."))
            return redirect("deliveries:drop_off_page", pk)
    return form_page(request, "deliveries/drop_off_back.html", form, drop_off=drop_off)


@page(*PACKING, methods=("POST",))
def urgent_serve(request: HttpRequest, pk: int) -> HttpResponse:
    asked = queries.urgent_request(pk)
    try:
        drop_off = actions.serve_urgent_request(
            request=asked,
            driver=None,
            by=person_of(request),
            at=timezone.now(),
            request_key=posted_key(request),
        )
    except Refusal as refusal:
        return refused(request, refusal, back=reverse("deliveries:drop_off_list"))
    messages.success(request, _("Packed from the shelf for today. Please check the box."))
    return redirect("deliveries:drop_off_page", drop_off.pk)
