"""The month's batch: its list, its own page, its numbers and materials."""

from collections.abc import Collection
from datetime import date

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from gowngroup.batches import actions
from gowngroup.batches.forms.batches import ChoicesForm, LinesForm, StartBatchForm, months_shown
from gowngroup.batches.models import Batch, Plan
from gowngroup.batches.planner.document import UNREADABLE, StoredPlan
from gowngroup.batches.queries import batches as queries
from gowngroup.batches.queries.batches import OPEN_STATES
from gowngroup.batches.queries.plans import plans_of
from gowngroup.batches.views.claims import page_of
from gowngroup.people.guards import page, person_of
from gowngroup.people.queries import minutes_offered
from gowngroup.records.errors import Refusal
from gowngroup.records.pages import attempt, form_page, posted_key, refused
from gowngroup.wards.queries import first_month_open


@page("packer", methods=("GET",))
def batch_list(request: HttpRequest) -> HttpResponse:
    return render(request, "batches/batch_list.html", {"page_obj": page_of(request, queries.batches())})


@page("coordinator")
def batch_start(request: HttpRequest) -> HttpResponse:
    today, taken = timezone.localdate(), queries.months_taken()
    month = _month_to_plan(today, taken)
    initial = {"hours_offered": minutes_offered(month=month), "month": month.isoformat()}
    form = StartBatchForm(request.POST or None, today=today, taken=taken, initial=initial)
    if form.is_valid():
        batch = attempt(
            form,
            lambda: actions.start_batch(
                month=date.fromisoformat(form.cleaned_data["month"]),
                hours_offered_min=form.cleaned_data["hours_offered"],
                stage_hours=form.stage_hours(),
                by=person_of(request),
                at=timezone.now(),
                request_key=form.cleaned_data["request_key"],
            ),
        )
        if batch is not None:
            messages.success(request, _("The batch is open. Now let it be proposed from the requests."))
            return redirect("batches:batch_page", batch.pk)
    return form_page(request, "batches/batch_start.html", form, open_batches=queries.open_batches())


def _month_to_plan(today: date, taken: Collection[date]) -> date:
    """The first month without a batch from this one on, or from the first one gowns are asked for where that is later."""
    this_month = today.replace(day=1)
    first = max(this_month, first_month_open() or this_month)
    free = (month for month in months_shown(today) if month >= first and month not in taken)
    return next(free, first)


@page("packer", methods=("GET",))
def batch_page(request: HttpRequest, pk: int) -> HttpResponse:
    batch = queries.batch_by_id(pk)
    lines = list(queries.lines_of_batch(batch))
    plan = queries.newest_plan(batch)
    is_open = batch.state in OPEN_STATES
    job = queries.last_job(batch)
    fits = _fits(plan, batch) if is_open and plan is not None else False
    context = {
        "batch": batch,
        "lines": lines,
        "gown_count": sum(line.gown_count for line in lines),
        "is_open": is_open,
        "left_out": queries.left_out(batch) if is_open else [],
        "choices": queries.choices_of(batch),
        "plan": plan,
        "plans": plans_of(batch),
        "fits": fits,
        "is_unreadable": fits is None,
        "job": job,
        "is_being_planned": job is not None and not job.is_finished(),
        "rest": queries.rest_page(batch),
        "kits": queries.kits_by_state(batch),
        "lays_left": queries.lays_left(batch),
        "can_be_discarded": is_open and queries.is_empty(batch),
        "can_close": batch.state == Batch.State.COMMITTED and not queries.kits_left(batch),
    }
    return render(request, "batches/batch_page.html", context)


def _fits(plan: Plan, batch: Batch) -> bool | None:
    """Does a plan still fit its batch? None where it is stored in a form this version does not read."""
    try:
        return StoredPlan.of(plan).fits(batch)
    except UNREADABLE:
        return None


@page("coordinator")
def batch_discard(request: HttpRequest, pk: int) -> HttpResponse:
    try:
        batch = queries.batch_by_id(pk)
    except Http404:
        if request.method == "GET":
            raise
        messages.info(request, _("This batch has been thrown away already."))
        return redirect("batches:batch_list")
    if request.method == "GET":
        return render(request, "batches/batch_discard.html", {"batch": batch})
    try:
        actions.discard_batch(
            batch=batch, by=person_of(request), at=timezone.now(), request_key=posted_key(request)
        )
    except Refusal as refusal:
        return refused(request, refusal, back=reverse("batches:batch_page", args=[pk]))
    messages.success(request, _("The empty batch is gone."))
    return redirect("batches:batch_list")


@page("coordinator", methods=("POST",))
def batch_close(request: HttpRequest, pk: int) -> HttpResponse:
    batch = queries.batch_by_id(pk)
    try:
        actions.close_batch(
            batch=batch, by=person_of(request), at=timezone.now(), request_key=posted_key(request)
        )
    except Refusal as refusal:
        return refused(request, refusal, back=reverse("batches:batch_page", args=[pk]))
    messages.success(request, _("The batch is closed."))
    return redirect("batches:batch_page", pk)


@page("coordinator")
def batch_lines(request: HttpRequest, pk: int) -> HttpResponse:
    batch = queries.batch_by_id(pk)
    form = LinesForm(request.POST or None, batch=batch)
    if form.is_valid():
        changed = attempt(
            form,
            lambda: actions.set_lines(
                batch=batch,
                lines=form.details(),
                hours_offered_min=form.cleaned_data["hours_offered"],
                stage_hours=form.stage_hours(),
                by=person_of(request),
                at=timezone.now(),
                request_key=form.cleaned_data["request_key"],
            ),
        )
        if changed is not None:
            messages.success(request, _("The numbers are kept."))
            return redirect("batches:batch_page", batch.pk)
    return form_page(request, "batches/batch_lines.html", form, batch=batch)


@page("coordinator")
def batch_choices(request: HttpRequest, pk: int) -> HttpResponse:
    batch = queries.batch_by_id(pk)
    form = ChoicesForm(request.POST or None, batch=batch)
    if form.is_valid():
        chosen = attempt(
            form,
            lambda: actions.choose_materials(
                batch=batch,
                chosen=form.chosen(),
                cutting_way=form.cleaned_data["cutting_way"],
                by=person_of(request),
                at=timezone.now(),
                request_key=form.cleaned_data["request_key"],
            ),
        )
        if chosen is not None:
            messages.success(request, _("The materials are chosen, and how the cloth is cut."))
            return redirect("batches:batch_page", batch.pk)
    return form_page(request, "batches/batch_choices.html", form, batch=batch)
