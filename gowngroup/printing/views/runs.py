"""The kit sheets of a batch in one PDF: chosen, followed while they are made, opened."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import get_language
from django.utils.translation import gettext as _

from gowngroup.batches.models import Batch, Kit
from gowngroup.batches.queries.batches import batch_by_id
from gowngroup.people.guards import page, person_of
from gowngroup.people.queries import the_group
from gowngroup.printing import actions, queries
from gowngroup.printing.joining import Part, joined
from gowngroup.printing.print_forms import PrintForm
from gowngroup.printing.tasks import print_sheets
from gowngroup.printing.views.answers import pdf_response
from gowngroup.records.codes import spaced
from gowngroup.records.errors import Refusal
from gowngroup.records.models import Job
from gowngroup.records.pages import posted_key, refused


@page("packer")
def print_run(request: HttpRequest, pk: int) -> HttpResponse:
    batch = batch_by_id(pk)
    form = PrintForm(request.POST or None, batch=batch)
    if form.is_valid():
        return _begun(request, batch, form)
    is_part = bool(request.headers.get("HX-Request"))
    template = "printing/_print_progress.html" if is_part else "printing/print_run.html"
    context = {"batch": batch, "form": form, "is_part": is_part, **_progress(batch)}
    return render(request, template, context, status=422 if form.is_bound else 200)


@page("packer", methods=("POST",))
def print_cancel(request: HttpRequest, pk: int) -> HttpResponse:
    by, key = person_of(request), posted_key(request)
    actions.cancel_print(batch=batch_by_id(pk), by=by, at=timezone.now(), request_key=key)
    messages.success(request, _("The print is cancelled. What is made already is kept."))
    return redirect("printing:print_run", pk)


@page("packer", methods=("POST",))
def print_resume(request: HttpRequest, pk: int) -> HttpResponse:
    by, key = person_of(request), posted_key(request)
    try:
        job = actions.resume_print(batch=batch_by_id(pk), by=by, at=timezone.now(), request_key=key)
    except Refusal as refusal:
        return refused(request, refusal, back=reverse("printing:print_run", args=[pk]))
    return _followed(job)


@page("packer", methods=("GET",))
def print_run_pdf(request: HttpRequest, pk: int) -> HttpResponse:
    job = queries.print_that_is_done(pk)
    files = queries.sheets_of_print(job)
    parts = (
        Part(title=_("Kit %(code)s") % {"code": spaced(file.kit.code)}, content=bytes(file.content))
        for file in files
    )
    title = _("Kit sheets – %(group)s") % {"group": the_group().name}
    is_for_both_sides = request.GET.get("sides") == "both"
    content = joined(parts, title=title, language=get_language() or "en", is_for_both_sides=is_for_both_sides)
    actions.note_given_out(files=files, by=person_of(request), at=timezone.now())
    return pdf_response(content, filename=f"kit-sheets-{pk}.pdf")


def _begun(request: HttpRequest, batch: Batch, form: PrintForm) -> HttpResponse:
    try:
        job = actions.start_print(
            batch=batch,
            kits=form.chosen(),
            by=person_of(request),
            at=timezone.now(),
            request_key=posted_key(request),
        )
    except Refusal as refusal:
        return refused(request, refusal, back=reverse("printing:print_run", args=[batch.pk]))
    return _followed(job)


def _followed(job: Job) -> HttpResponse:
    if job.state == Job.State.WAITING:
        print_sheets.enqueue(job.pk)
    return redirect("printing:print_run", job.subject_id)


def _progress(batch: Batch) -> dict[str, object]:
    job = queries.last_print(batch)
    if job is None:
        return {}
    now, told = timezone.now(), job.progress
    missed = Kit.objects.filter(pk__in=told.get("missed", [])).order_by("number", "pk")
    return {
        "job": job,
        "sheet_count": len(told["kits"]),
        "made_count": len(told.get("files", [])),
        "page_count": told.get("pages", 0),
        "missed": missed,
        "is_interrupted": job.is_interrupted(now),
        "waits_long": job.created_at < now - Job.LONGEST_SILENCE,
    }
