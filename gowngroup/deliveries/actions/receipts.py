"""A receipt is printed, the first time as the original, and goes on file once the ward has signed."""

from datetime import datetime
from hashlib import sha256

from django.db.models import F, Value
from django.db.models.functions import Coalesce
from django.utils.translation import gettext as _

from gowngroup.deliveries.errors import NoReceiptToPrint, NotSignedYet
from gowngroup.deliveries.models import DropOff, ReceiptFile
from gowngroup.deliveries.queries import newest_receipt_file
from gowngroup.people.models import Person
from gowngroup.records.actions import action, record

PRINTABLE = (DropOff.State.ON_THE_WAY, DropOff.State.RECEIVED)


@action
def print_receipt(*, drop_off: DropOff, by: Person, at: datetime, request_key: str = "") -> DropOff:
    """Note that the receipt is being printed; the first print is the original, every later one a duplicate."""
    changed = DropOff.objects.filter(pk=drop_off.pk, state__in=PRINTABLE).update(
        receipt_printed_at=Coalesce(F("receipt_printed_at"), Value(at)),
        receipt_print_count=F("receipt_print_count") + 1,
    )
    if not changed:
        raise NoReceiptToPrint(
            _("This drop-off has no receipt to sign: it gets one when its boxes are packed and handed over.")
        )
    drop_off.refresh_from_db()
    record(
        by=by,
        at=at,
        did="print_receipt",
        subject=drop_off,
        changes={"print": drop_off.receipt_print_count},
    )
    return drop_off


@action
def file_receipt(
    *,
    drop_off: DropOff,
    content: bytes,
    data_sha256: str,
    by: Person,
    at: datetime,
    request_key: str = "",
) -> ReceiptFile:
    """Put a signed receipt on file; the same data is stored once, changed data as a new version."""
    held = DropOff.objects.select_for_update().filter(pk=drop_off.pk, state=DropOff.State.RECEIVED)
    if not held.exists():
        raise NotSignedYet(_("The ward has not signed for this drop-off yet. Please note first who signed."))
    newest = newest_receipt_file(drop_off)
    if newest and newest.data_sha256 == data_sha256:
        return newest
    filed = ReceiptFile.objects.create(
        drop_off=drop_off,
        version=newest.version + 1 if newest else 1,
        at=at,
        data_sha256=data_sha256,
        content_sha256=sha256(content).hexdigest(),
        content=content,
    )
    record(by=by, at=at, did="file_receipt", subject=drop_off, changes={"version": filed.version})
    return filed
