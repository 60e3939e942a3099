"""A plan worked out from real rows: whole, checked, stored, and honest about what cannot be made."""

import json
import re
from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from gowngroup.batches import actions
from gowngroup.batches.actions.planning import frozen_order
from gowngroup.batches.models import Batch, BatchLine, Plan
from gowngroup.batches.planner.document import StoredPlan
from gowngroup.batches.planner.reading import plan_page
from gowngroup.catalog.models import Chart, DesignRevision, DesignSize, Size
from gowngroup.catalog.planner import draft_of, planner_settings
from gowngroup.people.models import Person
from gowngroup.planning.batch_plan import from_document, to_document
from gowngroup.planning.lay.check import lay_faults
from gowngroup.records.codes import spaced
from gowngroup.records.models import Job
from gowngroup.stock.actions import mark_flaws, reserve_amount
from tests.batches import months


@pytest.fixture
def by(coordinator: Person) -> Person:
    """The coordinator, with the starting catalog."""
    months.catalog(coordinator)
    return coordinator


def whole_month(by: Person) -> Plan:
    """A plan of yoke gowns, round-necked gowns and wraps on a well-stocked shelf."""
    months.cloth(by, 7 * months.METRE)
    months.cloth(by, 3 * months.METRE)
    months.sundries(by)
    months.ask(by, months.ward(500, 1000, 2500, 3500), (1000, 3), (2500, 4), (3500, 2))
    batch = months.proposed(by)
    lines = [details_of(line) for line in batch.lines.exclude(size=months.size_to(3500))]
    lines.append(line_of(months.revision_of(), 3500, 2))
    lines.append(line_of(months.revision_of("wrap", "Wrap"), 500, 4, purpose="memorial", per_kit=2))
    actions.set_lines(batch=batch, lines=lines, by=by, at=months.AT)
    return actions.make_plan(batch=batch, by=by, at=months.AT)


def details_of(line: BatchLine) -> actions.LineDetails:
    """A line as it is."""
    return actions.LineDetails(
        revision=line.design_revision,
        size=line.size,
        purpose=line.purpose,
        gown_count=line.gown_count,
        gowns_per_kit=line.gowns_per_kit,
    )


def line_of(
    revision: DesignRevision, mass_g: int, count: int, *, purpose: str = "worn", per_kit: int = 1
) -> actions.LineDetails:
    """A line by the upper edge of its weight band."""
    return actions.LineDetails(
        revision=revision,
        size=months.size_to(mass_g),
        purpose=purpose,
        gown_count=count,
        gowns_per_kit=per_kit,
    )


def single_line(by: Person, details: actions.LineDetails) -> Batch:
    """A batch of one line put in by hand."""
    batch = actions.start_batch(month=months.MARCH, hours_offered_min=60_000, by=by, at=months.AT)
    return actions.set_lines(batch=batch, lines=[details], by=by, at=months.AT)


def sentences_of(plan: Plan) -> str:
    page = plan_page(StoredPlan.of(plan), {})
    refused = [sentence for each in page.refused for sentence in each["sentences"]]
    return " ".join([*refused, *(each.sentence for each in page.unmade)])


def test_the_document_comes_back_as_the_plan(by: Person) -> None:
    """What is stored reads back as the very plan, also after its way through the database and JSON."""
    plan = Plan.objects.get(pk=whole_month(by).pk)
    stored = json.loads(json.dumps(plan.document))
    assert to_document(from_document(stored["plan"])) == plan.document["plan"]
    assert StoredPlan.of(plan).plan.cuts


def test_every_lay_passes_the_independent_check(by: Person) -> None:
    """No stored lay overlaps, leaves its cloth or turns a piece it may not."""
    plan = StoredPlan.of(whole_month(by)).plan
    assert len(plan.cuts) >= 1
    for cut in plan.cuts:
        assert lay_faults(cut.lay, cut.pieces, cut.strip) == ()


def test_every_gown_is_planned_once(by: Person) -> None:
    """The kits of a plan hold as many gowns as the batch makes, two in a kit where that was wished."""
    row = whole_month(by)
    plan = StoredPlan.of(row).plan
    assert sum(kit.gown_count for kit in plan.kits) == sum(line.gown_count for line in row.batch.lines.all())
    assert [kit.gown_count for kit in plan.kits if kit.purpose == "memorial"] == [2, 2]


def test_snapshots_hold_what_it_was_worked_out_from(by: Person) -> None:
    """Measures, charts, figures with their source, settings, versions and requests stand in the document."""
    document = whole_month(by).document
    smocked = next(each for each in document["designs"] if each["smocking"])
    assert smocked["measures"]
    assert smocked["smocking"]["rows"][0]["runs"]
    assert smocked["pieces"][0]["pattern"]["cut_polygon"]
    assert all(figure["source"] for figure in document["figures"])
    assert document["settings"]["pleater"]["take_up_mm"] == 6.35
    assert document["versions"]["python"]
    assert {ask["gown_count"] for ask in document["requests"]} == {3, 4, 2}


def test_a_later_change_leaves_the_plan_as_it_was(by: Person) -> None:
    """A stored plan keeps the measures it was made from when the size table changes."""
    plan = whole_month(by)
    Size.objects.update(body_length_um=999_000)
    assert Plan.objects.get(pk=plan.pk).document == json.loads(json.dumps(plan.document))


def test_designs_of_a_plan_are_frozen(by: Person) -> None:
    """A revision that a plan rests on is never changed again."""
    whole_month(by)
    assert months.revision_of().is_frozen()


def test_frozen_designs_are_read_once(by: Person) -> None:
    """Where every design is frozen already nothing can change meanwhile, so the batch is read once, not twice."""
    months.cloth(by)
    batch = single_line(by, line_of(months.revision_of(), 3500, 1))
    asked = []
    for _ in range(2):
        with CaptureQueriesContext(connection) as queries:
            frozen_order(batch, None, by=by, at=months.AT)
        asked.append(len(queries))
    assert asked[1] < 0.6 * asked[0]


def test_unwashed_cloth_is_not_planned(by: Person) -> None:
    """Cloth as given is left alone, and the sentence says to wash and measure it."""
    lot = months.cloth(by, state="as given")
    batch = single_line(by, line_of(months.revision_of(), 3500, 1))
    plan = actions.make_plan(batch=batch, by=by, at=months.AT)
    assert f"Lot {spaced(lot.code)} would do, but it has not been washed and measured." in sentences_of(plan)


def test_a_piece_wider_than_the_cloth(by: Person) -> None:
    """Cloth narrower than a piece is named with both widths."""
    months.cloth(by, width_um=300_000)
    batch = single_line(by, line_of(months.revision_of(), 3500, 1))
    plan = actions.make_plan(batch=batch, by=by, at=months.AT)
    assert "wide; the widest cloth that suits has 28 cm between its selvedges." in sentences_of(plan)


def test_cloth_too_short_for_one_kit(by: Person) -> None:
    """Cloth long enough for each piece but not for all of a kit's is named with what is needed and left."""
    lot = months.cloth(by, 420_000)
    batch = single_line(by, line_of(months.revision_of(), 3500, 1))
    plan = actions.make_plan(batch=batch, by=by, at=months.AT)
    assert f"lot {spaced(lot.code)} has only 42 cm left beside the other kits" in sentences_of(plan)


def test_a_design_without_its_chart(by: Person) -> None:
    """A smocked design whose chart is missing is refused in a sentence that says what to do."""
    revision = months.revision_of()
    revision.chart = None
    revision.save()
    months.cloth(by)
    plan = actions.make_plan(batch=single_line(by, line_of(revision, 3500, 2)), by=by, at=months.AT)
    assert "has no smocking chart: choose one on the design’s page" in sentences_of(plan)
    assert not StoredPlan.of(plan).plan.kits


def test_what_is_short_is_said_in_shop_units(by: Person) -> None:
    """Without floss, lace and cloth the list counts skeins, cards, spools and metres."""
    months.cloth(by, 700_000)
    for kind, name in (("floss", "Rose"), ("floss", "Sage"), ("lace", "Narrow lace"), ("thread", "White")):
        months.material(by, kind, name)
    batch = single_line(by, line_of(months.revision_of("yoke", "Yoke"), 2500, 3))
    page = plan_page(StoredPlan.of(actions.make_plan(batch=batch, by=by, at=months.AT)), {})
    told = [line.text for line in page.shopping]
    assert re.fullmatch(r"[0-9.]+ m of cloth of the right weight, [0-9]+ cm wide", told[0])
    assert "1 card of 10 m of Narrow lace" in told
    assert "1 skein of Rose" in told
    assert "1 spool of 200 m of White" in told


def test_what_nobody_chose_stands_on_the_list_too(by: Person) -> None:
    """A part without any material on the list is to be bought under its own name."""
    months.cloth(by)
    batch = single_line(by, line_of(months.revision_of("yoke", "Yoke"), 2500, 1))
    page = plan_page(StoredPlan.of(actions.make_plan(batch=batch, by=by, at=months.AT)), {})
    assert "1 skein of floss A, Yoke gown with a smocked front" in [line.text for line in page.shopping]


def test_flawed_cloth_another_plan_holds_is_left_alone(by: Person) -> None:
    """Where another plan will first cut a piece off, nobody knows where the flaws will lie then."""
    lot = months.cloth(by)
    mark_flaws(lot=lot, flaws=[{"from_um": 0, "to_um": 10_000}], by=by, at=months.AT)
    reserve_amount(lot=lot, amount=100_000, reference="plan 0", by=by, at=months.AT)
    plan = actions.make_plan(
        batch=single_line(by, line_of(months.revision_of(), 3500, 1)), by=by, at=months.AT
    )
    assert not StoredPlan.of(plan).plan.cuts


def test_a_batch_without_gowns_is_not_planned(by: Person) -> None:
    """Planning nothing is refused with what to do first."""
    batch = actions.start_batch(month=months.MARCH, by=by, at=months.AT)
    with pytest.raises(actions.NothingToPlan, match="propose it from the requests or add lines"):
        actions.make_plan(batch=batch, by=by, at=months.AT)


def test_one_planning_at_a_time(by: Person) -> None:
    """A batch that is being planned is not planned again until that has ended or been given up."""
    months.cloth(by)
    batch = single_line(by, line_of(months.revision_of(), 3500, 1))
    first = actions.start_planning(batch=batch, by=by, at=months.AT)
    with pytest.raises(actions.BeingPlanned):
        actions.start_planning(batch=batch, by=by, at=months.AT + timedelta(minutes=1))
    actions.start_planning(batch=batch, by=by, at=months.AT + timedelta(minutes=20))
    first.refresh_from_db()
    assert first.state == Job.State.FAILED


def test_a_cancelled_plan_is_not_kept(by: Person) -> None:
    """Cancelling while the sums are done throws the plan away."""
    months.cloth(by)
    batch = single_line(by, line_of(months.revision_of(), 3500, 1))
    job = actions.start_planning(batch=batch, by=by, at=months.AT)
    actions.begin_job(job=job, at=months.AT)
    actions.cancel_planning(batch=batch, by=by, at=months.AT)
    with pytest.raises(actions.PlanningCancelled):
        actions.make_plan(batch=batch, job=job, by=by, at=months.AT)
    assert not Plan.objects.exists()


def test_a_matched_set_is_cut_from_one_cloth(by: Person) -> None:
    """The gowns of a set, of two sizes, come from the same lot although two lots would suit."""
    months.cloth(by, 1 * months.METRE)
    months.cloth(by, 1 * months.METRE)
    asking = months.ward(1000, 2500)
    months.ask(by, asking, (1000, 1), (2500, 1), set_number=1)
    plan = StoredPlan.of(months.planned(by)).plan
    assert [kit.matched_set_key is not None for kit in plan.kits] == [True, True]
    assert len({kit.lot_key for kit in plan.kits}) == 1


def test_chart_and_pleats_fit_the_design_planned(by: Person) -> None:
    """The snapshot's pleats are those of the size and its chart the design's own."""
    document = whole_month(by).document
    yoke = next(
        each for each in document["designs"] if each["design"].startswith("Yoke") and each["smocking"]
    )
    size = DesignSize.objects.get(revision_id=yoke["revision_id"], size_id=yoke["size_id"])
    drafted = draft_of(size, yoke["purpose"], planner_settings()).smocking
    assert yoke["pleating"]["pleat_count"] == (drafted.pleat_count if drafted else None)
    assert yoke["smocking"]["chart"]["name"] in {str(chart) for chart in Chart.objects.all()}
