"""A gown goes through label, first check, mending, washing and second check in that order."""

from datetime import date, datetime

import pytest

from gowngroup.batches.models import Kit
from gowngroup.catalog.models import Purpose
from gowngroup.deliveries.models import DropOff, DropOffGown
from gowngroup.gowns.actions import (
    add_gown,
    bring_back_gowns,
    finish_mending,
    place_gown,
    send_gowns,
    take_back,
    wash_gowns,
)
from gowngroup.gowns.models import Gown, GownCheck
from gowngroup.gowns.queries import gowns_for, gowns_on_shelf, gowns_to_check, shelf_counts, violations
from gowngroup.people.models import Person
from gowngroup.records.errors import Refusal
from gowngroup.records.queries import trail_of
from tests.factories import DesignSizeFactory, KitFactory, WardFactory
from tests.gowns.conftest import Check

pytestmark = pytest.mark.django_db


def test_each_gown_gets_its_own_code(kit: Kit, inspector: Person, at: datetime) -> None:
    """Three gowns that come back in two goes bear three codes and remember kit, return and cloth."""
    for count in (2, 1):
        take_back(kit=kit, gown_count=count, are_needles_counted=True, by=inspector, at=at)
    gowns = Gown.objects.all()
    assert len({gown.code for gown in gowns}) == 3
    assert all(gown.code[0] == "G" and gown.kit == kit for gown in gowns)
    assert {gown.outer_lot for gown in gowns} == {kit.outer_lot}
    assert sorted(back.gowns.count() for back in kit.returns.all()) == [1, 2]
    kit.refresh_from_db()
    assert kit.state == Kit.State.RETURNED


def test_the_same_return_sent_twice_makes_one_gown(kit: Kit, inspector: Person, at: datetime) -> None:
    """A doubled click takes one gown back."""
    for _each in range(2):
        take_back(kit=kit, gown_count=1, are_needles_counted=True, by=inspector, at=at, request_key="one")
    assert Gown.objects.count() == 1


def test_more_gowns_than_the_kit_makes_are_refused(kit: Kit, inspector: Person, at: datetime) -> None:
    """Too many gowns are refused, and neither return nor gown is kept."""
    with pytest.raises(Refusal):
        take_back(kit=kit, gown_count=4, are_needles_counted=True, by=inspector, at=at)
    assert not Gown.objects.exists()
    assert not kit.returns.exists()


def test_pleated_panels_are_no_gowns(inspector: Person, at: datetime, volunteer: Person) -> None:
    """What comes back from a kit for pleating alone is noted but makes no gown."""
    kit = KitFactory(state=Kit.State.CLAIMED, holder=volunteer, stage="pleat")
    take_back(kit=kit, gown_count=1, are_needles_counted=True, by=inspector, at=at)
    assert not Gown.objects.exists()
    assert violations() == []


def test_the_whole_way_to_the_shelf(gown: Gown, check: Check, inspector: Person, at: datetime) -> None:
    """First check, wash, second check: then the gown lies on the shelf with its moment and its box."""
    assert list(gowns_to_check("first")) == [gown]
    check(gown)
    wash_gowns(gowns=[gown], is_dry=True, is_steamed=True, by=inspector, at=at)
    assert list(gowns_to_check("second")) == [gown]
    gown.refresh_from_db()
    check(gown, "second", place="box 2")
    assert (gown.state, gown.passed_at, gown.place) == (Gown.State.PASSED, at, "box 2")
    assert list(gowns_on_shelf()) == [gown]
    assert [line.did for line in trail_of(gown)] == ["check_gown", "wash_gown", "check_gown", "receive_gown"]
    assert violations() == []


def test_nothing_is_checked_twice_before_washing(gown: Gown, check: Check) -> None:
    """A second check before the wash is refused."""
    with pytest.raises(Refusal, match="back, first check to do"):
        check(gown, "second")


def test_only_dry_and_steamed_gowns_go_on(gown: Gown, check: Check, inspector: Person, at: datetime) -> None:
    """A gown that is still damp or not steamed is not washed."""
    check(gown)
    for is_dry in (True, False):
        with pytest.raises(Refusal, match="bone dry"):
            wash_gowns(gowns=[gown], is_dry=is_dry, is_steamed=not is_dry, by=inspector, at=at)
    gown.refresh_from_db()
    assert gown.state == Gown.State.TO_WASH


def test_washing_is_all_or_none(gown: Gown, passed: Gown, inspector: Person, at: datetime) -> None:
    """When one of the gowns is somewhere else by now, none is marked as washed."""
    other = Gown.objects.create(
        code="GX",
        state=Gown.State.TO_WASH,
        design_revision=gown.design_revision,
        size=gown.size,
        purpose="worn",
        received_at=at,
    )
    with pytest.raises(Refusal, match="passed, on the shelf"):
        wash_gowns(gowns=[other, passed], is_dry=True, is_steamed=True, by=inspector, at=at)
    other.refresh_from_db()
    assert other.state == Gown.State.TO_WASH


def test_a_mended_gown_is_checked_from_the_start(
    gown: Gown, check: Check, inspector: Person, at: datetime
) -> None:
    """Mending leads back to the first check, whichever check sent the gown to be mended."""
    check(gown, outcome="mend")
    with pytest.raises(Refusal, match="being mended"):
        check(gown)
    finish_mending(gown=gown, by=inspector, at=at)
    assert list(gowns_to_check("first")) == [gown]
    check(gown)
    assert gown.state == Gown.State.TO_WASH
    assert violations() == []


@pytest.mark.parametrize(
    ("outcome", "state"),
    [("mend", Gown.State.MENDING), ("set aside", Gown.State.SET_ASIDE), ("practice", Gown.State.PRACTICE)],
)
@pytest.mark.parametrize("round_", ["first", "second"])
def test_other_outcomes_lead_elsewhere_with_a_reason(
    round_: str, outcome: str, state: str, check: Check, request: pytest.FixtureRequest
) -> None:
    """Mend, set aside and practice piece need a reason and take the gown off its way."""
    gown = request.getfixturevalue("gown" if round_ == "first" else "washed")
    with pytest.raises(Refusal, match="in a few words why"):
        check(gown, round_, outcome, reason=" ")
    check(gown, round_, outcome)
    assert gown.state == state
    assert violations() == []


def test_metal_keeps_a_gown_from_passing(gown: Gown, check: Check) -> None:
    """A gown over which no magnet went, or which it found something in, does not pass."""
    with pytest.raises(Refusal, match="magnet") as refusal:
        check(gown, is_free_of_metal=False)
    assert refusal.value.field == "is_free_of_metal"
    check(gown, outcome="set aside", is_free_of_metal=False)
    assert not gown.checks.get().is_free_of_metal


@pytest.mark.parametrize("missing", ["label", "measures", "opens_flat", "seams"])
def test_everything_must_be_in_order_to_pass_first(gown: Gown, check: Check, missing: str) -> None:
    """One thing not in order keeps a gown from passing its first check, and is named."""
    answers = {key: key != missing for key in ("label", "measures", "opens_flat", "seams")}
    with pytest.raises(Refusal) as refusal:
        check(gown, answers=answers)
    assert refusal.value.field == missing


@pytest.mark.parametrize("missing", ["tug", "marks", "blood", "smell", "hair", "threads"])
def test_everything_must_be_in_order_to_pass_second(washed: Gown, check: Check, missing: str) -> None:
    """One thing not in order keeps a gown from passing its second check, and is named."""
    answers = {key: key != missing for key in ("tug", "marks", "blood", "smell", "hair", "threads")}
    with pytest.raises(Refusal) as refusal:
        check(washed, "second", answers=answers)
    assert refusal.value.field == missing


def test_a_memorial_gown_bears_no_label(
    volunteer: Person, inspector: Person, at: datetime, check: Check
) -> None:
    """For a memorial gown the question is that nothing is sewn in or written on it."""
    kit = KitFactory(state=Kit.State.CLAIMED, holder=volunteer, purpose=Purpose.MEMORIAL)
    take_back(kit=kit, gown_count=1, are_needles_counted=True, by=inspector, at=at)
    gown = Gown.objects.get()
    with pytest.raises(Refusal, match="on the bag only"):
        check(gown, answers=dict.fromkeys(("label", "measures", "opens_flat", "seams"), True))


def test_two_inspectors_check_one_gown(gown: Gown, check: Check) -> None:
    """The check of who comes second, having seen the gown before the other's check, is refused."""
    second = Gown.objects.get(pk=gown.pk)
    check(gown)
    with pytest.raises(Refusal, match="to be washed") as refusal:
        check(second, outcome="practice")
    assert refusal.value.status == 409
    assert GownCheck.objects.count() == 1


def test_a_wrong_outcome_is_put_right_by_another_check(gown: Gown, check: Check) -> None:
    """A gown set aside by mistake is checked again; both checks stay in its history."""
    check(gown, outcome="set aside")
    check(gown)
    assert gown.state == Gown.State.TO_WASH
    assert [one.outcome for one in gown.checks.order_by("pk")] == ["set aside", "pass"]
    assert violations() == []


def test_a_fault_found_on_the_shelf_takes_a_gown_off_it(passed: Gown, check: Check) -> None:
    """A passed gown can be checked again and is then no longer passed."""
    check(passed, "second", "mend")
    assert (passed.state, passed.passed_at) == (Gown.State.MENDING, None)
    assert not gowns_on_shelf().exists()


def test_a_gown_packed_for_a_ward_is_left_alone(passed: Gown, check: Check) -> None:
    """What lies in a drop-off counts no more as on the shelf and is checked only once it is taken out."""
    drop_off = DropOff.objects.create(ward=WardFactory(), planned_on=date(2026, 3, 12))
    row = DropOffGown.objects.create(gown=passed, drop_off=drop_off)
    assert not gowns_on_shelf().exists()
    with pytest.raises(Refusal, match="packed for a ward"):
        check(passed, "second", "mend")
    row.is_removed = True
    row.save()
    check(passed, "second", "mend")


def test_gowns_leave_and_are_brought_back(passed: Gown, inspector: Person, at: datetime) -> None:
    """A gown leaves exactly once, and can be put back when nobody was there."""
    send_gowns(gowns=[passed], by=inspector, at=at)
    with pytest.raises(Refusal, match="delivered"):
        send_gowns(gowns=[passed], by=inspector, at=at)
    assert violations() == []
    bring_back_gowns(gowns=[passed], by=inspector, at=at)
    assert list(gowns_on_shelf()) == [passed]


def test_a_gown_without_kit_is_checked_like_every_other(inspector: Person, at: datetime) -> None:
    """Old stock gets a code, freezes its design and starts at the first check."""
    made = DesignSizeFactory()
    gown = add_gown(
        design_revision=made.revision, size=made.size, purpose="worn", place="box 1", by=inspector, at=at
    )
    made.revision.refresh_from_db()
    assert (gown.state, gown.kit, made.revision.used_at) == (Gown.State.BACK, None, at)
    assert violations() == []


def test_a_gown_fits_its_design(inspector: Person, at: datetime) -> None:
    """A size or purpose the design is not made for is refused at its field."""
    made = DesignSizeFactory(revision__is_for_memorial=False)
    other = DesignSizeFactory(size__upper_mass_g=900, size__lower_mass_g=500)
    for size, purpose, field in ((other.size, "worn", "size"), (made.size, "memorial", "purpose")):
        with pytest.raises(Refusal) as refusal:
            add_gown(design_revision=made.revision, size=size, purpose=purpose, by=inspector, at=at)
        assert refusal.value.field == field


def test_a_gown_moves_to_another_box(passed: Gown, inspector: Person, at: datetime) -> None:
    """Where a gown lies is noted with its trail line."""
    place_gown(gown=passed, place="box 7", by=inspector, at=at)
    assert trail_of(passed)[0].changes == {"place": ["box 2", "box 7"]}


def test_shelf_is_counted_by_size_and_purpose(passed: Gown) -> None:
    """Only passed gowns count, each under its size and purpose."""
    [row] = shelf_counts()
    assert (row.size, row.worn_count, row.memorial_count) == (passed.size, 1, 0)


def test_a_ward_is_given_only_what_it_takes(passed: Gown) -> None:
    """Closure, size, wash temperature and avoided shades of the ward decide which gowns it may be given."""
    assert passed.outer_lot is not None
    takes = WardFactory(sizes=[passed.size], wash_c=60)
    assert list(gowns_for(takes, size=passed.size, purpose="worn")) == [passed]
    for ward in (
        WardFactory(sizes=[]),
        WardFactory(sizes=[passed.size], closures=["wrap"]),
        WardFactory(sizes=[passed.size], wash_c=90),
        WardFactory(sizes=[passed.size], avoided_shades=["pink", str(passed.outer_lot.material).upper()]),
    ):
        assert not gowns_for(ward, size=passed.size, purpose="worn").exists()


def test_a_gown_of_unknown_cloth_goes_only_where_the_usual_wash_is_enough(passed: Gown) -> None:
    """Old stock whose cloth nobody knows counts as washable at 60 °C, so a hotter ward is never given it."""
    Gown.objects.filter(pk=passed.pk).update(outer_lot=None)
    usual, hot = (WardFactory(sizes=[passed.size], wash_c=wash_c) for wash_c in (60, 71))
    assert gowns_for(usual, size=passed.size, purpose="worn").exists()
    assert not gowns_for(hot, size=passed.size, purpose="worn").exists()


def test_audit_sees_hand_made_changes(passed: Gown) -> None:
    """A state no check speaks of and a return short of its gowns are reported."""
    assert violations() == []
    Gown.objects.filter(pk=passed.pk).update(state=Gown.State.TO_WASH, kit_return=None)
    found = violations()
    assert len(found) == 2
    assert "which its last check does not say" in found[0]
    assert "0 are in the books" in found[1]
