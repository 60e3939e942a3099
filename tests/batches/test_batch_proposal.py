"""The proposal: what is asked, less what is there, giving way where hours or cloth run short."""

from datetime import date

import pytest

from gowngroup.batches import actions
from gowngroup.batches.models import Batch
from gowngroup.batches.templatetags.plans import why
from gowngroup.people.models import Person
from gowngroup.stock.actions import receive_lot
from gowngroup.wards.actions import pause_ward, set_shelf_level
from tests.batches import months
from tests.factories import KitFactory, PersonFactory


@pytest.fixture
def by(coordinator: Person) -> Person:
    """The coordinator, with the starting catalog."""
    months.catalog(coordinator)
    return coordinator


def gowns(batch: Batch) -> dict[tuple[int, str], int]:
    """Gowns by upper weight and purpose."""
    return {(line.size.upper_mass_g, line.purpose): line.gown_count for line in batch.lines.all()}


def test_shelf_and_a_share_of_kits_out_are_taken_off(by: Person) -> None:
    """Of 6 asked, 2 on the shelf and 3 out at 0.9 leave 2 to make, and the line says so in words."""
    months.cloth(by)
    months.ask(by, months.ward(2500), (2500, 6))
    KitFactory(size=months.size_to(2500), gown_count=3, lay__plan__batch__number=9)
    batch = months.proposed(by, passed=months.gowns_of(2500, 2))
    line = batch.lines.get()
    assert (line.gown_count, line.proposed_count) == (2, 2)
    assert why(line) == "wards asked 6, shelf 2, out 3 × 0.9"


def test_gowns_in_check_count_like_those_out(by: Person) -> None:
    """Ten gowns back and not yet passed are worth nine of those asked."""
    months.cloth(by)
    months.ask(by, months.ward(2500), (2500, 12))
    batch = months.proposed(by, in_check=months.gowns_of(2500, 10))
    assert gowns(batch) == {(2500, "worn"): 3}


def test_hours_bind(by: Person) -> None:
    """With hours for a few gowns only so many are proposed, and the line says what ran out."""
    months.cloth(by, 20 * months.METRE)
    months.ask(by, months.ward(2500), (2500, 12))
    line = months.proposed(by, hours=14).lines.get()
    assert 0 < line.gown_count < 12
    assert why(line) == f"wards asked 12; {12 - line.gown_count} fewer: the hours run out"


def test_cloth_binds(by: Person) -> None:
    """With cloth for a few gowns only so many are proposed, although hours are plenty."""
    months.cloth(by, 1 * months.METRE)
    months.ask(by, months.ward(2500), (2500, 12))
    line = months.proposed(by).lines.get()
    assert 0 < line.gown_count < 4
    assert why(line) == f"wards asked 12; {12 - line.gown_count} fewer: no cloth is left for them"


def test_cloth_the_ward_would_shrink_is_no_cloth(by: Person) -> None:
    """A ward that washes at 71 °C gets nothing from cloth that stands 40 °C."""
    batiste = months.material(by, "cloth", "Delicate", mass_g_per_m2=95, wash_max_c=40)
    receive_lot(
        material=batiste, amount=6 * months.METRE, width_um=1_120_000, state="measured", by=by, at=months.AT
    )
    months.ask(by, months.ward(2500, wash_c=71), (2500, 2))
    assert gowns(months.proposed(by)) == {(2500, "worn"): 0}


def test_agreed_shelves_come_first(by: Person) -> None:
    """What an agreed memorial shelf lacks is made before gowns to wear when hours are short."""
    months.cloth(by)
    asking = months.ward(500, 2500)
    set_shelf_level(
        ward=asking, size=months.size_to(500), minimum_count=3, present_count=1, by=by, at=months.AT
    )
    months.ask(by, asking, (2500, 5))
    assert gowns(months.proposed(by, hours=5)) == {(500, "memorial"): 2, (2500, "worn"): 0}


def test_without_a_request_nothing_is_proposed(by: Person) -> None:
    """With no open request the sentence says what to do, and the batch stays as it was."""
    batch = actions.start_batch(month=months.MARCH, by=by, at=months.AT)
    with pytest.raises(actions.NothingAsked, match="Enter a request first, or add lines by hand"):
        actions.propose_batch(batch=batch, by=by, at=months.AT)
    assert not batch.lines.exists()


def test_a_paused_ward_waits(by: Person) -> None:
    """A ward that takes no deliveries until after the month gets nothing made."""
    months.cloth(by)
    asking = months.ward(2500)
    months.ask(by, asking, (2500, 6))
    pause_ward(ward=asking, paused_until=date(2026, 4, 15), by=by, at=months.AT)
    with pytest.raises(actions.NothingAsked):
        months.proposed(by)


def test_the_closure_the_ward_accepts_decides(by: Person) -> None:
    """A ward that accepts wraps only is proposed no gown with a fastening."""
    months.cloth(by)
    months.ask(by, months.ward(2500, closures=["wrap"]), (2500, 3))
    with pytest.raises(actions.NothingAsked):
        months.proposed(by)


def test_hours_start_as_the_sum_offered(by: Person) -> None:
    """A batch starts with the minutes all volunteers offer together."""
    PersonFactory(hours_offered_min=300)
    PersonFactory(hours_offered_min=450)
    PersonFactory(hours_offered_min=999, is_active=False)
    assert actions.start_batch(month=months.MARCH, by=by, at=months.AT).hours_offered_min == 750


def test_gowns_of_another_open_batch_are_not_made_twice(by: Person) -> None:
    """A second batch of the month leaves out what the first is about to make."""
    months.cloth(by)
    months.ask(by, months.ward(2500), (2500, 10))
    first = months.proposed(by)
    second = months.proposed(by)
    assert (gowns(first), gowns(second)) == ({(2500, "worn"): 10}, {(2500, "worn"): 1})


def test_usual_materials_are_chosen(by: Person) -> None:
    """Each part gets what most is free of, the flosses differ, and bags are never taken for fastenings."""
    months.cloth(by)
    months.sundries(by)
    months.ask(by, months.ward(2500), (2500, 2))
    chosen = {(row.kind, row.part): str(row.material) for row in months.proposed(by).choices.all()}
    assert chosen == {
        ("floss", "A"): "Stranded cotton, old rose",
        ("floss", "B"): "Stranded cotton, sage",
        ("lace", "sleeve hems"): "Narrow cotton lace",
        ("notion", "flat fastening, not of metal"): "Flat fastenings",
        ("thread", "seams"): "White thread",
    }


def test_a_changed_number_keeps_what_was_proposed(by: Person) -> None:
    """Changing a number keeps the reason and the number that was proposed beside it."""
    months.cloth(by)
    months.ask(by, months.ward(2500), (2500, 4))
    batch = months.proposed(by)
    line = batch.lines.get()
    details = actions.LineDetails(
        revision=line.design_revision, size=line.size, purpose="worn", gown_count=7, gowns_per_kit=2
    )
    actions.set_lines(batch=batch, lines=[details], by=by, at=months.AT)
    line = batch.lines.get()
    assert (line.gown_count, line.proposed_count, why(line)) == (7, 4, "wards asked 4")
