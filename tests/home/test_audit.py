"""`manage.py audit` notices whatever somebody changes behind the actions' back."""

import json
from io import StringIO

import pytest
from django.core.management import call_command
from django.db import connection

from gowngroup.batches.models import Plan
from gowngroup.home.audit import CHECKS, violations

# A change by hand in the books of each room, and the room that must notice it.
BY_HAND = {
    "stock: a lot longer than its ledger": (
        "stock", "UPDATE stock_lot SET on_hand_amount = on_hand_amount + 1 WHERE id = 1"),
    "stock: more reserved than held": (
        "stock", "UPDATE stock_lot SET reserved_amount = 5 WHERE reserved_amount = 0 AND on_hand_amount > 5"),
    "records: a counter turned back": (
        "records", "UPDATE records_counter SET value = 3 WHERE name = 'code-K'"),
    "records: a mistyped code": (
        "records", "UPDATE gowns_gown SET code = 'GAAAAA' WHERE id = 1"),
    "people: the last coordinator let go": (
        "people", "UPDATE people_personrole SET role = 'packer' WHERE role = 'coordinator'"),
    "people: a sewer gone with her kit": (
        "people", "UPDATE people_person SET is_active = false WHERE id IN"
        " (SELECT holder_id FROM batches_kit WHERE holder_id IS NOT NULL)"),
    "catalog: a used design opened again": (
        "catalog", "UPDATE catalog_designrevision SET used_at = NULL"),
    "catalog: a kit in a size its design is not made in": (
        "catalog", "UPDATE batches_kit SET size_id = (SELECT MIN(id) FROM catalog_size) WHERE size_id ="
        " (SELECT MAX(id) FROM catalog_size)"),
    "wards: a request called met": (
        "wards", "UPDATE wards_wardrequest SET state = 'met' WHERE state = 'open'"),
    "wards: a met request opened again": (
        "wards", "UPDATE wards_wardrequest SET state = 'open' WHERE state = 'met'"),
    "batches: a claim ended without its kit": (
        "batches", "UPDATE batches_claim SET ended_at = claimed_at WHERE ended_at IS NULL"),
    "batches: a kit with other gowns than planned": (
        "batches", "UPDATE batches_kit SET gown_count = gown_count + 1 WHERE state = 'planned'"),
    "batches: a kit without its number": (
        "batches", "UPDATE batches_kit SET number = NULL WHERE id = 1"),
    "batches: a lay longer than planned": (
        "batches", "UPDATE batches_lay SET length_um = length_um + 5000 WHERE id = 1"),
    "batches: a reservation forgotten": (
        "batches", "UPDATE batches_reservation SET open_amount = 0 WHERE lay_id IS NOT NULL"),
    "batches: a kit from another cloth": (
        "batches", "UPDATE batches_kit SET outer_lot_id = (SELECT MAX(id) FROM stock_lot) WHERE id = 1"),
    "gowns: a gown passed without a check": (
        "gowns", "UPDATE gowns_gown SET state = 'passed', passed_at = received_at WHERE state = 'back'"),
    "gowns: a gown that came from nowhere": (
        "gowns", "UPDATE gowns_gown SET kit_return_id = NULL WHERE kit_return_id IS NOT NULL"),
    "deliveries: a gown back on the shelf by itself": (
        "deliveries", "UPDATE gowns_gown SET state = 'passed' WHERE state = 'left'"),
    "deliveries: a line met once more": (
        "deliveries", "UPDATE wards_requestline SET met_count = met_count + 1 WHERE met_count < gown_count"),
    "deliveries: a receipt number made up": (
        "deliveries", "UPDATE deliveries_dropoff SET receipt_number = '2026-0999' WHERE id = 1"),
    "deliveries: the receipt counter run on": (
        "deliveries", "UPDATE records_counter SET value = value + 1 WHERE name LIKE 'receipt-%%'"),
}  # fmt: skip


@pytest.fixture
def demo(laid_out_demo: None, db: None) -> None:
    """Three months of books."""


def by_hand(sql: str) -> None:
    """Change the books with a statement of one's own."""
    with connection.cursor() as cursor:
        cursor.execute(sql.replace("%%", "%"))
        assert cursor.rowcount, "the statement changed nothing"


def test_every_room_is_looked_at() -> None:
    """The audit reads the books of each room that keeps any."""
    rooms = [room for room, _check in CHECKS]
    assert rooms == ["records", "people", "catalog", "stock", "wards", "batches", "gowns", "deliveries"]
    assert {room for room, _sql in BY_HAND.values()} == set(rooms)


@pytest.mark.usefixtures("demo")
@pytest.mark.parametrize("what", BY_HAND)
def test_a_change_by_hand_is_noticed(what: str) -> None:
    """One statement past the actions, and the room it concerns says so; the others need not be asked."""
    room, sql = BY_HAND[what]
    by_hand(sql)
    assert next(iter(dict(CHECKS)[room]()), None)


@pytest.mark.usefixtures("demo")
def test_a_piece_moved_in_a_stored_plan_is_noticed() -> None:
    """Every lay of every stored plan is laid out and measured again, by the independent check."""
    plan = Plan.objects.order_by("pk")[0]
    places = plan.document["plan"]["cuts"][0]["lay"]["placements"]
    places[1]["x_mm"], places[1]["y_mm"] = places[0]["x_mm"], places[0]["y_mm"]
    Plan.objects.filter(pk=plan.pk).update(document=plan.document)
    assert any("overlap" in each.sentence for each in violations())


@pytest.mark.usefixtures("demo")
def test_a_damaged_plan_is_named() -> None:
    """A document that cannot be read is a violation, not a crash."""
    plan = Plan.objects.order_by("pk")[0]
    Plan.objects.filter(pk=plan.pk).update(document={"plan": {"format_version": 1}})
    assert any("cannot be read" in each.sentence for each in violations())


@pytest.mark.usefixtures("demo")
def test_it_answers_1_and_says_why() -> None:
    """Told as JSON, each violation has its room and a sentence; the command's answer is 1."""
    by_hand(BY_HAND["stock: a lot longer than its ledger"][1])
    said = StringIO()
    with pytest.raises(SystemExit) as stopped:
        call_command("audit", "--json", stdout=said)
    [told] = json.loads(said.getvalue())["violations"]
    assert (stopped.value.code, told["room"]) == (1, "stock")
    assert "its ledger says" in told["sentence"]


def test_empty_books_add_up(db: None) -> None:
    """A group that has just begun has nothing to put right."""
    said = StringIO()
    call_command("audit", stdout=said)
    assert said.getvalue() == "Everything adds up.\n"
