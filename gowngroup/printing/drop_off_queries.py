"""Reads for the papers of a drop-off: the other wards of the trip, and receipts on file."""

from gowngroup.deliveries.models import DropOff, ReceiptFile
from gowngroup.deliveries.queries import newest_receipt_file


def trip_of(drop_off: DropOff) -> list[DropOff]:
    """A drop-off and whatever else its driver takes out on that day, by hospital and ward."""
    chosen = DropOff.objects.filter(pk=drop_off.pk)
    if drop_off.driver_id is not None:
        chosen |= DropOff.objects.filter(
            driver=drop_off.driver_id,
            planned_on=drop_off.planned_on,
            state__in=[DropOff.State.PACKING, DropOff.State.ON_THE_WAY],
        )
    return list(chosen.select_related("ward__hospital").order_by("ward__hospital__name", "ward__name", "pk"))


def filed_receipt(drop_off: DropOff, version: str = "") -> ReceiptFile | None:
    """A version of a signed receipt on file, without a number the newest."""
    if not version:
        return newest_receipt_file(drop_off)
    number = int(version) if version.isascii() and version.isdigit() and len(version) < 5 else 0
    return drop_off.receipt_files.filter(version=number).first()
