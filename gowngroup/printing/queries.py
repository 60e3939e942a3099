"""Reads for the sheets: each row is fetched for the person who asks."""

from django.db.models import QuerySet
from django.http import Http404

from gowngroup.batches.models import Kit
from gowngroup.catalog.models import DesignSize, Size
from gowngroup.deliveries.models import DropOff, DropOffGown
from gowngroup.people.models import Person, Role
from gowngroup.people.queries import has_role
from gowngroup.records.codes import clean_code
from gowngroup.wards.models import Ward


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
