"""The job of planning a batch: begun, followed, stopped with its best plan kept, cancelled, gone on with."""

from collections.abc import Mapping
from datetime import datetime, timedelta

from django.db import IntegrityError, models, transaction
from django.db.models import F
from django.utils.translation import gettext as _

from gowngroup.batches.actions.batches import hold_open
from gowngroup.batches.models import Batch, Plan
from gowngroup.batches.queries.plans import plan_of_job
from gowngroup.people.models import Person
from gowngroup.records.actions import action, record
from gowngroup.records.errors import Refusal, Taken
from gowngroup.records.models import Job

JOB_KIND = "plan_batch"
GIVEN_UP_AFTER = timedelta(minutes=15)  # a job no worker has taken up by then is not waited for any more
RUNNING = (Job.State.WAITING, Job.State.RUNNING)


class NothingToPlan(Refusal):
    """The batch makes no gowns."""


class BeingPlanned(Taken):
    """The batch is being planned already."""


class PlanningCancelled(Taken):
    """Somebody cancelled or stopped the planning, or another worker has taken it up."""


class NotInterrupted(Taken):
    """The planning runs, or has ended, so that there is nothing to go on with."""


@action
def start_planning(*, batch: Batch, by: Person, at: datetime, request_key: str = "") -> Job:
    """Note that a batch is to be planned; one job at a time."""
    hold_open(batch)
    require_gowns(batch)
    job = new_job(batch, by=by, at=at)
    record(by=by, at=at, did="start_planning", subject=batch)
    return job


def require_gowns(batch: Batch) -> None:
    """Refuse to plan a batch that makes nothing."""
    if not batch.lines.filter(gown_count__gt=0).exists():
        raise NothingToPlan(
            _("This batch makes no gowns yet: propose it from the requests or add lines first.")
        )


def new_job(batch: Batch, *, by: Person, at: datetime, progress: Mapping[str, object] | None = None) -> Job:
    """A waiting job for a batch; one that no worker has been heard of for is given up first."""
    _give_up_old(batch, at)
    try:
        with transaction.atomic():
            return Job.objects.create(
                kind=JOB_KIND,
                subject_id=batch.pk,
                started_by=by,
                created_at=at,
                progress=dict(progress or {}),
            )
    except IntegrityError as error:
        raise BeingPlanned(_("This batch is being planned already; please wait for that plan.")) from error


def jobs_of(batch: Batch) -> models.QuerySet[Job]:
    """The plannings of a batch that have not ended."""
    return Job.objects.filter(kind=JOB_KIND, subject_id=batch.pk, state__in=RUNNING)


def _give_up_old(batch: Batch, at: datetime) -> None:
    told = _("It was interrupted; please plan again.")
    for job in jobs_of(batch):
        is_forgotten = job.state == Job.State.WAITING and job.created_at < at - GIVEN_UP_AFTER
        if is_forgotten or job.is_interrupted(at):
            same = Job.objects.filter(pk=job.pk, attempt=job.attempt, state=job.state)
            same.update(state=Job.State.FAILED, finished_at=at, message=told)


@action
def begin_job(*, job: Job, at: datetime) -> bool:
    """Take up a waiting job; False where it has been cancelled or begun already."""
    waiting = Job.objects.filter(pk=job.pk, state=Job.State.WAITING)
    is_begun = waiting.update(state=Job.State.RUNNING, beat_at=at, attempt=F("attempt") + 1)
    job.refresh_from_db()
    return bool(is_begun)


def mine(job: Job) -> models.QuerySet[Job]:
    """The job's row while this worker may still write to it."""
    return Job.objects.filter(pk=job.pk, attempt=job.attempt, state=Job.State.RUNNING)


def hold_job(job: Job, *, at: datetime) -> None:
    """Keep the job's row until the transaction ends, or say that it is no longer this worker's."""
    if not mine(job).update(beat_at=at):
        raise PlanningCancelled(_("The planning was cancelled."))


@action
def note_progress(*, job: Job, progress: Mapping[str, object], at: datetime) -> bool:
    """Note how far a job is; False where it is to end or is no longer this worker's."""
    is_noted = mine(job).update(progress=progress, beat_at=at)
    return bool(is_noted) and not mine(job).filter(is_stop_asked=True, result_id__isnull=False).exists()


@action
def beat(*, job: Job, at: datetime) -> None:
    """Say that the worker of a job is alive."""
    mine(job).update(beat_at=at)


@action
def end_job(*, job: Job, at: datetime, plan: Plan | None = None, message: str = "") -> None:
    """Note how a job ended, unless it had been cancelled, stopped or taken up anew."""
    state = Job.State.DONE if plan else Job.State.FAILED
    result = {"result_id": plan.pk} if plan else {}
    mine(job).update(state=state, finished_at=at, message=message[:500], **result)


@action
def stop_planning(*, batch: Batch, by: Person, at: datetime, request_key: str = "") -> None:
    """Keep the best plan so far and look for no better one; before there is a first plan, that one is waited for."""
    job = jobs_of(batch).select_for_update().first()
    if job is None:
        return
    ended = {"state": Job.State.DONE, "finished_at": at} if job.result_id else {}
    Job.objects.filter(pk=job.pk).update(is_stop_asked=True, **ended)
    record(by=by, at=at, did="stop_planning", subject=batch)


@action
def cancel_planning(*, batch: Batch, by: Person, at: datetime, request_key: str = "") -> None:
    """Stop waiting for a plan, and throw away what was worked out so far."""
    # The batch before the job, in the order in which a better plan is stored.
    batch = Batch.objects.select_for_update().get(pk=batch.pk)
    job = jobs_of(batch).select_for_update().first()
    if job is None:
        return
    told = _("The planning was cancelled.")
    Job.objects.filter(pk=job.pk).update(state=Job.State.FAILED, finished_at=at, message=told, result_id=None)
    record(by=by, at=at, did="cancel_planning", subject=batch)
    plan = plan_of_job(job)
    if plan is not None:
        record(by=by, at=at, did="drop_plan", subject=plan, changes={"batch_id": batch.pk})
        plan.delete()
    settle_state(batch)


def settle_state(batch: Batch) -> None:
    """A planned batch that has lost its last plan is being put together again."""
    if not batch.plans.exists():
        Batch.objects.filter(pk=batch.pk, state=Batch.State.PLANNED).update(state=Batch.State.PROPOSED)


@action
def resume_planning(*, batch: Batch, by: Person, at: datetime, request_key: str = "") -> Job:
    """Let an interrupted planning go on from its best plan so far."""
    job = jobs_of(batch).filter(state=Job.State.RUNNING).first()
    if job is None or not job.is_interrupted(at) or not _put_back(job, at):
        raise NotInterrupted(_("This planning goes on, or has ended; there is nothing to take up again."))
    record(by=by, at=at, did="resume_planning", subject=batch)
    job.refresh_from_db()
    return job


def _put_back(job: Job, at: datetime) -> bool:
    """Make a job wait for a worker again, from now on, unless the old one has been heard of meanwhile."""
    silent = mine(job).filter(beat_at=job.beat_at)
    return bool(silent.update(state=Job.State.WAITING, beat_at=None, created_at=at))
