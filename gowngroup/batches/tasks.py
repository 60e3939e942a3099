"""Background work of the batches room."""

import logging

from django.utils import timezone
from django.utils.translation import gettext as _
from django_tasks import task

from gowngroup.batches.actions.planning import begin_job, end_job, make_plan
from gowngroup.batches.models import Batch
from gowngroup.people.queries import reader_for
from gowngroup.records.errors import Refusal
from gowngroup.records.models import Job
from gowngroup.records.reader import reading_as

logger = logging.getLogger(__name__)


@task()
def plan_batch(job_id: int) -> None:
    """Work the plan of a batch out, and note on its job how that ended."""
    job = Job.objects.select_related("started_by").get(pk=job_id)
    if not begin_job(job=job):
        return
    try:
        with reading_as(reader_for(job.started_by)):
            batch = Batch.objects.get(pk=job.subject_id)
            plan = make_plan(batch=batch, by=job.started_by, at=timezone.now(), job=job)
    except Refusal as refusal:
        end_job(job=job, at=timezone.now(), message=refusal.message)
    except Exception:
        logger.exception("plan_batch")
        end_job(job=job, at=timezone.now(), message=_("The plan could not be worked out; please tell us."))
    else:
        end_job(job=job, at=timezone.now(), plan=plan)
