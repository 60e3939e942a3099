"""Working a plan out, in the background while a person watches it getting better, and storing it whole.

A planning has one row of its own among the plans of its batch. Its document is replaced whole each time a better plan
is found while the job runs, and never again once the job has ended; only then can it be committed.
"""

import hashlib
import json
from collections.abc import Callable, Iterator, Mapping
from datetime import datetime
from typing import Any

from django.db.models import Max
from django.utils.translation import gettext as _

from gowngroup.batches.actions.batches import hold_open
from gowngroup.batches.actions.jobs import (
    PlanningCancelled,
    hold_job,
    mine,
    note_progress,
    require_gowns,
)
from gowngroup.batches.actions.replanning import hold_rest
from gowngroup.batches.models import Batch, Plan
from gowngroup.batches.planner.document import FORMAT_VERSION, UNREADABLE, StoredPlan, document_of
from gowngroup.batches.planner.order import Prepared, prepared
from gowngroup.batches.planner.progress import Progress
from gowngroup.batches.planner.rest import prepared_rest
from gowngroup.batches.queries.batches import OPEN_STATES
from gowngroup.batches.queries.plans import plan_of_job
from gowngroup.catalog.actions import mark_revision_used
from gowngroup.people.models import Person
from gowngroup.planning.batch_plan import BatchPlan
from gowngroup.planning.batch_plan.improve import Improvement, PlanStep, improving_plans
from gowngroup.planning.lay.values import LayEngine
from gowngroup.planning.plain_data import plain
from gowngroup.records.actions import action, record
from gowngroup.records.errors import Taken
from gowngroup.records.models import Job

Document = Mapping[str, Any]


class NumbersChanged(Taken):
    """The batch or a design was changed while its plan was being worked out."""


def make_plan(
    *, batch: Batch, by: Person, at: datetime, job: Job | None = None, replaces: Plan | None = None
) -> Plan:
    """Work the first usable plan out with no transaction open, then store it whole.

    With `replaces`, a committed plan, it is a plan for what that one has not cut yet.
    """
    ready = frozen_order(batch, replaces, by=by, at=at)
    first = next(improving_plans(ready.order))
    return store_plan(batch=batch, document=document_of(ready, first.plan), job=job, by=by, at=at)


def frozen_order(batch: Batch, replaces: Plan | None, *, by: Person, at: datetime) -> Prepared:
    """What a plan is worked out from; its designs are frozen first, so that what is planned is what will be sewn."""
    if replaces is not None:
        # The designs of a batch under way are frozen.
        return prepared_rest(batch, replaces)
    first = prepared(batch)
    if not first.lines:
        require_gowns(batch)
    if all(each.line.design_revision.is_frozen() for each in first.kits):
        return first
    freeze_designs(worked_out=first, by=by, at=at)
    # A design may have been changed between reading and freezing it; now nothing can change it.
    return prepared(batch)


def improve_plan(
    *,
    batch: Batch,
    job: Job,
    by: Person,
    now: Callable[[], datetime],
    nest: LayEngine | None = None,
) -> Plan:
    """Work better and better plans out, storing each, until no step is left or somebody stops it.

    No transaction is open while planning; a job that was interrupted goes on from its stored plan where the shelf and
    the batch are still as they were.
    """
    search = _Search(batch=batch, job=job, by=by, now=now)
    for each in search.steps(nest):
        search.take(each)
    if search.plan is None:
        raise PlanningCancelled(_("The planning was cancelled."))
    return search.plan


class _Search:
    """One planning while it runs: what is stored of it, and what it says about itself."""

    def __init__(self, *, batch: Batch, job: Job, by: Person, now: Callable[[], datetime]) -> None:
        self.batch, self.job, self.by, self.now = batch, job, by, now
        self.progress = Progress.of(job.progress)
        replaces = Plan.objects.filter(pk=self.progress.replaces or 0).first()
        self.ready = frozen_order(batch, replaces, by=by, at=now())
        self.plan: Plan | None = None

    def steps(self, nest: LayEngine | None) -> Iterator[Improvement]:
        fingerprint = _fingerprint(self.ready)
        start = self._start(fingerprint)
        if start is None:
            self.plan, self.progress = None, self.progress.begun_anew(fingerprint)
        done = self.progress.done
        return improving_plans(self.ready.order, nest=nest, start=start, done=done, goes_on=self._goes_on)

    def _start(self, fingerprint: str) -> BatchPlan | None:
        """The stored plan of the same order, where an earlier worker was interrupted."""
        self.plan = plan_of_job(self.job)
        if self.plan is None or self.progress.fingerprint != fingerprint:
            return None
        try:
            return StoredPlan.of(self.plan).plan
        except UNREADABLE:
            return None

    def _goes_on(self, step: PlanStep) -> bool:
        self.progress = self.progress.trying(step, self._lot_code(step.lot_key))
        return note_progress(job=self.job, progress=self.progress.document(), at=self.now())

    def take(self, found: Improvement) -> None:
        codes = {each.lot_key: self._lot_code(each.lot_key) for each in found.lots}
        self.progress = self.progress.after(found, codes)
        if found.is_better:
            document = document_of(self.ready, found.plan, improvements=self.progress.improvements)
            self.plan = store_plan(
                batch=self.batch, document=document, job=self.job, by=self.by, at=self.now()
            )
        note_progress(job=self.job, progress=self.progress.document(), at=self.now())

    def _lot_code(self, lot_key: str) -> str:
        lots = {str(lot.pk): lot.code for lot in self.ready.shelf.lots}
        return lots.get(lot_key, "")


def _fingerprint(ready: Prepared) -> str:
    """Tells two orders apart, so that a plan of another shelf or batch is not gone on with."""
    return hashlib.sha256(json.dumps(plain(ready.order), sort_keys=True).encode()).hexdigest()


@action
def freeze_designs(*, worked_out: Prepared, by: Person, at: datetime) -> None:
    """Freeze every design revision a plan will rest on."""
    revisions = {each.line.design_revision_id: each.line.design_revision for each in worked_out.kits}
    for pk in sorted(revisions):
        mark_revision_used(revision=revisions[pk], by=by, at=at)


@action
def store_plan(*, batch: Batch, document: Document, job: Job | None = None, by: Person, at: datetime) -> Plan:
    """Keep a plan with everything it was worked out from, unless the batch has changed meanwhile.

    A job that has stored a plan before replaces it by this better one.
    """
    stored = StoredPlan(document=document)
    replaced = hold_rest(batch, stored.rest) if stored.rest else None
    if replaced is None:
        hold_open(batch)
    if job is not None:
        hold_job(job, at=at)
    if not stored.fits(batch):
        raise NumbersChanged(
            _("The batch was changed while its plan was being worked out; please plan again.")
        )
    plan = _row_of(job, batch)
    did = "improve_plan" if plan.pk else "make_plan"
    plan.document, plan.made_at = document, at
    plan.made_by, plan.format_version = by, FORMAT_VERSION
    plan.replaces = replaced
    plan.save()
    if job is not None:
        mine(job).update(result_id=plan.pk)
        job.result_id = plan.pk
    Batch.objects.filter(pk=batch.pk, state__in=OPEN_STATES).update(state=Batch.State.PLANNED)
    batch.refresh_from_db()
    record(by=by, at=at, did=did, subject=plan, changes={"batch_id": batch.pk})
    return plan


def _row_of(job: Job | None, batch: Batch) -> Plan:
    """The row of a job's own plan, or a new one with the next number."""
    own = plan_of_job(job) if job else None
    last = batch.plans.aggregate(last=Max("number"))["last"] or 0
    return own or Plan(batch=batch, number=last + 1)
