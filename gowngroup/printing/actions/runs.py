"""The job of printing many kit sheets: begun, followed, cancelled, gone on with after an interruption."""

from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta

from django.db import IntegrityError, models, transaction
from django.utils.translation import gettext as _

from gowngroup.batches.actions.jobs import mine
from gowngroup.batches.models import Batch, Kit
from gowngroup.people.models import Person
from gowngroup.printing.queries import PRINT_JOB, prints_under_way
from gowngroup.records.actions import action, record
from gowngroup.records.errors import Refusal, Taken
from gowngroup.records.models import Job

GIVEN_UP_AFTER = timedelta(minutes=15)  # a print no worker has taken up by then does not bar a new one


class NothingToPrint(Refusal):
    """No kit of the batch is among those chosen."""


class BeingPrinted(Taken):
    """Sheets of this batch are being made already."""


class NotInterrupted(Taken):
    """The print goes on, or has ended."""


@action
def start_print(*, batch: Batch, kits: Sequence[Kit], by: Person, at: datetime, request_key: str = "") -> Job:
    """Note that the sheets of these kits are to be made, in this order; one print of a batch at a time."""
    if not kits:
        raise NothingToPrint(_("There is no such kit in this batch; choose other kits, or all of them."))
    _give_up_old(batch, at)
    try:
        with transaction.atomic():
            job = Job.objects.create(
                kind=PRINT_JOB,
                subject_id=batch.pk,
                started_by=by,
                created_at=at,
                progress={"kits": [kit.pk for kit in kits]},
            )
    except IntegrityError as error:
        raise BeingPrinted(
            _("Sheets of this batch are being made already. Wait for them, or cancel that first.")
        ) from error
    record(by=by, at=at, did="start_print", subject=batch, changes={"kit_count": len(kits)})
    return job


def _give_up_old(batch: Batch, at: datetime) -> None:
    for job in prints_under_way(batch):
        is_forgotten = job.state == Job.State.WAITING and job.created_at < at - GIVEN_UP_AFTER
        if is_forgotten or job.is_interrupted(at):
            _ended(_as_seen(job), Job.State.FAILED, at=at, message=_("It was interrupted."))


def _as_seen(job: Job) -> models.QuerySet[Job]:
    """The job's row unless somebody has been at work on it since it was read."""
    return Job.objects.filter(pk=job.pk, attempt=job.attempt, state=job.state, beat_at=job.beat_at)


def _ended(jobs: models.QuerySet[Job], state: Job.State, *, at: datetime, message: str = "") -> int:
    return jobs.update(state=state, finished_at=at, message=message[:500])


@action
def note_printed_so_far(*, job: Job, progress: Mapping[str, object], at: datetime) -> bool:
    """Note how far a print is; False where it was cancelled or taken up by another worker."""
    return bool(mine(job).update(progress=progress, beat_at=at))


@action
def end_print(*, job: Job, at: datetime, message: str = "") -> None:
    """Note how a print ended, with a message where it did not come to its end."""
    _ended(mine(job), Job.State.FAILED if message else Job.State.DONE, at=at, message=message)


@action
def cancel_print(*, batch: Batch, by: Person, at: datetime, request_key: str = "") -> None:
    """Stop making sheets; what is made already is kept and need not be made again."""
    if _ended(prints_under_way(batch), Job.State.FAILED, at=at, message=_("The print was cancelled.")):
        record(by=by, at=at, did="cancel_print", subject=batch)


@action
def resume_print(*, batch: Batch, by: Person, at: datetime, request_key: str = "") -> Job:
    """Let an interrupted print go on with what is not made yet."""
    job = prints_under_way(batch).filter(state=Job.State.RUNNING).first()
    again = {"state": Job.State.WAITING, "beat_at": None, "created_at": at}
    if job is None or not job.is_interrupted(at) or not _as_seen(job).update(**again):
        raise NotInterrupted(
            _("The sheets are being made, or that has ended; there is nothing to go on with.")
        )
    record(by=by, at=at, did="resume_print", subject=batch)
    job.refresh_from_db()
    return job
