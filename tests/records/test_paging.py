"""Pages of long lists."""

import pytest
from django.core.paginator import EmptyPage, Paginator
from django.db import connection
from django.test.utils import CaptureQueriesContext

from gowngroup.people.models import Person
from gowngroup.records.paging import LongPaginator
from tests.factories import PersonFactory


@pytest.mark.django_db
def test_a_long_list_has_the_pages_of_djangos_own() -> None:
    """The same rows in the same order on the same pages, and the rows of other pages are never read."""
    PersonFactory.create_batch(5)
    rows = Person.objects.order_by("-name", "pk")
    ours, theirs = LongPaginator(rows, 2), Paginator(rows, 2)
    for number in (1, 2, 3):
        assert list(ours.page(number)) == list(theirs.page(number))
    with CaptureQueriesContext(connection) as queries:
        list(ours.get_page("3"))
    assert "OFFSET 4" in queries[-2]["sql"]
    assert " IN (" in queries[-1]["sql"]
    with pytest.raises(EmptyPage):
        ours.page(4)
