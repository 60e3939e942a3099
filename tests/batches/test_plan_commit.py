"""Committing a plan: everything it takes is held and its kits are made, or nothing is."""

import re
from collections import Counter
from collections.abc import Callable

import pytest
from django.db.models import Sum
from django.test import Client
from django.urls import reverse

from gowngroup.batches import actions
from gowngroup.batches.models import Batch, Kit, KitLine, Lay, MatchedSet, Plan, Reservation
from gowngroup.batches.planner.document import StoredPlan
from gowngroup.batches.planner.packing import dealt, taken_from_shelf
from gowngroup.batches.planner.shelf import is_package, lot_id_of
from gowngroup.batches.queries import kit_violations
from gowngroup.batches.queries.plans import plan_violations
from gowngroup.catalog.models import MaterialKind
from gowngroup.people.models import Person
from gowngroup.records.codes import spaced
from gowngroup.records.errors import Short
from gowngroup.records.models import TrailLine
from gowngroup.stock.actions import issue_free, mark_flaws, measure_lot, reserve_amount
from gowngroup.stock.models import LedgerLine, Lot
from gowngroup.stock.queries import violations as stock_violations
from tests.batches import months


@pytest.fixture
def plan(coordinator: Person) -> Plan:
    """A plan of gowns in two sizes on a stocked shelf, with a matched pair among them."""
    months.catalog(coordinator)
    months.cloth(coordinator, 4 * months.METRE)
    months.cloth(coordinator, 2 * months.METRE)
    months.sundries(coordinator)
    asking = months.ward(1000, 2500)
    months.ask(coordinator, asking, (1000, 2), (2500, 3))
    months.ask(coordinator, months.ward(1000, 2500), (1000, 1), (2500, 1), set_number=1)
    return months.planned(coordinator)


def commit(plan: Plan, by: Person) -> Plan:
    return actions.commit_plan(plan=plan, by=by, at=months.AT)


def counts() -> tuple[int, ...]:
    """Everything committing writes."""
    rows = (Lay, Kit, KitLine, Reservation, LedgerLine, Lot, TrailLine)
    return tuple(model.objects.count() for model in rows)


def test_books_agree_after_committing(plan: Plan, coordinator: Person) -> None:
    """Shelf, plans and kits agree with each other, and the batch is under way."""
    commit(plan, coordinator)
    assert [*stock_violations(), *plan_violations(), *kit_violations()] == []
    assert plan.batch.state == Batch.State.COMMITTED


def test_reservations_equal_the_plan(plan: Plan, coordinator: Person) -> None:
    """What is held of cloth, and of everything else, adds up to what the stored plan takes."""
    stored = StoredPlan.of(plan)
    commit(plan, coordinator)
    cloth = {row.lot_id: row.amount for row in Reservation.objects.filter(lay__isnull=False)}
    assert cloth == {int(cut.lot_key): round(cut.lay.length_mm * 1000) for cut in stored.plan.cuts}
    others = Reservation.objects.filter(lay__isnull=True).aggregate(total=Sum("amount"))["total"]
    assert others == sum(taken_from_shelf(stored.packing).values())
    assert Lot.objects.aggregate(total=Sum("reserved_amount"))["total"] == others + sum(cloth.values())


def test_packing_lists_equal_the_reservations(plan: Plan, coordinator: Person) -> None:
    """Lot by lot the lines of all kits take exactly what is held."""
    commit(plan, coordinator)
    lines = KitLine.objects.exclude(kind=MaterialKind.CLOTH).filter(lot__isnull=False)
    wanted: Counter[int] = Counter()
    for line in lines:
        wanted[line.lot_id or 0] += line.amount
    assert wanted == {row.lot_id: row.amount for row in Reservation.objects.filter(lay__isnull=True)}


def test_floss_takes_as_planned_skein_by_skein(plan: Plan, coordinator: Person) -> None:
    """The floss held equals the plan's own takes, not only its sums."""
    stored = StoredPlan.of(plan)
    taken = taken_from_shelf([item for item in stored.packing if item.kind == "floss"])
    assert taken == {
        take.key: round(take.length_mm * 1000) for shade in stored.plan.floss for take in shade.takes
    }


def test_kits_come_with_code_lay_hours_and_lines(plan: Plan, coordinator: Person) -> None:
    """Each kit has its number in the plan, its lay's lot, a range of hours and a list from cloth to sheet."""
    commit(plan, coordinator)
    assert Kit.objects.count() == 7
    for kit in Kit.objects.all():
        assert kit.outer_lot_id == kit.lay.lot_id
        assert 0 < kit.minutes_low < kit.minutes_high
        kinds = [line.kind for line in kit.lines.all()]
        assert (kinds[0], kinds[-1]) == ("cloth", "sheet")
        assert {"floss", "lace", "thread", "notion"} <= set(kinds)
    assert set(Kit.objects.values_list("number", flat=True)) == set(range(1, 8))


def test_a_matched_pair_is_linked(plan: Plan, coordinator: Person) -> None:
    """The kits of a set are linked to each other and to the request, of one lot."""
    commit(plan, coordinator)
    pair = MatchedSet.objects.get()
    assert pair.request_line is not None
    assert pair.request_line.set_number == 1
    assert {kit.size.upper_mass_g for kit in pair.kits.all()} == {1000, 2500}
    assert len({kit.outer_lot_id for kit in pair.kits.all()}) == 1


def test_a_set_under_way_is_not_proposed_again(plan: Plan, coordinator: Person) -> None:
    """A committed set leaves the proposal of the next batch alone."""
    commit(plan, coordinator)
    # Five single gowns are out; at 0.9 of each size's count, one of two and two of three are counted on.
    batch = months.proposed(coordinator)
    assert sum(line.gown_count for line in batch.lines.all()) == 2


def test_whole_packages_are_opened(plan: Plan, coordinator: Person) -> None:
    """Each skein that is begun becomes a lot of its own, and the unopened ones are so many fewer."""
    commit(plan, coordinator)
    taken = {take.key: take for shade in StoredPlan.of(plan).plan.floss for take in shade.takes}
    opened = Lot.objects.filter(opened_from__isnull=False, material__kind="floss")
    assert opened.count() == len(taken)
    for shelf in Lot.objects.filter(package_amount__isnull=False, material__kind="floss"):
        begun = opened.filter(opened_from=shelf).count()
        assert shelf.on_hand_amount == (12 - begun) * 8 * months.METRE


def test_a_second_commit_is_refused(plan: Plan, coordinator: Person) -> None:
    """Committing the same plan, or another of the same batch, a second time changes nothing."""
    second = actions.make_plan(batch=plan.batch, by=coordinator, at=months.AT)
    commit(plan, coordinator)
    before = counts()
    for again in (plan, second):
        with pytest.raises(actions.AlreadyCommitted):
            commit(again, coordinator)
    assert counts() == before


def test_one_form_commits_once(plan: Plan, coordinator: Person) -> None:
    """The same form sent twice makes the kits once and answers the same both times."""
    for _ in range(2):
        answer = actions.commit_plan(plan=plan, by=coordinator, at=months.AT, request_key="k")
        assert answer.pk == plan.pk
    assert Kit.objects.count() == 7


def test_a_stale_plan_is_refused(plan: Plan, coordinator: Person) -> None:
    """Once a number of the batch has changed the old plan cannot be committed."""
    line = plan.batch.lines.all()[0]
    details = actions.LineDetails(
        revision=line.design_revision, size=line.size, purpose=line.purpose, gown_count=1
    )
    actions.set_lines(batch=plan.batch, lines=[details], by=coordinator, at=months.AT)
    before = counts()
    with pytest.raises(actions.PlanOutOfDate, match="plan again, then commit that plan"):
        commit(plan, coordinator)
    assert counts() == before


def test_an_empty_plan_is_refused(coordinator: Person) -> None:
    """A plan that can make nothing, as there is no cloth, is not committed."""
    months.catalog(coordinator)
    lot = months.cloth(coordinator)
    months.ask(coordinator, months.ward(2500), (2500, 2))
    batch = months.proposed(coordinator)
    issue_free(lot=lot, amount=lot.on_hand_amount, by=coordinator, at=months.AT)
    plan = actions.make_plan(batch=batch, by=coordinator, at=months.AT)
    with pytest.raises(actions.EmptyPlan):
        commit(plan, coordinator)
    batch.refresh_from_db()
    assert batch.state == Batch.State.PLANNED


def test_cloth_that_is_gone_is_named(plan: Plan, coordinator: Person) -> None:
    """A lot taken off the shelf since the plan is named with the way out, and nothing is half saved."""
    lot = Lot.objects.get(pk=int(StoredPlan.of(plan).plan.cuts[0].lot_key))
    issue_free(lot=lot, amount=lot.on_hand_amount - 1000, by=coordinator, at=months.AT)
    before = counts()
    with pytest.raises(Short, match=rf"{lot.code} .* plan again or choose another lot"):
        commit(plan, coordinator)
    assert counts() == before
    plan.refresh_from_db()
    assert plan.committed_at is None


def test_packages_that_are_gone_are_named(plan: Plan, coordinator: Person) -> None:
    """Unopened packages that something else took since the plan are named with the way out."""
    key = next(key for key in taken_from_shelf(StoredPlan.of(plan).packing) if is_package(key))
    lot = Lot.objects.get(pk=lot_id_of(key))
    reserve_amount(lot=lot, amount=lot.free_amount, reference="another plan", by=coordinator, at=months.AT)
    with pytest.raises(Short, match=rf"{lot.material}, lot {spaced(lot.code)}, .* Plan it again"):
        commit(plan, coordinator)


def test_cloth_measured_again_is_not_cut_by_the_old_plan(plan: Plan, coordinator: Person) -> None:
    """New flaws, or another width, make the drawn lay worthless: plan again."""
    lot = Lot.objects.get(pk=int(StoredPlan.of(plan).plan.cuts[0].lot_key))
    mark_flaws(lot=lot, flaws=[{"from_um": 0, "to_um": 50_000}], by=coordinator, at=months.AT)
    with pytest.raises(actions.ClothChanged, match=spaced(lot.code)):
        commit(plan, coordinator)
    mark_flaws(lot=lot, flaws=[], by=coordinator, at=months.AT)
    measure_lot(lot=lot, length_um=lot.on_hand_amount, width_um=900_000, by=coordinator, at=months.AT)
    with pytest.raises(actions.ClothChanged, match=spaced(lot.code)):
        commit(plan, coordinator)


def test_cloth_no_longer_measured_is_refused(plan: Plan, coordinator: Person) -> None:
    """A lot whose state went back is not cut, and the sentence says to wash and measure it."""
    Lot.objects.filter(pk=int(StoredPlan.of(plan).plan.cuts[0].lot_key)).update(state=Lot.State.AS_GIVEN)
    with pytest.raises(actions.ClothNotMeasured, match="must be washed and measured"):
        commit(plan, coordinator)


def test_short_things_are_marked_in_the_kits(
    coordinator: Person, sign_in: Callable[[Person], Client]
) -> None:
    """A batch whose floss is short is made, and its kits say what to buy first; before, to choose what to buy."""
    months.catalog(coordinator)
    months.cloth(coordinator)
    months.ask(coordinator, months.ward(2500), (2500, 2))
    plan = months.planned(coordinator)
    page = sign_in(coordinator).get(reverse("batches:plan_page", args=[plan.pk])).content.decode()
    unchosen = page.partition("No material is chosen yet for these parts.")[2].partition("</ul>")[0]
    assert unchosen.count("<li>floss ") == 2
    assert "<li>sewing thread</li>" in unchosen
    commit(plan, coordinator)
    texts = list(KitLine.objects.filter(kind="floss").values_list("text", flat=True))
    assert texts
    assert all(re.fullmatch(r"To buy first: floss [AB]: \d+ cuts of .+, wound", text) for text in texts)
    packing = reverse("batches:kit_packing", args=[KitLine.objects.order_by("pk")[0].kit.code])
    assert "nothing is booked off the shelf" in sign_in(coordinator).get(packing).content.decode()
    assert plan_violations() == []


def test_dropping_a_plan_leaves_the_batch(plan: Plan, coordinator: Person) -> None:
    """An uncommitted plan may be thrown away; a committed one is kept."""
    actions.drop_plan(plan=plan, by=coordinator, at=months.AT)
    batch = Batch.objects.get()
    assert (batch.state, batch.plans.count()) == (Batch.State.PROPOSED, 0)
    kept = commit(actions.make_plan(batch=batch, by=coordinator, at=months.AT), coordinator)
    with pytest.raises(actions.PlanInUse):
        actions.drop_plan(plan=kept, by=coordinator, at=months.AT)


def test_numbers_of_a_batch_under_way_do_not_change(plan: Plan, coordinator: Person) -> None:
    """Lines, proposal and planning of a committed batch are refused."""
    commit(plan, coordinator)
    with pytest.raises(actions.BatchMovedOn, match="Start another batch instead"):
        actions.set_lines(batch=plan.batch, lines=[], by=coordinator, at=months.AT)
    with pytest.raises(actions.BatchMovedOn):
        actions.start_planning(batch=plan.batch, by=coordinator, at=months.AT)


def test_audit_sees_a_kit_of_other_cloth(plan: Plan, coordinator: Person) -> None:
    """A kit whose lot was changed by hand, and a reservation nobody booked, are found."""
    commit(plan, coordinator)
    kit = Kit.objects.all()[0]
    Kit.objects.filter(pk=kit.pk).update(outer_lot=months.cloth(coordinator))
    Reservation.objects.filter(lay=kit.lay).update(amount=10**9, open_amount=10**9)
    found = " ".join(plan_violations())
    assert f"kit {kit.code}: its cloth is not that of its lay" in found
    assert f"lot {kit.lay.lot.code}: plans hold" in found


def test_needs_are_dealt_whole_where_they_can() -> None:
    """A need that one supply holds is not split; what none holds is split, and the rest is to be bought."""
    needs = [("1", 60), ("2", 60), ("3", 60), ("4", 60)]
    assert list(dealt(needs, [("a", 100), ("b", 100)])) == [
        ("1", "a", 60),
        ("2", "b", 60),
        ("3", "a", 40),
        ("3", "b", 20),
        ("4", "b", 20),
        ("4", None, 40),
    ]
