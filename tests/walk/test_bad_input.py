"""What cannot be, through the pages a coordinator uses: a sentence that names the way out, and nothing half saved.

Proven elsewhere, where the page lives: inches for centimetres, and lengths of nothing or less
(tests/stock/test_lot_pages.py, tests/catalog/test_pages.py); a code used twice (tests/stock/test_lot_pages.py); cloth
that is not measured and a cut that cannot be (tests/batches/test_kit_cutting.py); sizes and charts that cannot be
(tests/catalog/test_pages.py); an empty request (tests/wards/test_pages.py); a late claim
(tests/batches/test_claim_pages.py and the walk itself).
"""

from collections.abc import Callable
from datetime import date

import pytest
from django.test import Client
from django.urls import reverse

from gowngroup.batches import actions
from gowngroup.batches.actions import LineDetails
from gowngroup.batches.models import Batch, Kit, Plan
from gowngroup.people.models import Person
from gowngroup.stock.models import Lot
from tests.batches import months

pytestmark = pytest.mark.django_db
Spoil = Callable[[Person], object]
APRIL = date(2026, 4, 1)


@pytest.fixture
def client(coordinator: Person, sign_in: Callable[[Person], Client]) -> Client:
    months.catalog(coordinator)
    return sign_in(coordinator)


def batch_of_one(by: Person, month: date = months.MARCH) -> Batch:
    """A batch of one gown for a baby up to 51 cm."""
    batch = actions.start_batch(month=month, hours_offered_min=6000, by=by, at=months.AT)
    line = LineDetails(revision=months.revision_of(), size=months.size_to(3500), purpose="worn", gown_count=1)
    return actions.set_lines(batch=batch, lines=[line], by=by, at=months.AT)


def without_chart(by: Person) -> None:
    """Cloth there is, and a smocked design whose chart was never chosen."""
    months.cloth(by)
    revision = months.revision_of()
    revision.chart = None
    revision.save()


@pytest.mark.parametrize(
    ("spoil", "sentence"),
    [
        (lambda by: months.cloth(by, state="as given"), "it has not been washed and measured."),
        (lambda by: months.cloth(by, width_um=300_000), "has 28 cm between its selvedges."),
        (lambda by: months.cloth(by, 420_000), "has only 42 cm left beside the other kits"),
        (without_chart, "has no smocking chart: choose one on the design’s page"),
    ],
    ids=["unwashed", "too narrow", "too short", "no chart"],
)
def test_what_cannot_be_cut_is_said_on_the_plan(
    client: Client, coordinator: Person, spoil: Spoil, sentence: str
) -> None:
    """The plan's page says why a gown cannot be made and offers no commit."""
    spoil(coordinator)
    batch = batch_of_one(coordinator)
    page = client.post(reverse("batches:plan_make", args=[batch.pk]), follow=True).content.decode()
    assert sentence in page
    assert "1 gown cannot be made yet" in page
    assert "Commit this plan" not in page


def test_a_lot_another_plan_has_just_reserved(client: Client, coordinator: Person) -> None:
    """Of two plans that need the same cloth the second is told which lot it lacks, with 409."""
    lot = months.cloth(coordinator, 800_000)
    months.sundries(coordinator)
    first, second = (
        actions.make_plan(batch=batch_of_one(coordinator, month), by=coordinator, at=months.AT)
        for month in (months.MARCH, APRIL)
    )
    client.post(reverse("batches:plan_commit", args=[first.pk]))
    answer = client.post(reverse("batches:plan_commit", args=[second.pk]))
    page = answer.content.decode()
    assert answer.status_code == 409
    assert lot.code in page.replace("-", "")
    assert "plan again" in page
    assert Plan.objects.get(pk=second.pk).committed_at is None
    assert set(Kit.objects.values_list("batch", flat=True)) == {first.batch_id}
    assert Lot.objects.get(pk=lot.pk).reserved_amount < 800_000
