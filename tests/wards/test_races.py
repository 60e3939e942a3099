"""Two coordinators, or two drop-offs, at the same moment."""

from collections.abc import Callable, Iterator
from datetime import date, datetime
from pathlib import Path

import pytest

from gowngroup.people.models import Person
from gowngroup.wards.actions import (
    AskedTwice,
    HospitalNameTaken,
    LineEntry,
    WardDetails,
    WardNameTaken,
    add_hospital,
    add_ward,
    book_met,
    change_hospital,
    enter_request,
    repeat_standing_requests,
)
from gowngroup.wards.models import Hospital, RequestLine, Ward, WardRequest
from tests.factories import RequestLineFactory, SizeFactory, WardFactory
from tests.race import database_in_a_file, overlapping

pytestmark = pytest.mark.django_db(transaction=True)

MARCH, APRIL = date(2026, 3, 1), date(2026, 4, 1)


@pytest.fixture(autouse=True)
def _several_at_once(transactional_db: None, tmp_path: Path) -> Iterator[None]:
    """A database that several threads can write to at once."""
    with database_in_a_file(tmp_path / "race.sqlite3"):
        yield


def test_a_request_met_by_two_drop_offs_at_once_is_met(coordinator: Person, at: datetime) -> None:
    """Each books its own line, and whoever comes second sees that nothing is open any more."""
    one = RequestLineFactory(gown_count=2)
    other = RequestLineFactory(request=one.request, gown_count=2, purpose="memorial")

    def book(line: RequestLine) -> Callable[[], object]:
        return lambda: book_met(
            request_line=RequestLine.objects.get(pk=line.pk), gown_count=2, by=coordinator, at=at
        )

    overlapping(book(one), book(other))
    assert WardRequest.objects.get().state == WardRequest.State.MET


def test_a_month_is_asked_for_once(coordinator: Person, at: datetime) -> None:
    """Of two who enter the same ward's month at once the second is told that it is there."""
    size = SizeFactory()
    ward = WardFactory(sizes=[size])

    def enter() -> object:
        lines = [LineEntry(size=size, purpose="worn", gown_count=2)]
        return enter_request(
            ward=Ward.objects.get(pk=ward.pk), month=MARCH, lines=lines, by=coordinator, at=at
        )

    _first, second = overlapping(enter, enter)
    assert isinstance(second, AskedTwice)
    assert WardRequest.objects.count() == 1


def test_standing_requests_are_repeated_once(coordinator: Person, at: datetime) -> None:
    """Two who press the button at once do not double what is asked."""
    size = SizeFactory()
    ward = WardFactory(sizes=[size])
    lines = [LineEntry(size=size, purpose="worn", gown_count=2)]
    enter_request(ward=ward, month=MARCH, lines=lines, is_standing=True, by=coordinator, at=at)

    def repeat() -> object:
        return repeat_standing_requests(month=APRIL, by=coordinator, at=at)

    made = overlapping(repeat, repeat)
    assert [len(each) for each in made if isinstance(each, list)] == [1, 0]
    assert WardRequest.objects.filter(month=APRIL).count() == 1


@pytest.mark.parametrize("is_new", [True, False], ids=["two new ones", "a new one and a renamed one"])
def test_a_hospitals_name_is_given_once(coordinator: Person, at: datetime, *, is_new: bool) -> None:
    """Of two hospitals saved under one name at the same moment the second is refused in a sentence."""
    old = add_hospital(name="Old name", by=coordinator, at=at)

    def add() -> object:
        return add_hospital(name="Hill hospital", by=coordinator, at=at)

    def rename() -> object:
        return change_hospital(hospital=old, name="Hill Hospital", address="", by=coordinator, at=at)

    _first, second = overlapping(add, add if is_new else rename)
    assert isinstance(second, HospitalNameTaken)
    assert Hospital.objects.filter(name__iexact="hill hospital").count() == 1


def test_a_wards_name_is_given_once_in_a_hospital(coordinator: Person, at: datetime) -> None:
    """Of two wards saved under one name at the same moment the second is refused in a sentence."""
    size = SizeFactory()
    hospital = add_hospital(name="Hill hospital", by=coordinator, at=at)

    def add() -> object:
        details = WardDetails(name="Nest", sizes=[size], closures=["ties"])
        return add_ward(hospital=hospital, details=details, by=coordinator, at=at)

    _first, second = overlapping(add, add)
    assert isinstance(second, WardNameTaken)
    assert Ward.objects.count() == 1
