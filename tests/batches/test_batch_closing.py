"""A batch is closed once all its kits have come to an end."""

from collections.abc import Callable
from datetime import date, datetime

import pytest
from django.test import Client
from django.urls import reverse

from gowngroup.batches.actions import (
    BatchMovedOn,
    KitsStillOut,
    NotUnderWay,
    close_batch,
    set_lines,
    start_batch,
)
from gowngroup.batches.models import Batch, BatchLine, Kit, MaterialChoice
from gowngroup.people.models import Person
from gowngroup.records.models import Job, TrailLine
from tests.factories import (
    BatchFactory,
    DesignRevisionFactory,
    KitFactory,
    MaterialFactory,
    PlanFactory,
    SizeFactory,
)

SignIn = Callable[[Person], Client]


@pytest.mark.parametrize("state", [Kit.State.RETURNED, Kit.State.LOST, Kit.State.WRITTEN_OFF])
def test_a_batch_without_kits_out_is_closed(coordinator: Person, at: datetime, state: str) -> None:
    """Kits that are back, lost or written off keep no batch open."""
    batch = KitFactory(state=state, returned_count=state == Kit.State.RETURNED).batch
    close_batch(batch=batch, by=coordinator, at=at)
    assert Batch.objects.get(pk=batch.pk).state == Batch.State.CLOSED


def test_a_batch_with_a_kit_out_stays_open(coordinator: Person, at: datetime) -> None:
    """One kit not yet back, and the batch stays as it was."""
    batch = KitFactory(state=Kit.State.WAITING).batch
    with pytest.raises(KitsStillOut, match="1 kit of this batch is not back yet"):
        close_batch(batch=batch, by=coordinator, at=at)
    assert Batch.objects.get(pk=batch.pk).state == Batch.State.COMMITTED


def test_a_batch_is_closed_once(coordinator: Person, at: datetime) -> None:
    """Only a batch that is under way can be closed."""
    with pytest.raises(NotUnderWay):
        close_batch(batch=BatchFactory(state=Batch.State.CLOSED), by=coordinator, at=at)


def test_its_page_offers_to_close_it(
    coordinator: Person, sign_in: Callable[[Person], Client], at: datetime
) -> None:
    """When everything is back, closing is the page's main action."""
    batch = KitFactory(state=Kit.State.LOST, ended_reason="lost in the post", lay__cut_at=at).batch
    client, page = sign_in(coordinator), reverse("batches:batch_page", args=[batch.pk])
    assert "Close this batch" in client.get(page).content.decode()
    answer = client.post(reverse("batches:batch_close", args=[batch.pk]), follow=True)
    assert "The batch is closed." in answer.content.decode()
    assert "Close this batch" not in client.get(page).content.decode()


def test_an_empty_batch_is_thrown_away_once(coordinator: Person, sign_in: SignIn, at: datetime) -> None:
    """Asked first, gone with a line in the trail, and pressed twice it is said to be gone."""
    batch = start_batch(month=date(2026, 3, 1), by=coordinator, at=at)
    client, path = sign_in(coordinator), reverse("batches:batch_discard", args=[batch.pk])
    assert path in client.get(reverse("batches:batch_page", args=[batch.pk])).content.decode()
    assert "Yes, throw it away" in client.get(path).content.decode()
    assert Batch.objects.exists()
    for words in ("The empty batch is gone.", "This batch has been thrown away already."):
        assert words in client.post(path, {"request_key": "k"}, follow=True).content.decode()
    assert not Batch.objects.exists()
    assert TrailLine.objects.filter(did="discard_batch", subject_id=batch.pk).count() == 1
    assert client.get(path).status_code == 404
    with pytest.raises(BatchMovedOn, match="thrown away"):
        set_lines(batch=batch, lines=[], by=coordinator, at=at)


def test_a_batch_anything_hangs_on_is_kept(coordinator: Person, sign_in: SignIn, at: datetime) -> None:
    """With a line, a material chosen, a plan or a planning under way it is refused and not offered."""
    client = sign_in(coordinator)
    batches = [BatchFactory(state=Batch.State.PROPOSED, number=number) for number in range(1, 5)]
    revision = DesignRevisionFactory()
    BatchLine.objects.create(
        batch=batches[0], design_revision=revision, size=SizeFactory(), purpose="worn", gown_count=0
    )
    MaterialChoice.objects.create(
        batch=batches[1], design_revision=revision, kind="lace", part="hem", material=MaterialFactory()
    )
    PlanFactory(batch=batches[2], committed_at=None)
    Job.objects.create(kind="plan_batch", subject_id=batches[3].pk, started_by=coordinator, created_at=at)
    for batch in batches:
        path = reverse("batches:batch_discard", args=[batch.pk])
        assert path not in client.get(reverse("batches:batch_page", args=[batch.pk])).content.decode()
        answer = client.post(path)
        assert answer.status_code == 409
        assert "Something hangs on this batch" in answer.content.decode()
    under_way = BatchFactory(number=9)
    assert client.post(reverse("batches:batch_discard", args=[under_way.pk])).status_code == 409
    assert Batch.objects.count() == 5
