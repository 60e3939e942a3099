"""Lays to be cut, kits to be packed, and whether the books of kits agree with themselves."""

from django.db.models import Count, F, Q, QuerySet, Sum
from django.db.models.functions import Coalesce

from gowngroup.batches.models import Claim, Kit, KitLine, Lay
from gowngroup.people.models import Person, PersonRole, Role
from gowngroup.records.codes import clean_code

NOT_READY = (Kit.State.PLANNED, Kit.State.CUT, Kit.State.PACKED)


def lays_to_cut() -> QuerySet[Lay]:
    """Lays of committed plans that have not been cut yet."""
    lays = Lay.objects.filter(cut_at__isnull=True, freed_at__isnull=True, plan__committed_at__isnull=False)
    return _with_lot(lays).defer("plan__document").order_by("plan__batch__month", "plan_id", "number")


def lays_of_committed_plans() -> QuerySet[Lay]:
    """Every lay of a committed plan, cut or not."""
    return _with_lot(Lay.objects.filter(plan__committed_at__isnull=False))


def _with_lot(lays: QuerySet[Lay]) -> QuerySet[Lay]:
    kits = Count("kits", filter=~Q(kits__state=Kit.State.WRITTEN_OFF))
    return lays.select_related("lot__material", "plan__batch").annotate(kit_count=kits)


def kits_of_lay(lay: Lay) -> QuerySet[Kit]:
    """The kits cut from a lay."""
    return lay.kits.select_related("design_revision__design", "size").order_by("pk")


def kits_to_pack() -> QuerySet[Kit]:
    """Kits that are cut and not yet packed, with how many of their lines are ticked."""
    ticked = Count("lines", filter=Q(lines__ticked_at__isnull=False))
    kits = Kit.objects.filter(state=Kit.State.CUT).annotate(line_count=Count("lines"), ticked_count=ticked)
    return _for_staff(kits).order_by("batch__month", "batch_id", "pk")


def packed_kits() -> QuerySet[Kit]:
    """Kits that are packed and not yet offered."""
    return _for_staff(Kit.objects.filter(state=Kit.State.PACKED)).order_by("pk")


def lines_of(kit: Kit) -> QuerySet[KitLine]:
    """What goes into a kit, in the order of its packing list."""
    return kit.lines.select_related("lot__material").order_by("position")


def kits(*, search: str = "", state: str = "") -> QuerySet[Kit]:
    """All kits for staff, by state and by words of their code, design or holder, the newest first."""
    found = Kit.objects.filter(state=state) if state else Kit.objects.all()
    for word in search.split():
        found = found.filter(
            Q(code__icontains=clean_code(word) or word)
            | Q(design_revision__design__name__icontains=word)
            | Q(holder__name__icontains=word)
        )
    return _for_staff(found).order_by("-batch__month", "-batch__number", "pk")


def _for_staff(kits: QuerySet[Kit]) -> QuerySet[Kit]:
    return kits.select_related("design_revision__design", "size", "outer_lot__material", "holder", "batch")


def volunteers() -> QuerySet[Person]:
    """People of the group who sew."""
    rows = PersonRole.objects.filter(role__in=[Role.VOLUNTEER, Role.COORDINATOR])
    return Person.objects.filter(is_active=True, pk__in=rows.values("person_id")).order_by("name", "pk")


def kit_violations() -> list[str]:
    """Kits whose claims or returns do not add up; empty when all is well."""
    open_claims = Count("claims", filter=Q(claims__ended_at__isnull=True), distinct=True)
    wrong_claims = Kit.objects.annotate(open_claims=open_claims).filter(
        Q(state=Kit.State.CLAIMED) & ~Q(open_claims=1) | ~Q(state=Kit.State.CLAIMED) & Q(open_claims__gt=0)
    )
    strangers = Claim.objects.filter(ended_at__isnull=True).exclude(person=F("kit__holder"))
    wrong_holder = Kit.objects.filter(state=Kit.State.CLAIMED, pk__in=strangers.values("kit_id"))
    back = Coalesce(Sum("returns__gown_count"), 0)
    wrong_returns = Kit.objects.annotate(back=back).exclude(back=F("returned_count"))
    wrong_end = Kit.objects.filter(state=Kit.State.RETURNED).exclude(returned_count=F("gown_count"))
    found = {
        "its open claims do not fit its state": wrong_claims,
        "it is held by somebody else than its claim says": wrong_holder,
        "its gowns back differ from its returns": wrong_returns,
        "it is back without all its gowns": wrong_end,
    }
    return [f"kit {kit.code}: {what}" for what, rows in found.items() for kit in rows]
