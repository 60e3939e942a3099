"""One sent form, eight times at once; numbers taken by many at once."""

from collections.abc import Iterator
from datetime import UTC, datetime
from functools import partial
from pathlib import Path

import pytest

from gowngroup.people.actions import PersonDetails, add_person
from gowngroup.people.models import Person
from gowngroup.records.actions import new_code, next_number, set_figure
from gowngroup.records.models import Counter, FigureChange
from tests.factories import PersonFactory
from tests.race import at_once, database_in_a_file

pytestmark = pytest.mark.django_db(transaction=True)
AT = datetime(2026, 3, 10, 9, 30, tzinfo=UTC)


@pytest.fixture
def sender(transactional_db: None, tmp_path: Path) -> Iterator[Person]:
    with database_in_a_file(tmp_path / "race.sqlite3"):
        yield PersonFactory(name="Sender", roles=["coordinator"])


def test_one_form_sent_eight_times_at_once_counts_once(sender: Person) -> None:
    """Eight sendings of one form side by side add one person, and all eight get her as the answer."""
    add = partial(add_person, details=PersonDetails(name="New"), by=sender, at=AT, request_key="one")
    answers = at_once([add] * 8)
    assert {answer.pk for answer in answers} == {Person.objects.get(name="New").pk}


def test_without_a_key_eight_sendings_count_eight_times(sender: Person) -> None:
    """The negative control: without the key each sending adds somebody."""
    at_once([partial(add_person, details=PersonDetails(name="New"), by=sender, at=AT)] * 8)
    assert Person.objects.filter(name="New").count() == 8


def test_codes_taken_at_once_differ(sender: Person) -> None:
    """Codes given out side by side are all different."""
    assert len(set(at_once([partial(new_code, "K")] * 16))) == 16


def test_reading_before_counting_gives_a_number_twice(sender: Person) -> None:
    """The negative control: read the counter, then save it, gives the same number to several people."""
    next_number("naive")

    def naive_number(counter: Counter) -> int:
        counter.value += 1
        counter.save()
        return counter.value

    stale = [Counter.objects.get(name="naive") for _ in range(8)]
    assert len(set(at_once([partial(naive_number, counter) for counter in stale]))) < 8


def test_figures_set_at_once_are_all_kept(sender: Person) -> None:
    """Several people setting one figure at once each leave a revision, numbered without a gap."""
    jobs = [
        partial(set_figure, key="thread_waste_share", value=0.1 + n / 100, source="ours", by=sender, at=AT)
        for n in range(8)
    ]
    at_once(jobs)
    assert sorted(FigureChange.objects.values_list("revision", flat=True)) == list(range(1, 9))
