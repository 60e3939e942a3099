"""Gowns leave exactly once, under receipt numbers that never repeat or skip unexplained."""

import threading
from collections.abc import Callable
from datetime import datetime
from functools import partial

import pytest

from gowngroup.deliveries.actions import (
    bring_drop_off_back,
    fill_drop_off,
    pack_gown,
    receive_drop_off,
    send_drop_off,
    start_drop_off,
)
from gowngroup.deliveries.errors import (
    DropOffMovedOn,
    NothingPacked,
    ReasonMissing,
    WardRefusesGown,
    WhoSigned,
)
from gowngroup.deliveries.models import DropOff, DropOffGown, NumberNote
from gowngroup.deliveries.queries import violations
from gowngroup.gowns.models import Gown
from gowngroup.people.models import Person
from gowngroup.records.errors import Refusal
from gowngroup.wards.models import RequestLine, Ward, WardRequest
from tests.race import at_once

pytestmark = pytest.mark.django_db
Shelf = Callable[..., list[Gown]]


@pytest.fixture
def sent(drop_off: DropOff, line: RequestLine, shelf: Shelf, packer: Person, at: datetime) -> DropOff:
    """A drop-off on its way with all four gowns asked for."""
    shelf(4)
    fill_drop_off(drop_off=drop_off, by=packer, at=at)
    return send_drop_off(drop_off=drop_off, by=packer, at=at)


def test_sending_meets_what_was_asked(sent: DropOff, line: RequestLine) -> None:
    """Gowns that leave are delivered, and the request they answer is met."""
    line.refresh_from_db()
    assert line.request.__class__.objects.get(pk=line.request_id).state == WardRequest.State.MET
    assert line.met_count == 4
    assert not Gown.objects.exclude(state=Gown.State.LEFT).exists()
    assert violations() == []


def test_receipt_numbers_follow_each_other(
    sent: DropOff, ward: Ward, shelf: Shelf, packer: Person, at: datetime
) -> None:
    """The next drop-off gets the next number of the year."""
    other = start_drop_off(ward=ward, planned_on=at.date(), driver=None, by=packer, at=at)
    pack_gown(drop_off=other, gown=shelf(1)[0], by=packer, at=at)
    send_drop_off(drop_off=other, by=packer, at=at)
    assert (sent.receipt_number, other.receipt_number) == ("2026-0001", "2026-0002")


def test_an_empty_drop_off_takes_no_number(drop_off: DropOff, packer: Person, at: datetime) -> None:
    """Nothing leaves without gowns, and no receipt number is spent on it."""
    with pytest.raises(NothingPacked):
        send_drop_off(drop_off=drop_off, by=packer, at=at)
    drop_off.refresh_from_db()
    assert (drop_off.state, drop_off.receipt_number) == (DropOff.State.PACKING, None)
    assert violations() == []


def test_rules_that_changed_since_packing_hold(
    drop_off: DropOff, shelf: Shelf, packer: Person, at: datetime
) -> None:
    """A gown the ward no longer accepts stops the drop-off, and nothing of it has left."""
    gown = shelf(1)[0]
    pack_gown(drop_off=drop_off, gown=gown, by=packer, at=at)
    Ward.objects.filter(pk=drop_off.ward_id).update(closures=["wrap"])
    drop_off.ward.refresh_from_db()
    with pytest.raises(WardRefusesGown, match="closure"):
        send_drop_off(drop_off=drop_off, by=packer, at=at)
    gown.refresh_from_db()
    assert gown.state == Gown.State.PASSED


def test_a_drop_off_leaves_once(sent: DropOff, packer: Person, at: datetime) -> None:
    """Sending it again is refused with where it is by now."""
    with pytest.raises(DropOffMovedOn, match="on the way"):
        send_drop_off(drop_off=sent, by=packer, at=at)


def test_the_ward_signs_with_differences(sent: DropOff, driver: Person, at: datetime) -> None:
    """What the ward noted is kept line by line with the printed name."""
    noted = [{"band": "2000–2500 g", "written": 4, "came": 3}]
    receive_drop_off(drop_off=sent, signed_name=" A. Nurse ", differences=noted, by=driver, at=at)
    sent.refresh_from_db()
    assert (sent.state, sent.signed_name, sent.differences) == (DropOff.State.RECEIVED, "A. Nurse", noted)


def test_who_signed_is_asked_for(sent: DropOff, driver: Person, at: datetime) -> None:
    """Without a printed name it is not received."""
    with pytest.raises(WhoSigned):
        receive_drop_off(drop_off=sent, signed_name=" ", differences=[], by=driver, at=at)


def test_what_came_back_may_leave_again(
    sent: DropOff, line: RequestLine, ward: Ward, driver: Person, packer: Person, at: datetime
) -> None:
    """Gowns nobody took are on the shelf again, the request is open, and the number stays explained."""
    bring_drop_off_back(drop_off=sent, reason="nobody there", by=driver, at=at)
    assert NumberNote.objects.get().receipt_number == "2026-0001"
    again = start_drop_off(ward=ward, planned_on=at.date(), driver=driver, by=packer, at=at)
    fill_drop_off(drop_off=again, by=packer, at=at)
    send_drop_off(drop_off=again, by=packer, at=at)
    line.refresh_from_db()
    assert (line.met_count, again.receipt_number, violations()) == (4, "2026-0002", [])


def test_coming_back_needs_a_reason(sent: DropOff, driver: Person, at: datetime) -> None:
    """A receipt number is never left unexplained."""
    with pytest.raises(ReasonMissing):
        bring_drop_off_back(drop_off=sent, reason="", by=driver, at=at)


@pytest.mark.parametrize("kind", ["gown", "line", "number"])
def test_audit_sees_hand_made_changes(kind: str, sent: DropOff, line: RequestLine) -> None:
    """A change made past the actions is noticed."""
    if kind == "gown":
        Gown.objects.filter(drop_off_rows__drop_off=sent).update(state=Gown.State.PASSED)
    elif kind == "line":
        RequestLine.objects.filter(pk=line.pk).update(met_count=1)
    else:
        DropOff.objects.filter(pk=sent.pk).update(receipt_number="2026-0009")
    assert violations()


@pytest.mark.django_db(transaction=True)
@pytest.mark.usefixtures("race_database")
def test_two_drop_offs_reach_for_the_same_gowns(
    ward: Ward, line: RequestLine, shelf: Shelf, packer: Person, at: datetime
) -> None:
    """Eight people pack and send the same four gowns at once: each gown leaves once, numbers stay whole."""
    gowns = shelf(4)

    def pack_and_send(number: int) -> str:
        drop_off = start_drop_off(ward=ward, planned_on=at.date(), driver=None, by=packer, at=at)
        try:
            pack_gown(drop_off=drop_off, gown=Gown.objects.get(pk=gowns[number % 4].pk), by=packer, at=at)
            send_drop_off(drop_off=drop_off, by=packer, at=at)
        except Refusal:
            return "refused"
        return "sent"

    answers = at_once([partial(pack_and_send, number) for number in range(8)])
    assert sorted(answers) == ["refused"] * 4 + ["sent"] * 4
    numbers = DropOff.objects.filter(receipt_number__isnull=False).values_list("receipt_number", flat=True)
    assert sorted(map(str, numbers)) == [f"2026-000{n}" for n in range(1, 5)]
    assert violations() == []


@pytest.mark.django_db(transaction=True)
@pytest.mark.usefixtures("race_database")
def test_reading_first_would_count_a_gown_twice(line: RequestLine) -> None:
    """Negative control: reading a count, adding one and saving it loses deliveries made side by side."""

    all_have_read = threading.Barrier(8)

    def add_one() -> None:
        row = RequestLine.objects.get(pk=line.pk)
        row.met_count += 1
        all_have_read.wait(timeout=60)
        row.save()

    RequestLine.objects.filter(pk=line.pk).update(gown_count=1000)
    at_once([add_one] * 8)
    line.refresh_from_db()
    assert line.met_count < 8


def test_number_notes_are_once(sent: DropOff, driver: Person, at: datetime) -> None:
    """One receipt number is explained once."""
    bring_drop_off_back(drop_off=sent, reason="nobody there", by=driver, at=at)
    with pytest.raises(DropOffMovedOn):
        bring_drop_off_back(drop_off=sent, reason="again", by=driver, at=at)
    assert NumberNote.objects.count() == 1
    assert DropOffGown.objects.filter(is_removed=True).count() == 4
