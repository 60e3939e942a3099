"""A planning that gets better while one watches: stored step by step, stopped, cancelled, interrupted, gone on with."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from gowngroup.batches import actions, tasks
from gowngroup.batches.actions.planning import store_plan
from gowngroup.batches.models import Batch, Plan
from gowngroup.batches.planner.document import StoredPlan
from gowngroup.batches.planner.progress import LotStep, Progress, StepTaken
from gowngroup.batches.planner.progress_words import StepSaid, step_said
from gowngroup.people.models import Person
from gowngroup.planning.batch_plan.improve import PlanFigures
from gowngroup.planning.lay.engines import lay_sequence
from gowngroup.planning.lay.values import ClothLay, LayEngine, LayPiece, Strip
from gowngroup.records.models import Job, TrailLine
from tests.batches import months
from tests.batches.test_plan_making import line_of, single_line

SignIn = Callable[[Person], Client]
LATER = months.AT + timedelta(minutes=1)


class SwitchedOff(BaseException):
    """The worker dies in the middle of a step."""


@pytest.fixture
def batch(coordinator: Person) -> Batch:
    """A batch of four round-necked gowns, whose curves leave cloth to be gained."""
    months.catalog(coordinator)
    months.cloth(coordinator, 6 * months.METRE)
    months.sundries(coordinator)
    return single_line(coordinator, line_of(months.revision_of(), 2500, 4))


@pytest.fixture
def job(batch: Batch, coordinator: Person) -> Job:
    """A planning a worker has taken up."""
    job = actions.start_planning(batch=batch, by=coordinator, at=months.AT)
    actions.begin_job(job=job, at=months.AT)
    return job


def improve(job: Job, nest: LayEngine | None, *, at: datetime = months.AT) -> Plan:
    """What the worker does."""
    batch = Batch.objects.get(pk=job.subject_id)
    return actions.improve_plan(batch=batch, job=job, by=job.started_by, now=lambda: at, nest=nest)


def dying(pieces: Sequence[LayPiece], strip: Strip) -> ClothLay:
    raise SwitchedOff


def interrupted(job: Job) -> Plan:
    """The plan a worker leaves behind that dies while it looks for a better lay."""
    with pytest.raises(SwitchedOff):
        improve(job, dying)
    job.refresh_from_db()
    return Plan.objects.get()


def after(run: Callable[[], object]) -> LayEngine:
    """The steady engine, after somebody has done something."""

    def engine(pieces: Sequence[LayPiece], strip: Strip) -> ClothLay:
        run()
        return lay_sequence(pieces, strip)

    return engine


def progress_of(job: Job) -> Progress:
    job.refresh_from_db()
    return Progress.of(job.progress)


def test_each_better_plan_takes_the_place_of_the_last(job: Job) -> None:
    """A planning keeps one plan, replaced by each better one, and says what each step brought."""
    plan = improve(job, lay_sequence)
    assert Plan.objects.get() == plan
    progress = progress_of(job)
    assert [each.code for each in progress.taken][:2] == ["first", "lays"]
    stored = TrailLine.objects.filter(subject_id=plan.pk, did__in=["make_plan", "improve_plan"])
    assert stored.count() == len(progress.improvements) == len(plan.document["improvements"])
    assert StoredPlan.of(plan).plan.cuts


def test_a_dead_worker_leaves_its_best_plan(job: Job, coordinator: Person) -> None:
    """The best plan so far is whole, and half a minute later it may be committed."""
    plan = interrupted(job)
    assert (job.state, job.result_id) == (Job.State.RUNNING, plan.pk)
    assert not job.is_interrupted(months.AT + timedelta(seconds=29))
    assert job.is_interrupted(months.AT + timedelta(seconds=31))
    actions.commit_plan(plan=plan, by=coordinator, at=LATER)
    job.refresh_from_db()
    assert job.state == Job.State.DONE


def test_an_interrupted_planning_goes_on(job: Job, batch: Batch, coordinator: Person) -> None:
    """Taken up again it does no step twice, keeps the same plan, and the old worker can write no more."""
    plan = interrupted(job)
    done = progress_of(job).done
    again = actions.resume_planning(batch=batch, by=coordinator, at=LATER)
    assert again.created_at == LATER, "it waits from now on"
    assert actions.begin_job(job=again, at=LATER)
    assert improve(again, lay_sequence, at=LATER).pk == plan.pk
    assert progress_of(again).done[: len(done)] == done
    assert len(set(progress_of(again).done)) == len(progress_of(again).done) > len(done)
    actions.end_job(job=job, at=LATER, message="from the dead")
    again.refresh_from_db()
    assert again.message == ""


def test_another_shelf_is_planned_from_the_start(job: Job, batch: Batch, coordinator: Person) -> None:
    """Where the shelf has changed since, going on begins with the first step."""
    interrupted(job)
    months.cloth(coordinator)
    again = actions.resume_planning(batch=batch, by=coordinator, at=LATER)
    actions.begin_job(job=again, at=LATER)
    improve(again, None, at=LATER)
    assert progress_of(again).taken[0].before is None
    assert len(progress_of(again).taken) == len(progress_of(again).done)


def test_what_runs_is_not_taken_up_again(job: Job, batch: Batch, coordinator: Person) -> None:
    """A worker heard of within half a minute keeps its job."""
    with pytest.raises(actions.NotInterrupted):
        actions.resume_planning(batch=batch, by=coordinator, at=months.AT + timedelta(seconds=20))


def test_planning_anew_after_an_interruption(job: Job, batch: Batch, coordinator: Person) -> None:
    """An interrupted planning does not bar a new one, and its plan stays."""
    plan = interrupted(job)
    actions.start_planning(batch=batch, by=coordinator, at=LATER)
    job.refresh_from_db()
    assert job.state == Job.State.FAILED
    assert Plan.objects.get() == plan


def test_stopping_keeps_the_best_plan(job: Job, batch: Batch, coordinator: Person) -> None:
    """Stopped in the middle of a step, the plan stays as it was and no later one takes its place."""
    plan = improve(job, after(lambda: actions.stop_planning(batch=batch, by=coordinator, at=months.AT)))
    job.refresh_from_db()
    assert (job.state, job.result_id) == (Job.State.DONE, plan.pk)
    with pytest.raises(actions.PlanningCancelled):
        store_plan(batch=batch, document=plan.document, job=job, by=coordinator, at=LATER)
    assert Plan.objects.get().made_at == months.AT


def test_stopping_before_the_first_plan_waits_for_it(job: Job, batch: Batch, coordinator: Person) -> None:
    """With nothing to keep yet, the first plan is made and then the search ends."""
    actions.stop_planning(batch=batch, by=coordinator, at=months.AT)
    improve(job, lay_sequence)
    assert [each.code for each in progress_of(job).taken] == ["first"]


def test_cancelling_throws_the_plan_away(job: Job, batch: Batch, coordinator: Person) -> None:
    """Cancelled after the first plan was stored, nothing is left of it and the batch is as before."""
    improve(job, after(lambda: actions.cancel_planning(batch=batch, by=coordinator, at=months.AT)))
    batch.refresh_from_db()
    assert (Plan.objects.count(), batch.state) == (0, Batch.State.PROPOSED)


def test_a_plan_getting_better_is_not_committed(job: Job, coordinator: Person) -> None:
    """While better plans are looked for, the plan is neither committed nor thrown away."""
    plan = interrupted(job)
    for refused in (actions.commit_plan, actions.drop_plan):
        with pytest.raises(actions.StillImproving, match="Stop that and keep this plan"):
            refused(plan=plan, by=coordinator, at=months.AT)
    assert plan.batch.kits.count() == 0


def test_the_page_of_an_interrupted_planning(
    job: Job, batch: Batch, coordinator: Person, sign_in: SignIn
) -> None:
    """It leads to the best plan, and takes the planning up again by one button."""
    plan = interrupted(job)
    client = sign_in(coordinator)
    html = client.get(reverse("batches:plan_progress", args=[batch.pk])).content.decode()
    assert "The best plan so far is kept." in html
    assert reverse("batches:plan_page", args=[plan.pk]) in html
    response = client.post(reverse("batches:plan_resume", args=[batch.pk]), follow=True)
    assert response.redirect_chain[-1][0] == reverse("batches:plan_page", args=[plan.pk])
    assert "How this plan came about" in response.content.decode()


def test_the_page_shows_what_was_gained(job: Job, batch: Batch, coordinator: Person, sign_in: SignIn) -> None:
    """While it runs, the page gives the best plan so far, each step's gain in her unit, and the button to stop."""
    interrupted(job)
    Job.objects.update(beat_at=months.AT + timedelta(days=9999))
    client = sign_in(coordinator)
    html = client.get(reverse("batches:plan_progress", args=[batch.pk])).content.decode()
    assert "The best plan so far: 4 gowns from 1 lot" in html
    assert "fitting curved edges into each other." in html
    assert reverse("batches:plan_stop", args=[batch.pk]) in html
    page = client.get(reverse("batches:plan_page", args=[Plan.objects.get().pk])).content.decode()
    assert "Commit this plan" not in page
    client.post(reverse("batches:plan_stop", args=[batch.pk]))
    page = client.get(reverse("batches:plan_page", args=[Plan.objects.get().pk])).content.decode()
    assert "Commit this plan" in page


def test_a_step_that_breaks_off_leaves_the_plan(batch: Batch, coordinator: Person, settings: Any) -> None:
    """Where an engine fails, here by a wrong setting, after a plan was stored, the planning ends with that plan."""
    settings.NESTING_SECONDS = "ten"
    job = actions.start_planning(batch=batch, by=coordinator, at=months.AT)
    tasks.plan_batch.enqueue(job.pk)
    job.refresh_from_db()
    assert (job.state, job.result_id) == (Job.State.DONE, Plan.objects.get().pk)


def test_a_long_wait_names_the_worker(batch: Batch, coordinator: Person, sign_in: SignIn) -> None:
    """A plan nobody takes up says what may be wrong."""
    actions.start_planning(batch=batch, by=coordinator, at=months.AT)
    html = sign_in(coordinator).get(reverse("batches:plan_progress", args=[batch.pk])).content.decode()
    assert "background worker is not running" in html


def test_a_longer_cut_says_why_it_is_better() -> None:
    """Where more length of narrower cloth is cut, or less is left useless, the step tells the cloth used up."""
    before = PlanFigures(gown_count=9, unmade_count=0, lot_count=2, cloth_mm=3450, used_up_mm2=4_800_000)
    after = replace(before, cloth_mm=3645, used_up_mm2=4_300_000)
    step = StepTaken(code="allocation", lot_code="", is_better=True, before=before, after=after, lots=())
    assert "all in all 4.80 m² → 4.30 m² of cloth used up" in step_said(step, {}).sentence
    assert "cloth 364.5 cm → 345 cm" in step_said(replace(step, before=after, after=before), {}).sentence


def test_gains_are_told_of_cloth_by_its_name() -> None:
    """One lot's gain is told once, of the cloth as it is called at the table; several are told lot by lot."""
    before = PlanFigures(gown_count=9, unmade_count=0, lot_count=2, cloth_mm=3450)
    after = replace(before, cloth_mm=3400)
    sky, rose = (LotStep(lot_code=code, before_mm=1450, after_mm=1400) for code in ("LGWAT3", "L7XDE9"))
    names = {"LGWAT3": "Cotton lawn, sky", "L7XDE9": "Poplin, rose"}
    step = StepTaken(code="nest", lot_code="LGWAT3", is_better=True, before=before, after=after, lots=(sky,))
    assert step_said(step, names) == StepSaid(
        sentence="Cotton lawn, sky LGW-AT3, curved edges fitted into each other: 145 cm → 140 cm."
    )
    said = step_said(replace(step, code="lays", lot_code="", lots=(sky, rose)), names)
    assert said.sentence == "Pieces laid closer together: cloth 345 cm → 340 cm."
    assert said.lots == ("Cotton lawn, sky LGW-AT3: 145 cm → 140 cm", "Poplin, rose L7X-DE9: 145 cm → 140 cm")
