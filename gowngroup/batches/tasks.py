"""Background work of the batches room."""

import logging
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial

from django.conf import settings
from django.db import connection, connections
from django.utils import timezone
from django.utils.translation import gettext as _
from django_tasks import task

from gowngroup.batches.actions.jobs import beat, begin_job, end_job
from gowngroup.batches.actions.letters import tell_those_waiting
from gowngroup.batches.actions.planning import improve_plan
from gowngroup.batches.models import Batch
from gowngroup.batches.queries.plans import plan_of_job
from gowngroup.people.queries import reader_for
from gowngroup.planning.lay.engines import lay_best
from gowngroup.planning.lay.values import LayEngine
from gowngroup.records.errors import Refusal
from gowngroup.records.models import Job
from gowngroup.records.reader import reading_as

BEAT_S = 5.0

logger = logging.getLogger(__name__)


@task()
def plan_batch(job_id: int) -> None:
    """Work better and better plans of a batch out, and note on its job how that ended, as its starter reads."""
    job = Job.objects.select_related("started_by").get(pk=job_id)
    if begin_job(job=job, at=timezone.now()):
        with reading_as(reader_for(job.started_by)):
            _plan(job)


def _plan(job: Job) -> None:
    try:
        with _beating(job):
            batch = Batch.objects.get(pk=job.subject_id)
            plan = improve_plan(
                batch=batch, job=job, by=job.started_by, now=timezone.now, nest=_nesting_engine()
            )
    except Refusal as refusal:
        end_job(job=job, at=timezone.now(), message=refusal.message)
    except Exception:
        # A step that breaks off takes nothing away from the plan that was stored before it.
        logger.exception("plan_batch")
        told = _("The plan could not be worked out; please tell us.")
        end_job(job=job, at=timezone.now(), plan=plan_of_job(job), message=told)
    else:
        end_job(job=job, at=timezone.now(), plan=plan)


@task()
def tell_waiting_list() -> None:
    """Tell those who wait of the kits that have just been offered or given back."""
    tell_those_waiting(at=timezone.now())


def _nesting_engine() -> LayEngine | None:
    """The engine for true outlines with the seconds it may take a lot; none where that is switched off."""
    seconds = settings.NESTING_SECONDS
    return partial(lay_best, seconds=seconds) if seconds else None


@contextmanager
def _beating(job: Job) -> Iterator[None]:
    """Say every few seconds that the job is alive, also while one step takes long.

    Inside a transaction nobody could hear it, and SQLite would make it wait.
    """
    if connection.in_atomic_block:
        yield
        return
    is_over = threading.Event()
    heart = threading.Thread(target=_beat_until, args=(job, is_over), daemon=True)
    heart.start()
    try:
        yield
    finally:
        is_over.set()
        heart.join()


def _beat_until(job: Job, is_over: threading.Event) -> None:
    while not is_over.wait(BEAT_S):
        beat(job=job, at=timezone.now())
    connections.close_all()
