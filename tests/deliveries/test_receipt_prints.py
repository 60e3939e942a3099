"""A receipt is noted when it is printed, and put on file once the ward has signed."""

from collections.abc import Callable
from datetime import datetime, timedelta

import pytest
from django.db import DatabaseError, transaction

from gowngroup.deliveries.actions import file_receipt, print_receipt, receive_drop_off, send_drop_off
from gowngroup.deliveries.actions.packing import pack_gown
from gowngroup.deliveries.errors import NoReceiptToPrint, NotSignedYet
from gowngroup.deliveries.models import DropOff, ReceiptFile
from gowngroup.deliveries.queries import violations
from gowngroup.gowns.models import Gown
from gowngroup.people.models import Person
from gowngroup.records.models import TrailLine

pytestmark = pytest.mark.django_db
LATER = timedelta(hours=2)


@pytest.fixture
def sent(drop_off: DropOff, shelf: Callable[..., list[Gown]], packer: Person, at: datetime) -> DropOff:
    """A drop-off on its way with one gown."""
    pack_gown(drop_off=drop_off, gown=shelf(1)[0], by=packer, at=at)
    return send_drop_off(drop_off=drop_off, by=packer, at=at)


@pytest.fixture
def signed(sent: DropOff, driver: Person, at: datetime) -> DropOff:
    """The same, signed for by the ward."""
    return receive_drop_off(drop_off=sent, signed_name="M. Wren", differences=[], by=driver, at=at)


def test_the_first_print_keeps_its_moment(sent: DropOff, driver: Person, at: datetime) -> None:
    """Each print is counted with a line in the trail; the moment of the first stays."""
    print_receipt(drop_off=sent, by=driver, at=at)
    print_receipt(drop_off=sent, by=driver, at=at + LATER)
    assert (sent.receipt_printed_at, sent.receipt_print_count) == (at, 2)
    lines = TrailLine.objects.filter(did="print_receipt", subject_id=sent.pk).order_by("pk")
    assert [line.changes for line in lines] == [{"print": 1}, {"print": 2}]


def test_one_button_pressed_twice_is_one_print(sent: DropOff, driver: Person, at: datetime) -> None:
    """The same form sent twice counts as one print, so that the original stays the original."""
    for _press in range(2):
        print_receipt(drop_off=sent, by=driver, at=at, request_key="k")
    sent.refresh_from_db()
    assert sent.receipt_print_count == 1


def test_nothing_to_print_before_it_leaves(drop_off: DropOff, packer: Person, at: datetime) -> None:
    """A drop-off that is still being packed has no receipt to print, and nothing is noted."""
    with pytest.raises(NoReceiptToPrint):
        print_receipt(drop_off=drop_off, by=packer, at=at)
    assert not TrailLine.objects.filter(did="print_receipt").exists()


def test_only_what_is_signed_goes_on_file(sent: DropOff, driver: Person, at: datetime) -> None:
    """Nothing is put on file of a receipt nobody has signed."""
    with pytest.raises(NotSignedYet):
        file_receipt(drop_off=sent, content=b"%PDF", data_sha256="a", by=driver, at=at)
    assert not ReceiptFile.objects.exists()


def test_same_data_is_stored_once_and_changed_data_anew(
    signed: DropOff, driver: Person, at: datetime
) -> None:
    """The same data stays one file, byte for byte; changed data makes the next version with its own date."""
    filed = [
        file_receipt(drop_off=signed, content=content, data_sha256=data, by=driver, at=at + hours)
        for content, data, hours in ((b"one", "a", timedelta()), (b"other", "a", LATER), (b"two", "b", LATER))
    ]
    assert [(each.version, bytes(each.content), each.at) for each in filed] == [
        (1, b"one", at),
        (1, b"one", at),
        (2, b"two", at + LATER),
    ]


def test_a_file_is_never_changed(signed: DropOff, driver: Person, at: datetime) -> None:
    """The database refuses to change or remove a receipt on file."""
    filed = file_receipt(drop_off=signed, content=b"one", data_sha256="a", by=driver, at=at)
    with pytest.raises(DatabaseError, match="never changed or removed"), transaction.atomic():
        ReceiptFile.objects.filter(pk=filed.pk).update(content=b"two")
    with pytest.raises(DatabaseError, match="never changed or removed"), transaction.atomic():
        filed.delete()
    assert violations() == []


def test_a_damaged_file_is_noticed(signed: DropOff, at: datetime) -> None:
    """A file whose bytes no longer add up to the sum stored beside them is told by the audit."""
    ReceiptFile.objects.create(
        drop_off=signed,
        version=1,
        at=at,
        data_sha256="a",
        content_sha256="b",
        content=b"bent",
    )
    assert any("on file, version 1, is damaged" in told for told in violations())
