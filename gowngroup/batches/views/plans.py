"""Planning a batch, looking at its plan, committing it."""

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django_htmx.http import HttpResponseClientRedirect

from gowngroup.batches import actions
from gowngroup.batches.models import Batch
from gowngroup.batches.planner.document import UNREADABLE, StoredPlan
from gowngroup.batches.planner.progress import Progress
from gowngroup.batches.planner.progress_words import improvements_of, progress_page
from gowngroup.batches.planner.reading import plan_page as page_of_plan
from gowngroup.batches.planner.rest import is_rest_still_there
from gowngroup.batches.planner.shopping import kit_runs
from gowngroup.batches.planner.why import TOPICS, why_page
from gowngroup.batches.planner.words import unchosen_parts
from gowngroup.batches.queries.batches import batch_by_id, is_being_improved, last_job
from gowngroup.batches.queries.plans import (
    is_current,
    kit_codes,
    material_names,
    may_be_committed,
    newest_plan_of_all,
    plan_by_id,
    plan_of_job,
)
from gowngroup.batches.tasks import plan_batch
from gowngroup.people.guards import page, person_of
from gowngroup.records.errors import Refusal
from gowngroup.records.models import Job
from gowngroup.records.pages import posted_key, refused


@page("coordinator", methods=("POST",))
def plan_make(request: HttpRequest, pk: int) -> HttpResponse:
    batch = batch_by_id(pk)
    try:
        job = actions.start_planning(
            batch=batch, by=person_of(request), at=timezone.now(), request_key=posted_key(request)
        )
    except Refusal as refusal:
        return refused(request, refusal, back=reverse("batches:batch_page", args=[pk]))
    if job.state == Job.State.WAITING:
        plan_batch.enqueue(job.pk)
    return redirect("batches:plan_progress", pk)


@page("coordinator", methods=("POST",))
def plan_rest(request: HttpRequest, pk: int) -> HttpResponse:
    by, key = person_of(request), posted_key(request)
    try:
        job = actions.start_replanning(batch=batch_by_id(pk), by=by, at=timezone.now(), request_key=key)
    except Refusal as refusal:
        return refused(request, refusal, back=reverse("batches:batch_page", args=[pk]))
    if job.state == Job.State.WAITING:
        plan_batch.enqueue(job.pk)
    return redirect("batches:plan_progress", pk)


@page("coordinator", methods=("GET",))
def plan_progress(request: HttpRequest, pk: int) -> HttpResponse:
    batch = batch_by_id(pk)
    job, now = last_job(batch), timezone.now()
    if job is None:
        return redirect("batches:batch_page", pk)
    best_plan = plan_of_job(job)
    if job.state == Job.State.DONE and best_plan is not None:
        url = reverse("batches:plan_page", args=[best_plan.pk])
        return HttpResponseClientRedirect(url) if request.headers.get("HX-Request") else redirect(url)
    progress = Progress.of(job.progress)
    template = "_plan_progress.html" if request.headers.get("HX-Request") else "plan_progress.html"
    context = {
        "batch": batch,
        "job": job,
        "progress": progress_page(progress, material_names(progress.lot_codes)),
        "best_plan": best_plan,
        "is_interrupted": job.is_interrupted(now),
        "waits_long": job.created_at < now - Job.LONGEST_SILENCE,
    }
    return render(request, f"batches/{template}", context)


@page("coordinator", methods=("POST",))
def plan_stop(request: HttpRequest, pk: int) -> HttpResponse:
    by, key = person_of(request), posted_key(request)
    actions.stop_planning(batch=batch_by_id(pk), by=by, at=timezone.now(), request_key=key)
    return redirect("batches:plan_progress", pk)


@page("coordinator", methods=("POST",))
def plan_resume(request: HttpRequest, pk: int) -> HttpResponse:
    by, key = person_of(request), posted_key(request)
    try:
        job = actions.resume_planning(batch=batch_by_id(pk), by=by, at=timezone.now(), request_key=key)
    except Refusal as refusal:
        return refused(request, refusal, back=reverse("batches:plan_progress", args=[pk]))
    if job.state == Job.State.WAITING:
        plan_batch.enqueue(job.pk)
    return redirect("batches:plan_progress", pk)


@page("coordinator", methods=("POST",))
def plan_cancel(request: HttpRequest, pk: int) -> HttpResponse:
    batch = batch_by_id(pk)
    actions.cancel_planning(
        batch=batch, by=person_of(request), at=timezone.now(), request_key=posted_key(request)
    )
    messages.success(request, _("The planning is cancelled."))
    return redirect("batches:batch_page", pk)


@page("packer", methods=("GET",))
def plan_page(request: HttpRequest, pk: int) -> HttpResponse:
    plan = plan_by_id(pk)
    is_open = may_be_committed(plan)
    try:
        stored = StoredPlan.of(plan)
        content = page_of_plan(stored, kit_codes(plan) if plan.committed_at else {})
        improvements = improvements_of(stored.document)
    except UNREADABLE:
        return render(request, "batches/plan_unreadable.html", {"plan": plan})
    context = {
        "plan": plan,
        "batch": plan.batch,
        "content": content,
        "unchosen": unchosen_parts(stored) if is_open else (),
        "improvements": improvements,
        "topics": TOPICS.values(),
        "is_improving": is_open and is_being_improved(plan, at=timezone.now()),
        "is_open": is_open,
        "fits": is_open and stored.fits(plan.batch) and is_rest_still_there(stored),
        "rest": stored.rest,
        "kept_kits": kit_runs(map(str, stored.rest.kept_numbers)) if stored.rest else "",
        "can_plan_rest": plan.batch.state == Batch.State.COMMITTED and is_current(plan),
        "follower": plan.followers.filter(committed_at__isnull=False).first(),
        "again_url": reverse(
            f"batches:{'plan_rest' if plan.replaces_id else 'plan_make'}", args=[plan.batch_id]
        ),
        "cutting_way": Batch.CuttingWay(stored.cutting_way).label,
        "cut_um": stored.document["settings"]["cut_um"],
    }
    return render(request, "batches/plan_page.html", context)


@page("packer", methods=("GET",))
def plan_why(request: HttpRequest, pk: int, what: str) -> HttpResponse:
    plan, topic = plan_by_id(pk), TOPICS.get(what)
    if topic is None:
        raise Http404
    try:
        content = why_page(StoredPlan.of(plan), topic)
    except UNREADABLE:
        return render(request, "batches/plan_unreadable.html", {"plan": plan})
    context = {"plan": plan, "content": content, "topics": TOPICS.values()}
    return render(request, "batches/plan_why.html", context)


@page("packer", methods=("GET",))
def newest_why(request: HttpRequest, what: str) -> HttpResponse:
    plan = newest_plan_of_all()
    if plan is None or what not in TOPICS:
        raise Http404
    return redirect("batches:plan_why", plan.pk, what)


@page("coordinator", methods=("POST",))
def plan_commit(request: HttpRequest, pk: int) -> HttpResponse:
    plan = plan_by_id(pk)
    try:
        actions.commit_plan(
            plan=plan, by=person_of(request), at=timezone.now(), request_key=posted_key(request)
        )
    except Refusal as refusal:
        return refused(request, refusal, back=reverse("batches:plan_page", args=[pk]))
    messages.success(request, _("The batch is under way: its cloth is held and its kits are made."))
    return redirect("batches:batch_page", plan.batch_id)


@page("coordinator", methods=("POST",))
def plan_drop(request: HttpRequest, pk: int) -> HttpResponse:
    plan = plan_by_id(pk)
    try:
        actions.drop_plan(
            plan=plan, by=person_of(request), at=timezone.now(), request_key=posted_key(request)
        )
    except Refusal as refusal:
        return refused(request, refusal, back=reverse("batches:plan_page", args=[pk]))
    messages.success(request, _("The plan is thrown away; the batch itself stays."))
    return redirect("batches:batch_page", plan.batch_id)
