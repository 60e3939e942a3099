"""Background work of the printing room."""

import logging

from django.utils import timezone
from django.utils.translation import gettext as _
from django_tasks import task

from gowngroup.batches.actions.jobs import begin_job
from gowngroup.batches.models import Batch
from gowngroup.people.queries import reader_for
from gowngroup.printing.actions import end_print
from gowngroup.printing.queries import kits_to_print
from gowngroup.printing.runs import PrintRun, PrintStopped
from gowngroup.records.errors import Refusal
from gowngroup.records.models import Job
from gowngroup.records.reader import reading_as

logger = logging.getLogger(__name__)


@task()
def print_sheets(job_id: int) -> None:
    """Make the kit sheets of a print as its starter reads them, and note on its job how that ended."""
    job = Job.objects.select_related("started_by").get(pk=job_id)
    if begin_job(job=job, at=timezone.now()):
        with reading_as(reader_for(job.started_by)):
            _print(job)


def _print(job: Job) -> None:
    message = ""
    try:
        batch = Batch.objects.get(pk=job.subject_id)
        kits = list(kits_to_print(batch).filter(pk__in=job.progress["kits"]))
        PrintRun(job=job, kits=kits, by=job.started_by, now=timezone.now).make()
    except PrintStopped:
        return
    except Refusal as refusal:
        message = refusal.message
    except Exception:
        logger.exception("print_sheets")
        message = _(
            "The sheets could not be made. Please try once more; if that does not help, tell whoever looks after the program."
        )
    end_print(job=job, at=timezone.now(), message=message)
