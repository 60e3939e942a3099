"""Two batches whose plans want the same cloth are committed at the same moment."""

import threading
from collections.abc import Callable
from datetime import timedelta
from functools import partial

import pytest

from gowngroup.batches import actions
from gowngroup.batches.actions.jobs import note_progress
from gowngroup.batches.models import Batch, Kit, KitLine, Lay, Plan, Reservation
from gowngroup.batches.planner.document import StoredPlan
from gowngroup.batches.queries.plans import plan_violations
from gowngroup.people.models import Person
from gowngroup.records.errors import Refusal, Short
from gowngroup.records.models import Job
from gowngroup.stock.models import Lot
from gowngroup.stock.queries import violations as stock_violations
from tests.batches import months
from tests.race import at_once, overlapping

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.usefixtures("race_database")]

Commit = Callable[[Plan, Person], None]


@pytest.fixture
def rivals(coordinator: Person) -> list[Plan]:
    """Two plans that each want more than half of the one lot of cloth, made before either was committed."""
    months.catalog(coordinator)
    months.cloth(coordinator, 900_000)
    months.sundries(coordinator)
    line = actions.LineDetails(
        revision=months.revision_of("yoke", "Yoke"),
        size=months.size_to(2500),
        purpose="worn",
        gown_count=1,
    )
    return [_plan_of(line, coordinator) for _ in range(2)]


def _plan_of(line: actions.LineDetails, by: Person) -> Plan:
    batch = actions.start_batch(month=months.MARCH, by=by, at=months.AT)
    actions.set_lines(batch=batch, lines=[line], by=by, at=months.AT)
    return actions.make_plan(batch=batch, by=by, at=months.AT)


def commit(plan: Plan, by: Person) -> None:
    actions.commit_plan(plan=plan, by=by, at=months.AT)


def outcome(run: Commit, plan: Plan, by: Person) -> Refusal | None:
    try:
        run(Plan.objects.select_related("batch").get(pk=plan.pk), by)
    except Refusal as refusal:
        return refusal
    return None


def race(run: Commit, plans: list[Plan], by: Person) -> list[Refusal | None]:
    return at_once([partial(outcome, run, plan, by) for plan in plans])


def test_one_wins_and_the_other_is_told(rivals: list[Plan], coordinator: Person) -> None:
    """One plan gets the cloth; the other is Short, names the lot and the way out, and leaves nothing behind."""
    outcomes = race(commit, rivals, coordinator)
    refusals = [each for each in outcomes if each is not None]
    assert len(refusals) == 1
    assert isinstance(refusals[0], Short)
    assert Lot.objects.get(material__kind="cloth").code in refusals[0].message
    assert "plan again or choose another lot" in refusals[0].message
    loser = rivals[outcomes.index(refusals[0])]
    assert not Kit.objects.filter(batch=loser.batch).exists()
    assert not Lay.objects.filter(plan=loser).exists()
    assert not Reservation.objects.filter(plan=loser).exists()
    assert Batch.objects.get(pk=loser.batch_id).state == Batch.State.PLANNED
    assert KitLine.objects.filter(kit__batch=loser.batch).count() == 0
    assert [*stock_violations(), *plan_violations()] == []


both_have_read = threading.Barrier(2)


def naive_commit(plan: Plan, by: Person) -> None:
    """Read, check, save: the mistake the conditional update avoids."""
    cut = StoredPlan.of(plan).plan.cuts[0]
    lot, wanted = Lot.objects.get(pk=int(cut.lot_key)), round(cut.lay.length_mm * 1000)
    if lot.free_amount < wanted:
        raise Short("the cloth is gone")
    both_have_read.wait(timeout=60)
    lot.reserved_amount += wanted
    lot.save()


def test_naive_commit_has_two_winners(rivals: list[Plan], coordinator: Person) -> None:
    """Read-check-save promises the same cloth twice, so this race does find a careless commit."""
    assert race(naive_commit, rivals, coordinator) == [None, None]


def test_one_plan_committed_twice_at_once(rivals: list[Plan], coordinator: Person) -> None:
    """The same plan committed from two tabs makes its kits once."""
    outcomes = race(commit, [rivals[0]] * 2, coordinator)
    assert sum(each is None for each in outcomes) == 1
    assert Kit.objects.filter(batch=rivals[0].batch).count() == 1


def test_two_people_plan_one_batch_at_once(rivals: list[Plan], coordinator: Person) -> None:
    """Asked for twice at the same moment, a batch is planned once; the other is told that it is being planned."""

    def start() -> Refusal | None:
        try:
            actions.start_planning(
                batch=Batch.objects.get(pk=rivals[0].batch_id), by=coordinator, at=months.AT
            )
        except Refusal as refusal:
            return refusal
        return None

    outcomes = at_once([start] * 4)
    assert outcomes.count(None) == 1
    assert all(isinstance(each, actions.BeingPlanned) for each in outcomes if each is not None)


def test_two_workers_take_one_job_up_at_once(rivals: list[Plan], coordinator: Person) -> None:
    """A job is begun once, however many workers reach for it, also after an interruption."""
    batch = rivals[0].batch
    job = actions.start_planning(batch=batch, by=coordinator, at=months.AT)
    assert at_once([lambda: actions.begin_job(job=Job.objects.get(), at=months.AT)] * 4).count(True) == 1
    later = months.AT + timedelta(minutes=1)
    actions.resume_planning(batch=batch, by=coordinator, at=later)
    assert at_once([lambda: actions.begin_job(job=Job.objects.get(), at=later)] * 4).count(True) == 1
    assert not note_progress(job=job, progress={}, at=later)


def test_two_batches_begun_at_once_have_numbers_of_their_own(coordinator: Person) -> None:
    """Two coordinators who begin a batch of the same month at once both get one."""

    def begin() -> object:
        return actions.start_batch(month=months.MARCH, hours_offered_min=60, by=coordinator, at=months.AT)

    assert all(isinstance(each, Batch) for each in overlapping(begin, begin))
    assert list(Batch.objects.order_by("number").values_list("number", flat=True)) == [1, 2]
