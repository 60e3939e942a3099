"""How PostgreSQL is asked, where it would choose a way that takes seconds once there are years of rows."""

import re

import pytest
from django.db import connection
from django.utils import timezone

from gowngroup.home.queries.work import COUNTED
from tests.factories import PersonFactory

pytestmark = [
    pytest.mark.django_db,
    pytest.mark.skipif(connection.vendor != "postgresql", reason="of PostgreSQL alone"),
]
SCAN_OF_PLANS = re.compile(r"Scan (?:using \w+ )?on batches_plan\b(?! \w).*\n(?:\s+(?:Filter|\w+ Cond).*\n)*")


def test_no_query_is_compiled() -> None:
    """The yearly report's queries took ten times as long to be compiled as to run."""
    with connection.cursor() as cursor:
        cursor.execute("SHOW jit")
        assert cursor.fetchone() == ("off",)


@pytest.mark.parametrize("kind", ["plans_short", "plans_to_commit"])
def test_documents_of_old_plans_stay_closed(kind: str) -> None:
    """Which plans come short is read in the documents of batches being planned alone, not in those of all years."""
    told = COUNTED[kind].rows(PersonFactory(), timezone.localdate()).explain()
    scans = SCAN_OF_PLANS.findall(f"{told}\n")
    assert scans
    assert all("'planned'" in scan.partition("document")[0] for scan in scans if "document" in scan)
