"""The ledger holds whatever people do in whatever order; its lines are never changed or removed."""

import os
from datetime import UTC, datetime
from typing import Any

import pytest
from django.db import DatabaseError, connection
from django.db.models import Sum
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import Bundle, RuleBasedStateMachine, invariant, rule, run_state_machine_as_test

from gowngroup.people.models import Person
from gowngroup.records.errors import Refusal
from gowngroup.stock import actions
from gowngroup.stock.models import LedgerLine, Lot
from gowngroup.stock.queries import violations
from tests.factories import MaterialFactory

pytestmark = pytest.mark.django_db

# The suite takes six hundred steps; set LEDGER_STEPS=8000 for the long run.
STEPS = int(os.environ.get("LEDGER_STEPS", "600"))
STEPS_PER_RUN = 50
AT = datetime(2026, 3, 10, 9, 30, tzinfo=UTC)
AMOUNTS = st.integers(min_value=-2, max_value=40)


class Shelf(RuleBasedStateMachine):
    """People receive, reserve, cut, return, count, measure and open lots in any order, rightly or wrongly."""

    lots = Bundle("lots")
    by: Person
    steps = 0
    refusals = 0

    def __init__(self) -> None:
        super().__init__()
        self.lace = MaterialFactory(kind="lace")
        self.mine: list[int] = []

    def try_to(self, did: str, lot: Lot, **facts: Any) -> Lot | None:
        try:
            result = getattr(actions, did)(lot=lot, by=self.by, at=AT, **facts)
        except Refusal:
            type(self).refusals += 1
            return None
        return result if isinstance(result, Lot) else None

    @rule(target=lots, packages=st.integers(1, 4), size=st.integers(1, 12))
    def receive(self, packages: int, size: int) -> Lot:
        lot = actions.receive_lot(
            material=self.lace, package_count=packages, package_amount=size, by=self.by, at=AT
        )
        self.mine.append(lot.pk)
        return lot

    @rule(lot=lots, amount=AMOUNTS)
    def reserve(self, lot: Lot, amount: int) -> None:
        self.try_to("reserve_amount", lot, amount=amount, reference="plan")

    @rule(lot=lots, amount=AMOUNTS)
    def release(self, lot: Lot, amount: int) -> None:
        self.try_to("release_amount", lot, amount=amount, reference="plan")

    @rule(lot=lots, amount=AMOUNTS, reserved=AMOUNTS)
    def cut(self, lot: Lot, amount: int, reserved: int) -> None:
        self.try_to("issue_reserved", lot, amount=amount, reserved_amount=reserved, reference="lay")

    @rule(lot=lots, amount=AMOUNTS)
    def take(self, lot: Lot, amount: int) -> None:
        self.try_to("issue_free", lot, amount=amount)

    @rule(lot=lots, amount=AMOUNTS)
    def put_back(self, lot: Lot, amount: int) -> None:
        self.try_to("return_amount", lot, amount=amount)

    @rule(lot=lots, amount=AMOUNTS)
    def count(self, lot: Lot, amount: int) -> None:
        self.try_to("take_stock", lot, counted_amount=amount, reason="counted")

    @rule(lot=lots, amount=AMOUNTS)
    def measure(self, lot: Lot, amount: int) -> None:
        self.try_to("measure_lot", lot, length_um=amount)

    @rule(lot=lots)
    def open_one(self, lot: Lot) -> None:
        opened = self.try_to("open_package", lot)
        if opened:
            self.mine.append(opened.pk)

    @invariant()
    def books_agree(self) -> None:
        """On hand and reserved are the sums of the ledger, and nothing is below nothing."""
        type(self).steps += 1
        for lot in Lot.objects.filter(pk__in=self.mine).annotate(
            on_hand=Sum("ledger__on_hand_change"), reserved=Sum("ledger__reserved_change")
        ):
            assert (lot.on_hand_amount, lot.reserved_amount) == (lot.on_hand, lot.reserved)
            assert 0 <= lot.reserved_amount <= lot.on_hand_amount
        assert violations() == []


@pytest.mark.slow
def test_ledger_holds_in_any_order(packer: Person) -> None:
    """After every step on hand and reserved equal the sums of their ledger lines, and none is below nothing."""
    Shelf.by, Shelf.steps, Shelf.refusals = packer, 0, 0
    run_state_machine_as_test(
        Shelf,
        settings=settings(
            max_examples=-(-STEPS // STEPS_PER_RUN) + 4,
            stateful_step_count=STEPS_PER_RUN,
            deadline=None,
            database=None,
            suppress_health_check=list(HealthCheck),
        ),
    )
    assert Shelf.steps >= STEPS
    assert Shelf.refusals > STEPS / 20, "too few refusals: the wrong cases were not tried"


@pytest.mark.parametrize(
    "statement",
    ["UPDATE stock_ledgerline SET on_hand_change = 1", "DELETE FROM stock_ledgerline"],
)
def test_ledger_lines_refuse_change(packer: Person, statement: str) -> None:
    """A line of the ledger can be neither changed nor removed, not even past the models."""
    actions.receive_lot(material=MaterialFactory(kind="lace"), amount=5, by=packer, at=AT)
    with pytest.raises(DatabaseError, match="never changed"), connection.cursor() as cursor:
        cursor.execute(statement)


def test_a_refused_movement_leaves_no_line(packer: Person) -> None:
    """What is refused is in no book."""
    lot = actions.receive_lot(material=MaterialFactory(kind="lace"), amount=5, by=packer, at=AT)
    with pytest.raises(Refusal):
        actions.issue_free(lot=lot, amount=6, by=packer, at=AT)
    assert LedgerLine.objects.count() == 1
