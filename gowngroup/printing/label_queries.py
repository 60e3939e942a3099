"""Reads for labels: what may get one, found by words, by codes or by the drop-off it goes with."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from django.db.models import Q, QuerySet

from gowngroup.batches.models import Kit
from gowngroup.catalog.models import Purpose
from gowngroup.deliveries.models import DropOff, DropOffGown
from gowngroup.gowns.models import Gown
from gowngroup.records.codes import clean_code
from gowngroup.stock.models import Lot

AT_HAND = (
    Gown.State.BACK,
    Gown.State.MENDING,
    Gown.State.TO_WASH,
    Gown.State.WASHED,
    Gown.State.PASSED,
)
BAGGED = (Gown.State.PASSED, Gown.State.LEFT)
KITS_GONE = (Kit.State.RETURNED, Kit.State.LOST, Kit.State.WRITTEN_OFF)
UNDER_WAY = (DropOff.State.PACKING, DropOff.State.ON_THE_WAY)


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """One box of a drop-off, of so many, and the gowns in it."""

    drop_off: DropOff
    number: int
    box_count: int
    gowns: tuple[Gown, ...]

    @property
    def key(self) -> str:
        """How a form names it."""
        return f"{self.drop_off.pk}-{self.number}"

    @property
    def is_closed(self) -> bool:
        """Does it hold gowns for babies who die? Such a box stays closed."""
        return any(gown.is_memorial() for gown in self.gowns)


def gowns_to_label(search: str, _drop_off: int | None) -> QuerySet[Gown]:
    """Gowns to wear that have not left, the newest first; a memorial gown carries no label."""
    return _gowns(search).filter(state__in=AT_HAND, purpose=Purpose.WORN).order_by("-received_at", "-pk")


def gowns_to_bag(search: str, drop_off: int | None) -> QuerySet[Gown]:
    """Gowns that passed, those that passed last first; or all that go with a drop-off, by size."""
    if drop_off is None:
        return _gowns(search).filter(state=Gown.State.PASSED).order_by("-passed_at", "-pk")
    packed = DropOffGown.objects.filter(drop_off=drop_off, is_removed=False)
    return _gowns(search).filter(pk__in=packed.values("gown")).order_by("size__upper_mass_g", "code")


def gowns_by_code(codes: Sequence[str]) -> dict[str, Gown]:
    """Gowns by their codes, of whatever purpose and state."""
    return {gown.code: gown for gown in _gowns("").filter(code__in=codes)}


def _gowns(search: str) -> QuerySet[Gown]:
    found = Gown.objects.select_related("design_revision__design", "size", "outer_lot__material", "kit")
    for word in search.split():
        found = found.filter(
            Q(code__icontains=clean_code(word) or word)
            | Q(kit__code__icontains=clean_code(word) or word)
            | Q(place__icontains=word)
            | Q(design_revision__design__name__icontains=word)
        )
    return found


def kits_to_label(search: str, _drop_off: int | None) -> QuerySet[Kit]:
    """Kits that are still to come back, the newest batch first."""
    found = _kits().exclude(state__in=KITS_GONE)
    for word in search.split():
        found = found.filter(
            Q(code__icontains=clean_code(word) or word) | Q(design_revision__design__name__icontains=word)
        )
    return found.order_by("-batch__month", "-batch__number", "pk")


def kits_by_code(codes: Sequence[str]) -> dict[str, Kit]:
    """Kits by their codes, in whatever state."""
    return {kit.code: kit for kit in _kits().filter(code__in=codes)}


def _kits() -> QuerySet[Kit]:
    return Kit.objects.select_related("design_revision__design", "size", "outer_lot")


def lots_to_label(search: str, _drop_off: int | None) -> QuerySet[Lot]:
    """Lots of which something is left, the newest first."""
    found = Lot.objects.filter(on_hand_amount__gt=0).select_related("material")
    for word in search.split():
        found = found.filter(
            Q(code__icontains=clean_code(word) or word)
            | Q(material__name__icontains=word)
            | Q(material__shade__icontains=word)
            | Q(place__icontains=word)
        )
    return found.order_by("-received_on", "-pk")


def lots_by_code(codes: Sequence[str]) -> dict[str, Lot]:
    """Lots by their codes."""
    return {lot.code: lot for lot in Lot.objects.filter(code__in=codes).select_related("material")}


def boxes_to_label(search: str, drop_off: int | None) -> list[Box]:
    """The boxes of a drop-off, or of all being packed or on the way to wards of these words."""
    drop_offs = DropOff.objects.all() if drop_off else DropOff.objects.filter(state__in=UNDER_WAY)
    if drop_off is not None:
        drop_offs = drop_offs.filter(pk=drop_off)
    for word in search.split():
        drop_offs = drop_offs.filter(Q(ward__name__icontains=word) | Q(ward__hospital__name__icontains=word))
    return list(_boxes(drop_offs.order_by("planned_on", "pk")))


def boxes_by_key(keys: Sequence[str]) -> dict[str, Box]:
    """Boxes by drop-off and number, such as `12-1`."""
    pks = {int(key.split("-")[0]) for key in keys if key.split("-")[0].isdecimal() and len(key) < 20}
    return {box.key: box for box in _boxes(DropOff.objects.filter(pk__in=pks))}


def _boxes(drop_offs: QuerySet[DropOff]) -> Iterable[Box]:
    for drop_off in drop_offs.select_related("ward__hospital"):
        rows = drop_off.gown_rows.filter(is_removed=False).select_related("gown__size")
        by_box: dict[int, list[Gown]] = {}
        for row in rows.order_by("box_number", "pk"):
            by_box.setdefault(row.box_number, []).append(row.gown)
        for number, gowns in by_box.items():
            yield Box(drop_off=drop_off, number=number, box_count=max(by_box), gowns=tuple(gowns))
