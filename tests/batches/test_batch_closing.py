"""A batch is closed once all its kits have come to an end."""

from collections.abc import Callable
from datetime import datetime

import pytest
from django.test import Client
from django.urls import reverse

from gowngroup.batches.actions import KitsStillOut, NotUnderWay, close_batch
from gowngroup.batches.models import Batch, Kit
from gowngroup.people.models import Person
from tests.factories import BatchFactory, KitFactory


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
