"""Closing a batch whose kits have all come to an end."""

from datetime import datetime

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from gowngroup.batches.models import Batch
from gowngroup.batches.queries.batches import kits_left
from gowngroup.people.models import Person
from gowngroup.records.actions import action, record
from gowngroup.records.errors import Taken


class KitsStillOut(Taken):
    """Kits of the batch are still to be packed, sewn or brought back."""


class NotUnderWay(Taken):
    """The batch is not under way, so that there is nothing to close."""


@action
def close_batch(*, batch: Batch, by: Person, at: datetime, request_key: str = "") -> Batch:
    """Close a batch once each of its kits is back, lost or written off; a lost one may still turn up."""
    under_way = Batch.objects.select_for_update().filter(pk=batch.pk, state=Batch.State.COMMITTED)
    if not under_way.update(state=Batch.State.CLOSED):
        raise NotUnderWay(_("This batch is not under way, so there is nothing to close."))
    left_count = kits_left(batch)
    if left_count:
        raise KitsStillOut(
            ngettext(
                "%(count)d kit of this batch is not back yet. Take it back, or write it off, then close the batch.",
                "%(count)d kits of this batch are not back yet. Take them back, or write them off, then close the batch.",
                left_count,
            )
            % {"count": left_count}
        )
    batch.refresh_from_db()
    changes = {"state": [Batch.State.COMMITTED.value, Batch.State.CLOSED.value]}
    record(by=by, at=at, did="close_batch", subject=batch, changes=changes)
    return batch
