"""Reads for the sheets: each row is fetched for the person who asks."""

from collections.abc import Iterator
from hashlib import sha256

from django.db.models import QuerySet
from django.http import Http404
from django.shortcuts import get_object_or_404

from gowngroup.batches.models import Batch, Kit
from gowngroup.catalog.models import DesignSize, Size
from gowngroup.deliveries.models import DropOff, DropOffGown
from gowngroup.people.models import Person, Role
from gowngroup.people.queries import has_role
from gowngroup.printing.models import KitSheetFile, KitSheetPrint
from gowngroup.records.codes import clean_code
from gowngroup.records.models import Job
from gowngroup.wards.models import Ward

PRINT_JOB = "print_sheets"


def kit_to_print(person: Person, code: str) -> Kit:
    """Any kit for those who pack; for everybody else only the kit she has at home."""
    kits = Kit.objects.all() if has_role(person, Role.PACKER) else Kit.objects.filter(holder=person)
    kit = (
        kits.select_related(
            "design_revision__design",
            "design_revision__chart",
            "size",
            "outer_lot__material",
            "batch",
            "lay__plan",
            "holder",
        )
        .select_related("matched_set__request_line__request__ward__hospital")
        .filter(code=clean_code(code))
        .first()
    )
    if kit is None:
        raise Http404
    return kit


def design_size_to_print(revision_pk: int, size_pk: int) -> DesignSize:
    """A size a design revision is made in; whoever packs may have the pattern of any."""
    rows = DesignSize.objects.select_related("revision__design", "revision__chart", "size")
    found = rows.filter(revision=revision_pk, size=size_pk).first()
    if found is None:
        raise Http404
    return found


def wards_served(size: Size) -> QuerySet[Ward]:
    """The wards that take gowns of a size."""
    return Ward.objects.filter(is_active=True, sizes=size).select_related("hospital")


def drop_off_to_print(person: Person, pk: int) -> DropOff:
    """Any drop-off for those who pack; for a driver only his own."""
    drop_offs = DropOff.objects.select_related("ward__hospital")
    if not has_role(person, Role.PACKER, Role.INSPECTOR):
        drop_offs = drop_offs.filter(driver=person)
    found = drop_offs.filter(pk=pk).first()
    if found is None:
        raise Http404
    return found


def gowns_of(drop_off: DropOff) -> QuerySet[DropOffGown]:
    """The gowns that go with a drop-off, by size."""
    rows = drop_off.gown_rows.filter(is_removed=False).select_related("gown__size")
    return rows.order_by("gown__size__upper_mass_g", "gown__code")


def kept_sheet(kit: Kit, data_sha256: str) -> KitSheetFile | None:
    """The sheet of a kit that was made from the very same data, if there is one."""
    return KitSheetFile.objects.filter(kit=kit, data_sha256=data_sha256).first()


def is_given_out(file: KitSheetFile) -> bool:
    """Was this sheet ever given out to be sewn from?"""
    return KitSheetPrint.objects.filter(file=file).exists()


def sheet_version(code: str, version: int) -> KitSheetFile:
    """A kept version of a kit's sheet."""
    files = KitSheetFile.objects.filter(kit__code=clean_code(code), version=version)
    return get_object_or_404(files.select_related("kit"))


def kits_to_print(batch: Batch) -> QuerySet[Kit]:
    """The kits of a batch by number, less those that are lost or written off; each stored plan is read once."""
    kits = batch.kits.exclude(state__in=[Kit.State.LOST, Kit.State.WRITTEN_OFF])
    return (
        kits.select_related(
            "design_revision__design", "design_revision__chart", "size", "outer_lot__material"
        )
        .select_related("batch", "holder", "matched_set__request_line__request__ward__hospital")
        .prefetch_related("lay__plan")
        .order_by("number", "pk")
    )


def not_printed(kits: QuerySet[Kit]) -> QuerySet[Kit]:
    """Those kits of which no sheet was ever given out."""
    return kits.exclude(pk__in=KitSheetPrint.objects.values("file__kit"))


def prints_under_way(batch: Batch) -> QuerySet[Job]:
    """The print of a batch that has not ended."""
    return Job.objects.filter(
        kind=PRINT_JOB, subject_id=batch.pk, state__in=[Job.State.WAITING, Job.State.RUNNING]
    )


def last_print(batch: Batch) -> Job | None:
    """The print of a batch that was begun last."""
    return Job.objects.filter(kind=PRINT_JOB, subject_id=batch.pk).order_by("-created_at", "-pk").first()


def print_that_is_done(pk: int) -> Job:
    """A print that came to its end; 404 for any other."""
    return get_object_or_404(Job, pk=pk, kind=PRINT_JOB, state=Job.State.DONE)


def sheets_of_print(job: Job) -> list[KitSheetFile]:
    """The sheets of a print in its order, with their content."""
    files = KitSheetFile._base_manager.select_related("kit").in_bulk(job.progress.get("files", []))
    return [files[pk] for pk in job.progress.get("files", []) if pk in files]


def damaged_sheets() -> Iterator[str]:
    """Kept sheets whose bytes do not add up any more, each as a sentence."""
    for file in KitSheetFile._base_manager.select_related("kit").order_by("pk").iterator(chunk_size=50):
        if sha256(file.content).hexdigest() != file.content_sha256:
            yield f"the sheet of kit {file.kit.code}, version {file.version}, is damaged"
