"""What lies on the shelf, and whether the books agree with themselves."""

from django.db.models import Exists, F, OuterRef, Q, QuerySet, Sum
from django.db.models.functions import Coalesce
from django.shortcuts import get_object_or_404

from gowngroup.records.codes import clean_code
from gowngroup.stock.models import Donor, LedgerLine, Lot, Material


def lots_on_shelf(*, kind: str = "", search: str = "", state: str = "") -> QuerySet[Lot]:
    """Lots that still hold something, by kind, state and words of their code, material, shade or place."""
    lots = Lot.objects.filter(on_hand_amount__gt=0).select_related("material", "donor")
    if kind:
        lots = lots.filter(material__kind=kind)
    if state:
        lots = lots.filter(state=state)
    for word in search.split():
        lots = lots.filter(
            Q(code__icontains=word)
            | Q(material__name__icontains=word)
            | Q(material__shade__icontains=word)
            | Q(place__icontains=word)
        )
    return lots.order_by("material__kind", "material__name", "material__shade", "received_on", "pk")


def lot_ledger(lot: Lot) -> QuerySet[LedgerLine]:
    """The movements of a lot, newest first."""
    return lot.ledger.select_related("by")


def materials(*, kind: str = "", search: str = "", has_run_out: bool = False) -> QuerySet[Material]:
    """Materials of the group's list, by kind and words of their name or shade, or only those that ran out."""
    found = Material.objects.filter(**({"kind": kind} if kind else {}))
    if has_run_out:
        found = found.filter(pk__in=materials_that_ran_out().values("pk"))
    for word in search.split():
        found = found.filter(Q(name__icontains=word) | Q(shade__icontains=word))
    return found.annotate(
        free_amount=Coalesce(Sum(F("lots__on_hand_amount") - F("lots__reserved_amount")), 0)
    ).order_by("kind", "name", "shade")


def materials_that_ran_out() -> QuerySet[Material]:
    """Materials in use that lay on the shelf once and of which nothing is free any more."""
    lots = Lot.objects.filter(material=OuterRef("pk"))
    free = lots.filter(on_hand_amount__gt=F("reserved_amount"))
    return Material.objects.filter(Exists(lots), is_active=True).exclude(Exists(free))


def donors(*, search: str = "") -> QuerySet[Donor]:
    """Donors by words of their name."""
    found = Donor.objects.all()
    for word in search.split():
        found = found.filter(name__icontains=word)
    return found


def violations() -> list[str]:
    """Lots whose amounts differ from the sums of their ledger, or are impossible; empty when all is well."""
    lots = Lot.objects.annotate(
        ledger_on_hand=Coalesce(Sum("ledger__on_hand_change"), 0),
        ledger_reserved=Coalesce(Sum("ledger__reserved_change"), 0),
    ).filter(
        ~Q(on_hand_amount=F("ledger_on_hand"))
        | ~Q(reserved_amount=F("ledger_reserved"))
        | Q(reserved_amount__lt=0)
        | Q(on_hand_amount__lt=F("reserved_amount"))
    )
    return [
        f"lot {lot.code}: {lot.on_hand_amount} on hand, {lot.reserved_amount} reserved; "
        f"its ledger says {lot.ledger_on_hand} and {lot.ledger_reserved}"
        for lot in lots
    ]


def lot_by_code(code: str) -> Lot:
    """The lot with this code; 404 where there is none."""
    return get_object_or_404(
        Lot.objects.select_related("material", "donor", "opened_from"), code=clean_code(code)
    )


def material_by_id(pk: int) -> Material:
    """The material on the list; 404 where there is none."""
    return get_object_or_404(Material, pk=pk)


def donor_by_id(pk: int) -> Donor:
    """The donor; 404 where there is none."""
    return get_object_or_404(Donor, pk=pk)
