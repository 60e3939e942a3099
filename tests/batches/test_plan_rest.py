"""What a batch under way has not cut yet is planned anew; what is cut stays as it is."""

from collections.abc import Callable
from datetime import timedelta

import pytest
from django.test import Client
from django.urls import reverse

from gowngroup.batches import actions, tasks
from gowngroup.batches.models import Batch, Kit, KitLine, Lay, Plan, Reservation
from gowngroup.batches.planner.document import StoredPlan
from gowngroup.batches.planner.rest import set_free_by, uncut_kits, uncut_lays
from gowngroup.home.audit import violations
from gowngroup.people.models import Person
from gowngroup.records.models import Job, TrailLine
from gowngroup.stock.actions import issue_free
from gowngroup.stock.models import Lot
from tests.batches import months
from tests.batches.test_plan_making import line_of, single_line

SignIn = Callable[[Person], Client]
LATER = months.AT + timedelta(days=1)
GOWNS = 6


@pytest.fixture
def batch(coordinator: Person) -> Batch:
    """A batch under way whose kits come from two lots; the lay of the first is cut, one of its kits packed."""
    months.catalog(coordinator)
    for _ in range(2):
        months.cloth(coordinator, 1_900_000)
    months.sundries(coordinator)
    batch = single_line(coordinator, line_of(months.revision_of(), 2500, GOWNS))
    plan = actions.make_plan(batch=batch, by=coordinator, at=months.AT)
    actions.commit_plan(plan=plan, by=coordinator, at=months.AT)
    cut(plan.lays.all()[0], coordinator)
    kit = plan.lays.all()[0].kits.all()[0]
    for line in kit.lines.all():
        actions.tick_line(line=line, by=coordinator, at=months.AT)
    actions.pack_kit(kit=kit, by=coordinator, at=months.AT)
    return Batch.objects.get()


def cut(lay: Lay, by: Person) -> None:
    actions.cut_lay(lay=lay, cut_length_um=lay.length_um, by=by, at=months.AT)


def first_plan() -> Plan:
    return Plan.objects.get(number=1)


def make_rest(batch: Batch, by: Person) -> Plan:
    """The plan for what is not cut yet."""
    return actions.make_plan(batch=batch, by=by, at=LATER, replaces=first_plan())


def facts(kits: list[Kit]) -> list[tuple[object, ...]]:
    """What must not change of kits that are cut."""
    return [
        (kit.pk, kit.code, kit.number, kit.lay_id, kit.outer_lot_id, kit.state, list(kit.lines.values()))
        for kit in kits
    ]


def kept_kits() -> list[Kit]:
    return list(Kit.objects.filter(lay__cut_at__isnull=False).order_by("pk"))


def test_the_start_is_as_described(batch: Batch) -> None:
    """Of two lays one is cut, so that there is a rest to plan."""
    assert first_plan().lays.count() == 2
    assert uncut_kits(first_plan()).count() + len(kept_kits()) == GOWNS
    assert kept_kits()


def test_what_is_cut_stays_and_the_rest_moves(batch: Batch, coordinator: Person) -> None:
    """Cut and packed kits keep everything; the others keep code and number and get cloth that lies there now."""
    before, codes = facts(kept_kits()), set(Kit.objects.values_list("code", "number"))
    old_lay = uncut_lays(first_plan()).get()
    better = months.cloth(coordinator, 12 * months.METRE)
    issue_free(lot=Lot.objects.get(pk=old_lay.lot_id), amount=100_000, by=coordinator, at=LATER)
    plan = actions.commit_plan(plan=make_rest(batch, coordinator), by=coordinator, at=LATER)
    assert facts(kept_kits()) == before
    assert set(Kit.objects.values_list("code", "number")) == codes
    moved = Kit.objects.filter(lay__plan=plan)
    assert moved.count() == GOWNS - len(before)
    assert {kit.outer_lot_id for kit in moved} <= {old_lay.lot_id, better.pk}
    assert {kit.state for kit in moved} == {Kit.State.PLANNED}


def test_the_books_agree_afterwards(batch: Batch, coordinator: Person) -> None:
    """Nothing is held for the old lays any more, both plans are kept, and the audit finds nothing."""
    plan = actions.commit_plan(plan=make_rest(batch, coordinator), by=coordinator, at=LATER)
    old = first_plan()
    assert (old.replaced_at, plan.replaces_id) == (LATER, old.pk)
    assert StoredPlan.of(old).plan.cuts
    freed = old.lays.get(freed_at__isnull=False)
    assert freed.reservation.open_amount == 0
    assert [each.sentence for each in violations()] == []
    told = set(TrailLine.objects.filter(at=LATER).values_list("did", flat=True))
    assert {"free_lay", "replan_kit", "release_amount", "commit_plan"} <= told


def test_the_same_shelf_serves_the_rest_again(batch: Batch, coordinator: Person) -> None:
    """What was held for the rest counts as lying there, so that planning it anew needs nothing more."""
    freed = set_free_by(first_plan())
    assert all(amount > 0 for amount in freed.values())
    plan = StoredPlan.of(make_rest(batch, coordinator)).plan
    assert all(kit.lot_key for kit in plan.kits)
    assert plan.shortages == ()


def test_a_lay_can_be_cut_after_planning_anew(batch: Batch, coordinator: Person) -> None:
    """The new lay is cut and its kits packed; the old one is refused with where to look."""
    old_lay = uncut_lays(first_plan()).get()
    plan = actions.commit_plan(plan=make_rest(batch, coordinator), by=coordinator, at=LATER)
    with pytest.raises(actions.LayPlannedAnew, match="cut the new one"):
        cut(old_lay, coordinator)
    cut(plan.lays.get(), coordinator)
    for kit in Kit.objects.filter(state=Kit.State.CUT):
        for line in kit.lines.all():
            actions.tick_line(line=line, by=coordinator, at=LATER)
        actions.pack_kit(kit=kit, by=coordinator, at=LATER)
    assert [each.sentence for each in violations()] == []
    assert not Reservation.objects.filter(open_amount__gt=0).exists()


def test_kits_without_cloth_are_given_up_and_made_later(batch: Batch, coordinator: Person) -> None:
    """A kit the new plan finds no cloth for is written off with why; with cloth on the shelf it is made again."""
    lot = uncut_lays(first_plan()).get().lot
    wanted = list(uncut_kits(first_plan()))
    Lot.objects.filter(pk=lot.pk).update(state=Lot.State.AS_GIVEN)
    months.cloth(coordinator, 700_000)
    second = actions.commit_plan(plan=make_rest(batch, coordinator), by=coordinator, at=LATER)
    given_up = Kit.objects.filter(pk__in=[kit.pk for kit in wanted], state=Kit.State.WRITTEN_OFF)
    assert {kit.ended_reason for kit in given_up} == {"No cloth for it in plan 2."}
    Lot.objects.filter(pk=lot.pk).update(state=Lot.State.MEASURED)
    third = actions.make_plan(batch=batch, by=coordinator, at=LATER, replaces=second)
    actions.commit_plan(plan=third, by=coordinator, at=LATER)
    alive = Kit.objects.exclude(state=Kit.State.WRITTEN_OFF).order_by("number")
    assert list(alive.values_list("number", flat=True)) == list(range(1, GOWNS + 1))
    assert [each.sentence for each in violations()] == []


def test_a_kit_given_up_is_not_made_again(batch: Batch, coordinator: Person) -> None:
    """What somebody wrote off before it was cut is left out of the new plan, and its cloth with it."""
    kit = uncut_kits(first_plan())[0]
    actions.write_off_kit(kit=kit, reason="not needed", by=coordinator, at=LATER)
    stored = StoredPlan.of(make_rest(batch, coordinator))
    assert str(kit.number) not in stored.kits
    assert len(stored.kits) == uncut_kits(first_plan()).count()


def test_a_cut_in_between_makes_the_plan_out_of_date(batch: Batch, coordinator: Person) -> None:
    """Once another lay is cut the new plan is refused, and nothing is half changed."""
    plan = make_rest(batch, coordinator)
    cut(uncut_lays(first_plan()).get(), coordinator)
    with pytest.raises(actions.RestChanged, match="Plan what is not cut yet once more"):
        actions.commit_plan(plan=plan, by=coordinator, at=LATER)
    assert first_plan().replaced_at is None
    assert [each.sentence for each in violations()] == []


def test_nothing_left_to_plan(batch: Batch, coordinator: Person) -> None:
    """A batch that is cut whole has no rest, and one that is not under way has none either."""
    cut(uncut_lays(first_plan()).get(), coordinator)
    with pytest.raises(actions.NothingLeftToPlan):
        actions.start_replanning(batch=batch, by=coordinator, at=LATER)
    other = actions.start_batch(month=months.MARCH, by=coordinator, at=LATER)
    with pytest.raises(actions.NotUnderWay):
        actions.start_replanning(batch=other, by=coordinator, at=LATER)


def test_things_in_the_bag_of_an_uncut_kit(batch: Batch, coordinator: Person) -> None:
    """A tick on a kit still to be cut is named, with what to do; without it the rest is planned."""
    line = KitLine.objects.filter(kit__in=uncut_kits(first_plan()), kind="floss")[0]
    actions.tick_line(line=line, by=coordinator, at=LATER)
    with pytest.raises(actions.PackedAlready, match=f"Kit {line.kit.code} is not cut yet"):
        actions.start_replanning(batch=batch, by=coordinator, at=LATER)
    actions.untick_line(line=line, by=coordinator, at=LATER)
    plan = make_rest(batch, coordinator)
    actions.tick_line(line=line, by=coordinator, at=LATER)
    with pytest.raises(actions.PackedAlready):
        actions.commit_plan(plan=plan, by=coordinator, at=LATER)


def test_from_the_batch_page_to_the_new_lays(batch: Batch, coordinator: Person, sign_in: SignIn) -> None:
    """One button plans the rest in the background, the plan says what stays, and committing makes the new lays."""
    client = sign_in(coordinator)
    page = client.get(reverse("batches:batch_page", args=[batch.pk])).content.decode()
    assert "Plan what is not cut yet" in page
    response = client.post(reverse("batches:plan_rest", args=[batch.pk]), follow=True)
    plan = Plan.objects.get(number=2)
    assert response.redirect_chain[-1][0] == reverse("batches:plan_page", args=[plan.pk])
    html = response.content.decode()
    assert "stay as they are" in html
    client.post(reverse("batches:plan_commit", args=[plan.pk]))
    plan.refresh_from_db()
    assert plan.committed_at is not None
    old = client.get(reverse("batches:plan_page", args=[first_plan().pk])).content.decode()
    assert reverse("batches:plan_page", args=[plan.pk]) in old
    assert Job.objects.get().state == Job.State.DONE


def test_a_new_plan_for_the_rest_is_thrown_away(batch: Batch, coordinator: Person) -> None:
    """Thrown away or cancelled, it leaves the batch under way by its first plan."""
    actions.drop_plan(plan=make_rest(batch, coordinator), by=coordinator, at=LATER)
    job = actions.start_replanning(batch=batch, by=coordinator, at=LATER)
    actions.cancel_planning(batch=batch, by=coordinator, at=LATER)
    tasks.plan_batch.enqueue(job.pk)
    batch.refresh_from_db()
    assert (batch.state, Plan.objects.count()) == (Batch.State.COMMITTED, 1)
