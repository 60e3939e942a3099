"""Kit sheets are kept as they were made, and it is noted which were given out."""

from collections.abc import Sequence
from datetime import datetime
from hashlib import sha256

from gowngroup.batches.models import Kit
from gowngroup.people.models import Person
from gowngroup.printing.models import KitSheetFile, KitSheetPrint
from gowngroup.printing.queries import kept_sheet
from gowngroup.printing.sheets import WrittenSheet, page_count
from gowngroup.records.actions import action, record

# A sheet takes about 45 kB. Nothing kept is ever removed, so the number is limited instead: a kit has a version for
# each day it is due on and each way of reading, a handful in its life, and more than these only by play.
MOST_VERSIONS = 40


@action
def keep_sheet(*, sheet: WrittenSheet, content: bytes, by: Person, at: datetime) -> KitSheetFile | None:
    """Keep a sheet as it was made: the same data once, changed data as a new version; None beyond the limit."""
    kit = Kit.objects.select_for_update().only("pk").get(pk=sheet.kit.pk)
    same = kept_sheet(kit, sheet.data_sha256)
    if same is not None:
        return same
    newest = KitSheetFile.objects.filter(kit=kit).order_by("version").last()
    version = newest.version + 1 if newest else 1
    if version > MOST_VERSIONS:
        return None
    reader = sheet.reader
    kept = KitSheetFile.objects.create(
        kit=kit,
        version=version,
        at=at,
        paper_size=reader.paper_size,
        length_unit=reader.length_unit,
        has_large_print=reader.has_large_print,
        is_left_handed=reader.is_left_handed,
        page_count=page_count(content),
        data_sha256=sheet.data_sha256,
        content_sha256=sha256(content).hexdigest(),
        content=content,
    )
    record(by=by, at=at, did="keep_sheet", subject=kit, changes={"version": version})
    return kept


@action
def note_given_out(*, files: Sequence[KitSheetFile], by: Person, at: datetime) -> None:
    """Note of each sheet that it was given out, the first time only."""
    known = set(KitSheetPrint.objects.filter(file__in=files).values_list("file_id", flat=True))
    fresh = [file for file in files if file.pk not in known]
    KitSheetPrint.objects.bulk_create(
        [KitSheetPrint(file=file, at=at) for file in fresh], ignore_conflicts=True
    )
    for file in fresh:
        record(by=by, at=at, did="print_sheet", subject=file, changes={"version": file.version})
