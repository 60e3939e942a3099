"""Lots come in, are washed and measured, counted and opened."""

from datetime import datetime
from typing import Any

import pytest

from gowngroup.people.models import Person
from gowngroup.records.errors import Refusal
from gowngroup.records.models import Counter
from gowngroup.records.queries import trail_of
from gowngroup.stock.actions import (
    issue_free,
    issue_reserved,
    mark_flaws,
    mark_washed,
    measure_lot,
    open_package,
    receive_lot,
    release_amount,
    reserve_amount,
    return_amount,
    take_stock,
)
from gowngroup.stock.models import LedgerLine, Lot
from gowngroup.stock.queries import lot_ledger, violations
from tests.factories import LotFactory, MaterialFactory

pytestmark = pytest.mark.django_db

METRE = 1_000_000


@pytest.fixture
def cloth(packer: Person, at: datetime) -> Lot:
    """Three metres of cloth as given."""
    return receive_lot(
        material=MaterialFactory(), amount=3 * METRE, width_um=1_120_000, place="Shelf 2", by=packer, at=at
    )


@pytest.fixture
def skeins(packer: Person, at: datetime) -> Lot:
    """Four unopened skeins of eight metres."""
    floss = MaterialFactory(kind="floss", package_amount=8 * METRE, package_word="skein")
    return receive_lot(material=floss, package_count=4, by=packer, at=at)


def test_receiving_books_in_with_code_and_trail(cloth: Lot) -> None:
    """A received lot has a code of its own, its amount on hand, one ledger line and one trail line."""
    assert (cloth.on_hand_amount, cloth.code[0], len(cloth.code)) == (3 * METRE, "L", 6)
    assert [line.on_hand_change for line in lot_ledger(cloth)] == [3 * METRE]
    assert [line.did for line in trail_of(cloth)] == ["receive_lot"]


def test_packages_are_counted_into_length(skeins: Lot) -> None:
    """Four skeins of eight metres are thirty-two metres on hand, still in their packages."""
    assert (skeins.on_hand_amount, skeins.package_amount) == (32 * METRE, 8 * METRE)


def test_a_code_is_given_once(cloth: Lot, packer: Person, at: datetime) -> None:
    """A second lot with the same code is refused with a sentence at that field, and nothing is saved."""
    receive_lot(material=cloth.material, amount=1, width_um=1, code="OLD7", by=packer, at=at)
    with pytest.raises(Refusal, match="There is a lot OLD7 already") as refusal:
        receive_lot(material=cloth.material, amount=1, width_um=1, code="old-7", by=packer, at=at)
    assert refusal.value.field == "code"
    assert Lot.objects.filter(code="OLD7").count() == 1


def test_new_codes_go_around_given_ones(packer: Person, at: datetime) -> None:
    """A drawn code that somebody typed for another lot before is drawn again."""
    lace = MaterialFactory(kind="lace")
    drawn = receive_lot(material=lace, amount=1, by=packer, at=at).code
    Lot.objects.filter(code=drawn).update(code="ELSE")
    Counter.objects.update(value=0)
    receive_lot(material=lace, amount=1, code=drawn, by=packer, at=at)
    assert receive_lot(material=lace, amount=1, by=packer, at=at).code not in (drawn, "ELSE")


@pytest.mark.parametrize(
    ("facts", "field"),
    [
        ({"amount": 0, "width_um": 1_000_000}, "amount"),
        ({"amount": -5, "width_um": 1_000_000}, "amount"),
        ({"amount": METRE}, "width_um"),
        ({"package_count": 2, "width_um": 1_000_000}, "package_amount"),
        ({"package_count": 0, "package_amount": 9, "width_um": 1_000_000}, "package_count"),
    ],
)
def test_impossible_arrivals_are_refused(
    facts: dict[str, Any], field: str, packer: Person, at: datetime
) -> None:
    """Nothing, less than nothing, cloth without width and packages without content name their field."""
    with pytest.raises(Refusal) as refusal:
        receive_lot(material=MaterialFactory(), by=packer, at=at, **facts)
    assert refusal.value.field == field
    assert not Lot.objects.exists()


def test_one_form_books_once(packer: Person, at: datetime) -> None:
    """The same form sent twice books one lot in."""
    material = MaterialFactory(kind="lace")
    first, second = (
        receive_lot(material=material, amount=METRE, by=packer, at=at, request_key="k") for _ in range(2)
    )
    assert first == second
    assert LedgerLine.objects.count() == 1


def test_reserving_more_than_is_free_says_both_amounts(cloth: Lot, packer: Person, at: datetime) -> None:
    """A plan that comes too late reads what is free, what it wanted, and the way out."""
    reserve_amount(lot=cloth, amount=1_800_000, reference="plan 1", by=packer, at=at)
    with pytest.raises(Refusal, match=r"1\.2 m free, 1\.5 m wanted; plan again") as refusal:
        reserve_amount(lot=cloth, amount=1_500_000, reference="plan 2", by=packer, at=at)
    assert refusal.value.status == 409


def test_a_stale_row_cannot_reserve_twice(cloth: Lot, packer: Person, at: datetime) -> None:
    """The row in the database counts, not the one in hand."""
    stale = Lot.objects.get(pk=cloth.pk)
    reserve_amount(lot=cloth, amount=2 * METRE, reference="plan 1", by=packer, at=at)
    with pytest.raises(Refusal, match="not on the shelf any more"):
        reserve_amount(lot=stale, amount=2 * METRE, reference="plan 2", by=packer, at=at)


def test_cutting_takes_off_hand_and_off_reserve_at_once(cloth: Lot, packer: Person, at: datetime) -> None:
    """A lay really cut longer than planned books its real length and ends its whole reservation."""
    reserve_amount(lot=cloth, amount=METRE, reference="plan 1", by=packer, at=at)
    issue_reserved(lot=cloth, amount=1_040_000, reserved_amount=METRE, reference="lay 1", by=packer, at=at)
    assert (cloth.on_hand_amount, cloth.reserved_amount) == (1_960_000, 0)


def test_cutting_cannot_eat_what_others_reserved(cloth: Lot, packer: Person, at: datetime) -> None:
    """What another plan holds stays, even when a lay turned out longer."""
    for plan in ("plan 1", "plan 2"):
        reserve_amount(lot=cloth, amount=1_500_000, reference=plan, by=packer, at=at)
    with pytest.raises(Refusal, match="0 cm free, 1 cm wanted"):
        issue_reserved(
            lot=cloth, amount=1_510_000, reserved_amount=1_500_000, reference="lay 1", by=packer, at=at
        )
    assert (cloth.on_hand_amount, cloth.reserved_amount) == (3 * METRE, 3 * METRE)


def test_no_more_is_set_free_than_was_reserved(cloth: Lot, packer: Person, at: datetime) -> None:
    """Setting free more than is held is refused."""
    reserve_amount(lot=cloth, amount=METRE, reference="plan 1", by=packer, at=at)
    with pytest.raises(Refusal, match="Only 1 m of"):
        release_amount(lot=cloth, amount=2 * METRE, reference="plan 1", by=packer, at=at)
    release_amount(lot=cloth, amount=METRE, reference="plan 1", by=packer, at=at)
    assert cloth.free_amount == 3 * METRE


def test_left_overs_come_back(cloth: Lot, packer: Person, at: datetime) -> None:
    """What is issued and returned is on hand again, in two lines."""
    issue_free(lot=cloth, amount=METRE, reason="test square", by=packer, at=at)
    return_amount(lot=cloth, amount=400_000, by=packer, at=at)
    assert cloth.on_hand_amount == 2_400_000
    assert cloth.ledger.count() == 3


def test_stocktake_needs_a_reason(cloth: Lot, packer: Person, at: datetime) -> None:
    """An amount is corrected with a reason only, by a line of its own."""
    with pytest.raises(Refusal) as refusal:
        take_stock(lot=cloth, counted_amount=METRE, reason="  ", by=packer, at=at)
    assert refusal.value.field == "reason"
    line = take_stock(lot=cloth, counted_amount=METRE, reason="moths", by=packer, at=at)
    assert (line.on_hand_change, line.reason, cloth.on_hand_amount) == (-2 * METRE, "moths", METRE)


def test_stocktake_stays_above_what_is_reserved(cloth: Lot, packer: Person, at: datetime) -> None:
    """Less than a plan holds cannot be booked; the sentence says how much it holds."""
    reserve_amount(lot=cloth, amount=2 * METRE, reference="plan 1", by=packer, at=at)
    with pytest.raises(Refusal, match="A plan holds 2 m of"):
        take_stock(lot=cloth, counted_amount=METRE, reason="moths", by=packer, at=at)
    assert cloth.on_hand_amount == 3 * METRE


def test_only_washed_and_measured_cloth_can_be_cut(cloth: Lot, packer: Person, at: datetime) -> None:
    """Washing is not enough; measuring books the real length and opens the cloth for cutting."""
    mark_washed(lot=cloth, by=packer, at=at)
    cloth.refresh_from_db()
    assert not cloth.can_be_cut()
    measure_lot(lot=cloth, length_um=2_880_000, width_um=1_090_000, by=packer, at=at)
    cloth.refresh_from_db()
    assert cloth.can_be_cut()
    assert (cloth.on_hand_amount, cloth.width_um) == (2_880_000, 1_090_000)
    assert lot_ledger(cloth)[0].reason == "washed and measured"


def test_measuring_leaves_one_trail_line(cloth: Lot, packer: Person, at: datetime) -> None:
    """The trail says from which state, width and length to which."""
    measure_lot(lot=cloth, length_um=2_900_000, width_um=1_100_000, by=packer, at=at)
    line = trail_of(cloth)[0]
    assert line.did == "measure_lot"
    assert line.changes["state"] == ["as given", "measured"]
    assert line.changes["on_hand_amount"] == [3 * METRE, 2_900_000]


def test_an_opened_package_is_its_own_lot(skeins: Lot, packer: Person, at: datetime) -> None:
    """Opening a skein moves its length into a lot that remembers where it came from."""
    opened = open_package(lot=skeins, by=packer, at=at)
    assert (skeins.on_hand_amount, opened.on_hand_amount) == (24 * METRE, 8 * METRE)
    assert (opened.opened_from, opened.package_amount) == (skeins, None)
    with pytest.raises(Refusal, match="not made of unopened packages"):
        open_package(lot=opened, by=packer, at=at)


def test_a_reserved_package_stays_closed(skeins: Lot, packer: Person, at: datetime) -> None:
    """When every package is reserved, none is opened and no lot is made."""
    reserve_amount(lot=skeins, amount=25 * METRE, reference="plan 1", by=packer, at=at)
    with pytest.raises(Refusal, match="No unopened package"):
        open_package(lot=skeins, by=packer, at=at)
    assert Lot.objects.count() == 1


def test_several_packages_are_not_one_length(skeins: Lot, packer: Person, at: datetime) -> None:
    """Packages are washed and measured one by one, since they are not joined."""
    with pytest.raises(Refusal, match="open one"):
        measure_lot(lot=skeins, length_um=31 * METRE, by=packer, at=at)


def test_flaws_move_with_the_cut(cloth: Lot, packer: Person, at: datetime) -> None:
    """Flaws are measured from the beginning of the cloth, so cutting there moves them up."""
    mark_flaws(
        lot=cloth,
        flaws=[{"from_um": 900_000, "to_um": 1_100_000}, {"from_um": 200_000, "to_um": 210_000}],
        by=packer,
        at=at,
    )
    issue_free(lot=cloth, amount=METRE, by=packer, at=at)
    assert cloth.flaws == [{"from_um": 0, "to_um": 100_000}]


def test_flaws_move_with_a_lay(cloth: Lot, packer: Person, at: datetime) -> None:
    """A lay cut for a plan moves the flaws as any other cut does, and no further than it was really cut."""
    mark_flaws(lot=cloth, flaws=[{"from_um": 2 * METRE, "to_um": 2_100_000}], by=packer, at=at)
    reserve_amount(lot=cloth, amount=METRE, reference="plan 1", by=packer, at=at)
    assert cloth.flaws[0]["from_um"] == 2 * METRE
    issue_reserved(lot=cloth, amount=950_000, reserved_amount=METRE, reference="lay 1", by=packer, at=at)
    assert cloth.flaws == [{"from_um": 1_050_000, "to_um": 1_150_000}]


@pytest.mark.parametrize("span", [(-1, 10), (10, 10), (20, 10), (10, 3 * METRE + 1)])
def test_flaws_lie_on_the_cloth(cloth: Lot, packer: Person, at: datetime, span: tuple[int, int]) -> None:
    """A flaw before the beginning, after the end or of no length is refused."""
    with pytest.raises(Refusal, match="A flaw begins before it ends"):
        mark_flaws(lot=cloth, flaws=[{"from_um": span[0], "to_um": span[1]}], by=packer, at=at)


def test_audit_sees_a_hand_made_change(cloth: Lot) -> None:
    """A lot changed past the ledger is reported with both figures."""
    assert violations() == []
    Lot.objects.filter(pk=cloth.pk).update(on_hand_amount=5)
    assert violations() == [f"lot {cloth.code}: 5 on hand, 0 reserved; its ledger says 3000000 and 0"]


def test_audit_sees_stock_without_ledger() -> None:
    """Stock that never came in by the books is reported."""
    LotFactory(code="LX", on_hand_amount=7)
    assert len(violations()) == 1
