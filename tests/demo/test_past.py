"""The years before the demo's months: many rows written at once, and as true as what actions write."""

from datetime import datetime
from zoneinfo import ZoneInfo

import pytest
from django.core.management import CommandError, call_command
from django.db.models import Count, Min

from gowngroup.batches.models import Batch, Kit, KitReturn
from gowngroup.demo.past import MOST_GOWNS, write_past
from gowngroup.demo.people import GROUP
from gowngroup.gowns.models import Gown
from gowngroup.home.audit import violations
from gowngroup.printing.year_queries import Span, year_counts
from tests.demo.built import TODAY

pytestmark = pytest.mark.usefixtures("demo")
GOWNS = 510  # two months, each with so many kits that one gets lost


def test_the_books_agree_with_years_before() -> None:
    """Two months of gowns, all before the demo's own; the audit of all rooms finds nothing, and the year counts them."""
    first: datetime = Gown.objects.aggregate(first=Min("received_at"))["first"]
    gowns, batches = Gown.objects.count(), Batch.objects.count()
    assert write_past(gown_count=GOWNS, seed=1, today=TODAY) == 2
    assert violations() == []
    past = Gown.objects.filter(received_at__lt=first)
    states = dict(past.order_by().values_list("state").annotate(Count("pk")))
    assert past.count() == GOWNS
    assert states.keys() == {Gown.State.LEFT, Gown.State.SET_ASIDE}
    assert Batch.objects.count() == batches + 2
    assert KitReturn.objects.filter(returned_at__lt=first).count() > GOWNS / 1.25
    assert Kit.objects.filter(state=Kit.State.LOST, lay__cut_at__lt=first).count() == 2
    years = [Span.of_year(year, ZoneInfo(GROUP.time_zone)) for year in (TODAY.year - 1, TODAY.year)]
    assert sum(year_counts(year)["gowns"] for year in years) == gowns + GOWNS


@pytest.mark.parametrize(("gowns", "said"), [(-1, "0 to"), (MOST_GOWNS + 1, "0 to"), (10, "empty database")])
def test_years_that_cannot_be_written(gowns: int, said: str) -> None:
    """Fewer than none, more than there are codes for, or beside people who are there: refused with a sentence."""
    before = Gown.objects.count()
    with pytest.raises(CommandError, match=said):
        call_command("seed_demo", gowns=gowns)
    assert Gown.objects.count() == before
