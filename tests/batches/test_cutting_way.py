"""Cut together or kit by kit: chosen for a batch, kept in its plan, shown wherever the cloth is cut."""

from collections.abc import Callable

import pytest
from django.test import Client
from django.urls import reverse

from gowngroup.batches import actions
from gowngroup.batches.models import Batch, Lay, Plan
from gowngroup.batches.planner.document import StoredPlan
from gowngroup.people.models import Person
from tests.batches import months
from tests.batches.test_plan_making import line_of, single_line

SignIn = Callable[[Person], Client]
OWN_STRETCH = "Cut kit by kit: kit 1 from 0\u00a0cm to"


@pytest.fixture
def client(coordinator: Person, sign_in: SignIn) -> Client:
    """The coordinator's browser."""
    return sign_in(coordinator)


@pytest.fixture
def batch(coordinator: Person) -> Batch:
    """Four gowns from two lots."""
    months.catalog(coordinator)
    for _ in range(2):
        months.cloth(coordinator, 1_300_000)
    months.sundries(coordinator)
    return single_line(coordinator, line_of(months.revision_of(), 2500, 4))


@pytest.fixture
def plan(batch: Batch, coordinator: Person) -> Plan:
    """A plan of the batch cut kit by kit."""
    choose(batch, coordinator, "kit by kit")
    return actions.make_plan(batch=batch, by=coordinator, at=months.AT)


def choose(batch: Batch, by: Person, way: str) -> None:
    actions.choose_materials(batch=batch, chosen=[], cutting_way=way, by=by, at=months.AT)


def page(client: Client, name: str, *args: object) -> str:
    return client.get(reverse(f"batches:{name}", args=args)).content.decode()


def way_of(plan: Plan) -> tuple[str, set[str]]:
    """How a plan says it is cut, and the engines that laid it."""
    stored = StoredPlan.of(plan)
    return stored.cutting_way, {cut.lay.engine for cut in stored.plan.cuts}


def test_the_choice_is_made_with_the_materials(batch: Batch, client: Client) -> None:
    """The page of the materials asks how the cloth shall be cut, and the batch's page says what was chosen."""
    address = reverse("batches:batch_choices", args=[batch.pk])
    form = client.get(address).context["form"]
    assert form["cutting_way"].value() == "together"
    assert client.post(address, {"cutting_way": "in pieces"}).status_code == 422
    client.post(address, {"cutting_way": "kit by kit"})
    assert "Kit by kit – each kit’s pieces side by side, easier to pack" in page(
        client, "batch_page", batch.pk
    )


def test_the_plan_is_cut_as_chosen(plan: Plan) -> None:
    """A plan is laid the way chosen for its batch, and says so."""
    assert way_of(plan) == ("kit by kit", {"kit by kit"})


def test_a_plan_cut_another_way_no_longer_fits(plan: Plan, coordinator: Person) -> None:
    """Once another way is chosen the plan cannot be committed; it must be planned again."""
    choose(plan.batch, coordinator, "together")
    with pytest.raises(actions.PlanOutOfDate):
        actions.commit_plan(plan=plan, by=coordinator, at=months.AT)


def test_a_plan_from_before_the_choice_was_cut_together(plan: Plan) -> None:
    """A plan stored before there was a choice reads as cut together, and fits a batch that was never asked."""
    del plan.document["plan"]["cutting_way"]
    stored = StoredPlan.of(plan)
    plan.batch.cutting_way = "together"
    assert (stored.cutting_way, stored.fits(plan.batch)) == ("together", True)


def test_pages_say_which_stretch_is_whose(plan: Plan, client: Client, coordinator: Person) -> None:
    """The plan and the page of a lay to cut say how it is cut and where each kit's stretch begins and ends."""
    actions.commit_plan(plan=plan, by=coordinator, at=months.AT)
    for text in (page(client, "plan_page", plan.pk), page(client, "lay_page", plan.lays.all()[0].pk)):
        assert "Kit by kit – each kit’s pieces side by side" in text
        assert OWN_STRETCH in text
    assert "no other kit between them" in page(client, "plan_why", plan.pk, "cloth")


def test_the_rest_is_planned_the_same_way(plan: Plan, coordinator: Person) -> None:
    """What is planned anew of a batch under way is cut as it was chosen, too."""
    actions.commit_plan(plan=plan, by=coordinator, at=months.AT)
    lay = Lay.objects.order_by("number")[0]
    actions.cut_lay(lay=lay, cut_length_um=lay.length_um, by=coordinator, at=months.AT)
    rest = actions.make_plan(batch=plan.batch, by=coordinator, at=months.AT, replaces=plan)
    assert way_of(rest) == ("kit by kit", {"kit by kit"})


def test_folded_cloth_says_how_far_it_is_folded(batch: Batch, client: Client, coordinator: Person) -> None:
    """Where the cloth is folded, plan, reasons and lay say so, and up to where two layers are cut."""
    choose(batch, coordinator, "folded")
    plan = actions.make_plan(batch=batch, by=coordinator, at=months.AT)
    actions.commit_plan(plan=plan, by=coordinator, at=months.AT)
    assert way_of(plan) == ("folded", {"folded"})
    lay_page = page(client, "lay_page", plan.lays.all()[0].pk)
    assert "cut both layers at once up to" in lay_page
    assert 'class="fold"' in lay_page
    assert "folded in half lengthwise" in page(client, "plan_why", plan.pk, "cloth")
