"""What wards ask for, month by month."""

from datetime import date

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from gowngroup.catalog.models import Purpose
from gowngroup.people.guards import page, person_of
from gowngroup.records.errors import Refusal
from gowngroup.records.pages import attempt, form_page, posted_key, refused
from gowngroup.records.paging import LongPaginator
from gowngroup.wards.actions import (
    change_request,
    enter_request,
    repeat_standing_requests,
    withdraw_request,
)
from gowngroup.wards.forms import RequestForm, month_choices, purpose_label
from gowngroup.wards.models import WardRequest
from gowngroup.wards.planner import mix_hints
from gowngroup.wards.queries import months_asked_for, request_by_id, requests, usual_counts, ward_by_id, wards


@page("coordinator", methods=("GET",))
def request_list(request: HttpRequest) -> HttpResponse:
    search, state = request.GET.get("search", "")[:80], request.GET.get("state", "")
    month = _month(request.GET.get("month", ""))
    found = requests(month=month, search=search, state=state if state in WardRequest.State.values else "")
    context = {
        "page_obj": LongPaginator(found, 25).get_page(request.GET.get("page")),
        "search": search,
        "state": state,
        "month": month,
        "months": months_asked_for(),
        "states": WardRequest.State.choices,
        "repeat_months": month_choices(timezone.localdate())[:3],
        "has_wards": wards().exists(),
    }
    return render(request, "wards/request_list.html", context)


def _month(typed: str) -> date | None:
    try:
        return date.fromisoformat(typed).replace(day=1)
    except ValueError:
        return None


@page("coordinator", methods=("GET",))
def request_start(request: HttpRequest) -> HttpResponse:
    page_obj = Paginator(wards(search=request.GET.get("search", "")[:80]), 25).get_page(
        request.GET.get("page")
    )
    return render(request, "wards/request_start.html", {"page_obj": page_obj})


@page("coordinator")
def request_new(request: HttpRequest, pk: int) -> HttpResponse:
    ward = ward_by_id(pk)
    initial = {"is_urgent": "urgent" in request.GET}
    form = RequestForm(request.POST or None, ward=ward, today=timezone.localdate(), initial=initial)
    if (
        form.is_valid()
        and (
            entered := attempt(
                form,
                lambda: enter_request(
                    ward=ward,
                    month=date.fromisoformat(form.cleaned_data["month"]),
                    lines=form.lines(),
                    is_urgent=form.cleaned_data["is_urgent"],
                    is_standing=form.cleaned_data["is_standing"],
                    note=form.cleaned_data["note"],
                    by=person_of(request),
                    at=timezone.now(),
                    request_key=form.cleaned_data["request_key"],
                ),
            )
        )
        is not None
    ):
        messages.success(request, _("The request is entered."))
        return redirect("wards:request_page", entered.pk)
    return _request_form(request, form, ward=ward)


def _request_form(request: HttpRequest, form: RequestForm, **context: object) -> HttpResponse:
    purposes = [(purpose.value, purpose_label(purpose.value)) for purpose in Purpose]
    return form_page(request, "wards/request_form.html", form, purposes=purposes, **context)


@page("coordinator", methods=("GET",))
def request_page(request: HttpRequest, pk: int) -> HttpResponse:
    found = request_by_id(pk)
    lines = sorted(found.lines.all(), key=lambda line: line.set_number or 0)
    usual = () if found.is_urgent else usual_counts(found.ward, before=found.month)
    context = {
        "ward_request": found,
        "lines": lines,
        "hints": mix_hints(lines, usual_counts=usual),
        "asked_count": sum(line.gown_count for line in lines),
        "open_count": sum(line.open_count for line in lines),
        "is_open": found.state == WardRequest.State.OPEN,
    }
    return render(request, "wards/request_page.html", context)


@page("coordinator")
def request_change(request: HttpRequest, pk: int) -> HttpResponse:
    found = request_by_id(pk)
    form = RequestForm(request.POST or None, ward=found.ward, today=timezone.localdate(), request=found)
    if (
        form.is_valid()
        and attempt(
            form,
            lambda: change_request(
                request=found,
                lines=form.lines(),
                is_standing=form.cleaned_data["is_standing"],
                note=form.cleaned_data["note"],
                by=person_of(request),
                at=timezone.now(),
                request_key=form.cleaned_data["request_key"],
            ),
        )
        is not None
    ):
        messages.success(request, _("The request is changed."))
        return redirect("wards:request_page", found.pk)
    return _request_form(request, form, ward=found.ward, ward_request=found)


@page("coordinator", methods=("POST",))
def request_withdraw(request: HttpRequest, pk: int) -> HttpResponse:
    found = request_by_id(pk)
    try:
        withdraw_request(
            request=found, by=person_of(request), at=timezone.now(), request_key=posted_key(request)
        )
    except Refusal as refusal:
        return refused(request, refusal, back=reverse("wards:request_page", args=[found.pk]))
    messages.success(request, _("The request is withdrawn."))
    return redirect("wards:request_page", found.pk)


@page("coordinator", methods=("POST",))
def request_repeat(request: HttpRequest) -> HttpResponse:
    month = _month(request.POST.get("month", "")) or timezone.localdate().replace(day=1)
    made = repeat_standing_requests(month=month, by=person_of(request), at=timezone.now())
    messages.success(
        request,
        ngettext("%(count)d request is repeated.", "%(count)d requests are repeated.", len(made))
        % {"count": len(made)},
    )
    return redirect(f"{reverse('wards:request_list')}?month={month.isoformat()}")
