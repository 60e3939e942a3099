"""A whole month by actions alone: from a ward's request to its signature on the receipt."""

from datetime import datetime, timedelta

import pytest

from gowngroup.batches.actions import (
    AlreadyClaimed,
    LineDetails,
    claim_kit,
    commit_plan,
    cut_lay,
    give_back,
    make_plan,
    offer_packed_kits,
    pack_kit,
    propose_batch,
    set_lines,
    start_batch,
    tick_line,
)
from gowngroup.batches.models import Batch, Kit, Lay, Plan
from gowngroup.deliveries.actions import fill_drop_off, receive_drop_off, send_drop_off, start_drop_off
from gowngroup.gowns.actions import check_gown, finish_mending, take_back, wash_gowns
from gowngroup.gowns.checklist import questions
from gowngroup.gowns.models import Gown
from gowngroup.home.audit import violations
from gowngroup.people.models import Person
from gowngroup.stock.models import Lot
from gowngroup.wards.models import Ward, WardRequest
from tests.batches.months import MARCH, ask, catalog, cloth, sundries, ward


def test_a_whole_month(
    coordinator: Person,
    packer: Person,
    inspector: Person,
    driver: Person,
    volunteer: Person,
    colleague: Person,
    at: datetime,
) -> None:
    """Request, proposal, plan, kits, claims, returns, checks, drop-off and receipt follow from one another."""
    newborn = _a_ward_asks_for_three_gowns(coordinator)

    plan = _the_month_is_planned(coordinator, at)
    [cloth_lot] = Lot.objects.filter(material__kind="cloth")
    before_um = cloth_lot.on_hand_amount
    commit_plan(plan=plan, by=coordinator, at=at)
    _kits_are_cut_and_packed(packer, at)
    lay = Lay.objects.get(plan=plan)
    cloth_lot.refresh_from_db()
    assert cloth_lot.on_hand_amount == before_um - lay.length_um
    assert cloth_lot.reserved_amount == 0

    pair, single = Kit.objects.filter(state=Kit.State.WAITING).order_by("-gown_count")
    assert (pair.gown_count, single.gown_count) == (2, 1)
    claim_kit(kit=pair, by=volunteer, at=at)
    with pytest.raises(AlreadyClaimed, match="There is 1 more waiting"):
        claim_kit(kit=pair, by=colleague, at=at)
    claim_kit(kit=single, by=colleague, at=at)
    give_back(kit=single, by=colleague, at=at)
    claim_kit(kit=single, by=volunteer, at=at)

    _gowns_come_back(pair, single, inspector, at + timedelta(days=14))
    assert Gown.objects.filter(state=Gown.State.BACK).count() == 3
    _gowns_are_checked_mended_and_washed(inspector, at + timedelta(days=15))
    assert Gown.objects.filter(state=Gown.State.PASSED).count() == 3

    number = _gowns_are_driven_to_the_ward(newborn, driver, packer, at + timedelta(days=16))
    assert number == "2026-0001"
    assert WardRequest.objects.get().state == WardRequest.State.MET
    assert violations() == []


def _a_ward_asks_for_three_gowns(coordinator: Person) -> Ward:
    catalog(coordinator)
    cloth(coordinator, length_um=3_000_000)
    sundries(coordinator)
    newborn = ward(750, 1500)
    ask(coordinator, newborn, (750, 2), (1500, 1))
    return newborn


def _the_month_is_planned(coordinator: Person, at: datetime) -> Plan:
    batch = start_batch(month=MARCH, hours_offered_min=100 * 60, by=coordinator, at=at)
    propose_batch(batch=batch, by=coordinator, at=at)
    assert [line.gown_count for line in batch.lines.all()] == [2, 1]
    set_lines(batch=batch, lines=_two_small_gowns_a_kit(batch), by=coordinator, at=at)
    plan = make_plan(batch=batch, by=coordinator, at=at)
    assert plan.document["plan"]["shortages"] == []
    return plan


def _two_small_gowns_a_kit(batch: Batch) -> list[LineDetails]:
    return [
        LineDetails(
            revision=line.design_revision,
            size=line.size,
            purpose=line.purpose,
            gown_count=line.gown_count,
            gowns_per_kit=line.gown_count,
        )
        for line in batch.lines.all()
    ]


def _kits_are_cut_and_packed(packer: Person, at: datetime) -> None:
    lay = Lay.objects.get()
    cut_lay(lay=lay, cut_length_um=lay.length_um, by=packer, at=at)
    for kit in Kit.objects.filter(state=Kit.State.CUT):
        for line in kit.lines.all():
            tick_line(line=line, by=packer, at=at)
        pack_kit(kit=kit, by=packer, at=at)
    offer_packed_kits(by=packer, at=at)


def _gowns_come_back(pair: Kit, single: Kit, inspector: Person, at: datetime) -> None:
    """One of two first, the other a day later."""
    for kit, later in ((pair, 0), (single, 0), (pair, 1)):
        take_back(
            kit=kit, gown_count=1, are_needles_counted=True, by=inspector, at=at + timedelta(days=later)
        )
    states = [Kit.objects.get(pk=kit.pk).state for kit in (pair, single)]
    assert states == [Kit.State.RETURNED, Kit.State.RETURNED]


def _gowns_are_checked_mended_and_washed(inspector: Person, at: datetime) -> None:
    first, *others = Gown.objects.order_by("pk")
    _look_at(first, "first", "mend", inspector, at)
    finish_mending(gown=first, by=inspector, at=at)
    for gown in (first, *others):
        _look_at(gown, "first", "pass", inspector, at)
    wash_gowns(gowns=[first, *others], is_dry=True, is_steamed=True, by=inspector, at=at)
    for gown in Gown.objects.all():
        _look_at(gown, "second", "pass", inspector, at)


def _look_at(gown: Gown, round_: str, outcome: str, by: Person, at: datetime) -> None:
    check_gown(
        gown=gown,
        round=round_,
        outcome=outcome,
        is_free_of_metal=True,
        answers={question.key: outcome == "pass" for question in questions(gown, round_)},
        reason="" if outcome == "pass" else "a hem has come open",
        by=by,
        at=at,
    )


def _gowns_are_driven_to_the_ward(newborn: Ward, driver: Person, packer: Person, at: datetime) -> str | None:
    drop_off = start_drop_off(ward=newborn, planned_on=at.date(), driver=driver, by=packer, at=at)
    fill_drop_off(drop_off=drop_off, by=packer, at=at)
    send_drop_off(drop_off=drop_off, by=driver, at=at)
    receive_drop_off(drop_off=drop_off, signed_name="D. Arkwright", differences=[], by=driver, at=at)
    return drop_off.receipt_number
