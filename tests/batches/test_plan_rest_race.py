"""The rest of a batch planned anew by two people at once, or while somebody cuts it."""

from functools import partial

import pytest

from gowngroup.batches import actions
from gowngroup.batches.models import Batch, Kit, Lay, Plan
from gowngroup.batches.planner.rest import uncut_lays
from gowngroup.home.audit import violations
from gowngroup.people.models import Person
from gowngroup.records.errors import Refusal
from tests.batches import months
from tests.batches.test_plan_making import line_of, single_line
from tests.race import at_once

pytestmark = [
    pytest.mark.django_db(transaction=True),
    pytest.mark.usefixtures("race_database"),
]


@pytest.fixture
def plans(coordinator: Person) -> list[Plan]:
    """Two plans for the same rest of a batch under way."""
    months.catalog(coordinator)
    months.cloth(coordinator, 1_900_000)
    months.sundries(coordinator)
    batch = single_line(coordinator, line_of(months.revision_of(), 2500, 2))
    first = actions.make_plan(batch=batch, by=coordinator, at=months.AT)
    actions.commit_plan(plan=first, by=coordinator, at=months.AT)
    batch = Batch.objects.get()
    return [actions.make_plan(batch=batch, by=coordinator, at=months.AT, replaces=first) for _ in range(2)]


def commit(plan: Plan, by: Person) -> Refusal | None:
    try:
        actions.commit_plan(plan=Plan.objects.get(pk=plan.pk), by=by, at=months.AT)
    except Refusal as refusal:
        return refusal
    return None


def cut(lay: Lay, by: Person) -> Refusal | None:
    try:
        actions.cut_lay(lay=lay, cut_length_um=lay.length_um, by=by, at=months.AT)
    except Refusal as refusal:
        return refusal
    return None


def test_two_plans_for_one_rest(plans: list[Plan], coordinator: Person) -> None:
    """One takes the place of the rest; the other is told that it was planned anew."""
    outcomes = at_once([partial(commit, plan, coordinator) for plan in plans])
    assert outcomes.count(None) == 1
    assert any(isinstance(each, actions.RestChanged) for each in outcomes)
    assert Plan.objects.filter(committed_at__isnull=False, replaced_at__isnull=True).count() == 1
    assert Kit.objects.filter(batch=plans[0].batch_id).count() == 2
    assert [each.sentence for each in violations()] == []


def test_cutting_while_the_rest_is_committed(plans: list[Plan], coordinator: Person) -> None:
    """Either the lay is cut and the new plan refused, or it is planned anew and the cut refused; never both."""
    lay = uncut_lays(Plan.objects.get(number=1)).get()
    outcomes = at_once([partial(commit, plans[0], coordinator), partial(cut, lay, coordinator)])
    assert outcomes.count(None) == 1
    lay.refresh_from_db()
    assert (lay.cut_at is None) != (lay.freed_at is None)
    assert [each.sentence for each in violations()] == []
