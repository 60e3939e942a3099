"""One sent form has one effect, and every change leaves one line."""

from datetime import datetime

import pytest
from django.db import DatabaseError, connection, models

from gowngroup.people.models import Person
from gowngroup.records.actions import action, next_number, record, set_figure
from gowngroup.records.errors import Refusal
from gowngroup.records.models import Counter, FigureChange, RequestKey, TrailLine

pytestmark = pytest.mark.django_db


@action
def count_up(*, by: Person, at: datetime, request_key: str = "") -> Counter:
    """An action of the tests: add one to a counter."""
    next_number("tests")
    return Counter.objects.get(name="tests")


@action
def count_and_refuse(*, by: Person, at: datetime, request_key: str = "") -> Counter:
    """An action of the tests that changes something and is then refused."""
    next_number("tests")
    raise Refusal("no")


def counted() -> int:
    return sum(Counter.objects.filter(name="tests").values_list("value", flat=True))


def test_same_form_twice_counts_once(coordinator: Person, at: datetime) -> None:
    """A form sent again does nothing more and gets the first answer."""
    first = count_up(by=coordinator, at=at, request_key="a")
    second = count_up(by=coordinator, at=at, request_key="a")
    assert (counted(), second) == (1, first)


def test_another_form_counts_again(coordinator: Person, at: datetime) -> None:
    """A fresh key, or none, is a fresh effect."""
    for key in ("a", "b", "", ""):
        count_up(by=coordinator, at=at, request_key=key)
    assert counted() == 4


def test_key_is_each_persons_own(coordinator: Person, packer: Person, at: datetime) -> None:
    """Two people who happen to send the same key both have their effect."""
    count_up(by=coordinator, at=at, request_key="a")
    count_up(by=packer, at=at, request_key="a")
    assert counted() == 2


def test_refused_form_may_be_sent_again(coordinator: Person, at: datetime) -> None:
    """A refused action leaves nothing behind, not even its key."""
    with pytest.raises(Refusal):
        count_and_refuse(by=coordinator, at=at, request_key="a")
    assert (counted(), RequestKey.objects.count()) == (0, 0)


def test_replay_after_the_row_has_gone(coordinator: Person, at: datetime) -> None:
    """A form sent again after its row was removed is answered with nothing, not an error."""
    count_up(by=coordinator, at=at, request_key="a").delete()
    assert count_up(by=coordinator, at=at, request_key="a") is None


@pytest.mark.parametrize("statement", ["UPDATE {} SET at = at WHERE id = %s", "DELETE FROM {} WHERE id = %s"])
@pytest.mark.parametrize("table", [TrailLine, FigureChange])
def test_lines_refuse_change(
    table: type[models.Model], statement: str, coordinator: Person, at: datetime
) -> None:
    """A line of the trail or a figure can be neither changed nor removed, not even past the models."""
    figure = set_figure(key="thread_waste_share", value=0.12, source="our own", by=coordinator, at=at)
    row = figure if table is FigureChange else record(by=coordinator, at=at, did="test", subject=figure)
    with pytest.raises(DatabaseError, match="never changed"), connection.cursor() as cursor:
        cursor.execute(statement.format(table._meta.db_table), [row.pk])


def test_counters_count_by_one(coordinator: Person) -> None:
    """Numbers follow each other without a gap, each name by itself."""
    assert [next_number("a"), next_number("a"), next_number("b"), next_number("a")] == [1, 2, 1, 3]
