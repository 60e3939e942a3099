"""Working a plan out, in the background while a person waits, and storing it whole."""

from datetime import datetime, timedelta

from django.db import IntegrityError, transaction
from django.db.models import Max
from django.utils.translation import gettext as _

from gowngroup.batches.actions.batches import hold_open
from gowngroup.batches.models import Batch, Plan
from gowngroup.batches.planner.document import FORMAT_VERSION, StoredPlan, document_of
from gowngroup.batches.planner.order import Prepared, prepared
from gowngroup.catalog.actions import mark_revision_used
from gowngroup.people.models import Person
from gowngroup.planning.batch_plan import plan_batch
from gowngroup.records.actions import action, record
from gowngroup.records.errors import Refusal, Taken
from gowngroup.records.models import Job

JOB_KIND = "plan_batch"
GIVEN_UP_AFTER = timedelta(minutes=15)  # a worker that was switched off leaves its job behind
RUNNING = (Job.State.WAITING, Job.State.RUNNING)


class NothingToPlan(Refusal):
    """The batch makes no gowns."""


class BeingPlanned(Taken):
    """The batch is being planned already."""


class PlanningCancelled(Taken):
    """Somebody cancelled the planning before it was done."""


class NumbersChanged(Taken):
    """The batch or a design was changed while its plan was being worked out."""


@action
def start_planning(*, batch: Batch, by: Person, at: datetime, request_key: str = "") -> Job:
    """Note that a batch is to be planned; one job at a time."""
    hold_open(batch)
    _require_gowns(batch)
    _give_up_old(batch, at)
    try:
        with transaction.atomic():
            job = Job.objects.create(kind=JOB_KIND, subject_id=batch.pk, started_by=by, created_at=at)
    except IntegrityError as error:
        raise BeingPlanned(_("This batch is being planned already; please wait for that plan.")) from error
    record(by=by, at=at, did="start_planning", subject=batch)
    return job


def _require_gowns(batch: Batch) -> None:
    if not batch.lines.filter(gown_count__gt=0).exists():
        raise NothingToPlan(
            _("This batch makes no gowns yet: propose it from the requests or add lines first.")
        )


def _give_up_old(batch: Batch, at: datetime) -> None:
    Job.objects.filter(
        kind=JOB_KIND, subject_id=batch.pk, state__in=RUNNING, created_at__lt=at - GIVEN_UP_AFTER
    ).update(state=Job.State.FAILED, finished_at=at, message=_("It was interrupted; please plan again."))


@action
def begin_job(*, job: Job) -> bool:
    """Take up a waiting job; False where it has been cancelled or begun already."""
    return bool(Job.objects.filter(pk=job.pk, state=Job.State.WAITING).update(state=Job.State.RUNNING))


@action
def end_job(*, job: Job, at: datetime, plan: Plan | None = None, message: str = "") -> None:
    """Note how a job ended, unless it had been cancelled."""
    state = Job.State.DONE if plan else Job.State.FAILED
    Job.objects.filter(pk=job.pk, state__in=RUNNING).update(
        state=state, finished_at=at, message=message[:500], result_id=plan.pk if plan else None
    )


@action
def cancel_planning(*, batch: Batch, by: Person, at: datetime, request_key: str = "") -> None:
    """Stop waiting for a plan; what is worked out afterwards is thrown away."""
    jobs = Job.objects.filter(kind=JOB_KIND, subject_id=batch.pk, state__in=RUNNING)
    if jobs.update(state=Job.State.FAILED, finished_at=at, message=_("The planning was cancelled.")):
        record(by=by, at=at, did="cancel_planning", subject=batch)


def make_plan(*, batch: Batch, by: Person, at: datetime, job: Job | None = None) -> Plan:
    """Work a plan out with no transaction open, then store it whole.

    Designs are frozen before the sums are done, so that what was planned is what will be sewn.
    """
    first = prepared(batch)
    if not first.lines:
        _require_gowns(batch)
    freeze_designs(worked_out=first, by=by, at=at)
    # Drafts are kept, so reading everything once more is quick, and nothing can change it now.
    ready = prepared(batch)
    plan = plan_batch(ready.order)
    return store_plan(batch=batch, document=document_of(ready, plan), job=job, by=by, at=at)


@action
def freeze_designs(*, worked_out: Prepared, by: Person, at: datetime) -> None:
    """Freeze every design revision a plan will rest on."""
    revisions = {each.line.design_revision_id: each.line.design_revision for each in worked_out.kits}
    for pk in sorted(revisions):
        mark_revision_used(revision=revisions[pk], by=by, at=at)


@action
def store_plan(
    *, batch: Batch, document: dict[str, object], job: Job | None = None, by: Person, at: datetime
) -> Plan:
    """Keep a plan with everything it was worked out from, unless the batch has changed meanwhile."""
    hold_open(batch)
    if job is not None and not Job.objects.filter(pk=job.pk, state=Job.State.RUNNING).exists():
        raise PlanningCancelled(_("The planning was cancelled."))
    if not StoredPlan(document=document).fits(batch):
        raise NumbersChanged(
            _("The batch was changed while its plan was being worked out; please plan again.")
        )
    last = batch.plans.aggregate(last=Max("number"))["last"] or 0
    plan = Plan.objects.create(
        batch=batch,
        number=last + 1,
        format_version=FORMAT_VERSION,
        document=document,
        made_at=at,
        made_by=by,
    )
    Batch.objects.filter(pk=batch.pk).update(state=Batch.State.PLANNED)
    batch.refresh_from_db()
    record(by=by, at=at, did="make_plan", subject=plan, changes={"batch_id": batch.pk})
    return plan
