"""Finished gowns: which to check, which lie on the shelf, what happened to one, and whether it all agrees."""

from dataclasses import dataclass
from datetime import datetime

from django.db.models import Count, Exists, F, OuterRef, Q, QuerySet, Subquery
from django.http import Http404

from gowngroup.batches.models import Kit, KitReturn, Stage
from gowngroup.catalog.models import MaterialKind, Purpose, Size
from gowngroup.gowns.models import Gown, GownCheck
from gowngroup.planning.shades import avoided_word
from gowngroup.records.codes import clean_code
from gowngroup.records.models import TrailLine
from gowngroup.records.queries import trail_of
from gowngroup.stock.models import Material
from gowngroup.wards.models import Ward

State, Round, Outcome = Gown.State, GownCheck.Round, GownCheck.Outcome
# A gown of unknown cloth counts as washable at the usual ward temperature (common practice, no source).
UNKNOWN_WASH_C = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class ShelfRow:
    """How many passed gowns of one size lie on the shelf, by purpose."""

    size: Size
    worn_count: int
    memorial_count: int


def _whole(gowns: QuerySet[Gown]) -> QuerySet[Gown]:
    return gowns.select_related("design_revision__design", "size", "kit", "kit_return", "outer_lot__material")


def gowns_to_check(round_: str) -> QuerySet[Gown]:
    """The gowns that wait for their first or second check, oldest first."""
    state = State.BACK if round_ == Round.FIRST else State.WASHED
    return _whole(Gown.objects.filter(state=state)).order_by("received_at", "pk")


def gowns_in(state: str) -> QuerySet[Gown]:
    """The gowns in one state, oldest first, each with the reason of its last check as `last_reason`."""
    last = GownCheck.objects.filter(gown=OuterRef("pk")).order_by("-at", "-pk")
    found = _whole(Gown.objects.filter(state=state)).order_by("received_at", "pk")
    return found.annotate(last_reason=Subquery(last.values("reason")[:1]))


def gowns(
    *, search: str = "", state: str = "", size: Size | None = None, purpose: str = ""
) -> QuerySet[Gown]:
    """Gowns by words of their code, kit, design or place, and by state, size and purpose; newest first."""
    wanted = {"state": state, "size": size, "purpose": purpose}
    found = Gown.objects.filter(**{name: value for name, value in wanted.items() if value})
    for word in search.split():
        code = clean_code(word) or word
        found = found.filter(
            Q(code__icontains=code)
            | Q(kit__code__icontains=code)
            | Q(design_revision__design__name__icontains=word)
            | Q(place__icontains=word)
        )
    return _whole(found).order_by("-received_at", "-pk")


def gown_counts() -> dict[str, int]:
    """How many gowns are in each state, by the name of the state."""
    counts = dict(Gown.objects.order_by().values_list("state").annotate(Count("pk")))
    return {state.name.lower(): counts.get(state, 0) for state in State}


def gown_by_code(code: str) -> Gown:
    """The gown with this code; 404 where there is none."""
    gown = _whole(Gown.objects.filter(code=clean_code(code))).select_related("matched_set").first()
    if gown is None:
        raise Http404
    return gown


def return_by_id(pk: int) -> KitReturn:
    """One coming back of gowns; 404 where there is none."""
    found = (
        KitReturn.objects.filter(pk=pk).select_related("kit__design_revision__design", "kit__size").first()
    )
    if found is None:
        raise Http404
    return found


def returns_since(moment: datetime) -> QuerySet[KitReturn]:
    """What has come back since a moment, the last first."""
    rows = KitReturn.objects.filter(returned_at__gte=moment).select_related(
        "kit__design_revision__design", "person"
    )
    return rows.order_by("-returned_at", "-pk")


def kits_on_the_list() -> QuerySet[Kit]:
    """The kits that are out, by who has them, for the list of a meeting."""
    kits = Kit.objects.filter(state=Kit.State.CLAIMED)
    return kits.select_related("holder", "design_revision__design", "size").order_by("holder__name", "code")


def kits_to_hand_out() -> QuerySet[Kit]:
    """The kits that wait for whoever comes to the meeting."""
    kits = Kit.objects.filter(state=Kit.State.WAITING)
    return kits.select_related("kept_for", "design_revision__design", "size").order_by("offered_at", "pk")


def gown_checks(gown: Gown) -> QuerySet[GownCheck]:
    """The checks of a gown, newest first."""
    return gown.checks.order_by("-at", "-pk").select_related("by")


def last_round(gown: Gown) -> str | None:
    """The round of a gown's last check."""
    return gown.checks.order_by("-at", "-pk").values_list("round", flat=True).first()


def gown_history(gown: Gown) -> QuerySet[TrailLine]:
    """What happened to a gown beside its checks, newest first."""
    return trail_of(gown).exclude(did="check_gown")


def gowns_on_shelf() -> QuerySet[Gown]:
    """Passed gowns that are not packed for a ward, those that passed first at the top."""
    packed = Gown.objects.filter(pk=OuterRef("pk"), drop_off_rows__is_removed=False)
    free = Gown.objects.filter(~Exists(packed), state=State.PASSED)
    return _whole(free).order_by("passed_at", "pk")


def shelf_counts() -> list[ShelfRow]:
    """Passed gowns on the shelf by size and purpose, the smallest size first."""
    rows = (
        gowns_on_shelf()
        .select_related(None)
        .order_by()
        .values("size_id")
        .annotate(
            worn=Count("pk", filter=Q(purpose=Purpose.WORN)),
            memorial=Count("pk", filter=Q(purpose=Purpose.MEMORIAL)),
        )
    )
    counts = {row["size_id"]: row for row in rows}
    return [
        ShelfRow(size=size, worn_count=counts[size.pk]["worn"], memorial_count=counts[size.pk]["memorial"])
        for size in Size.objects.filter(pk__in=counts)
    ]


def gowns_for(ward: Ward, *, size: Size, purpose: str) -> QuerySet[Gown]:
    """Gowns on the shelf that a ward may be given: its closures, its wash temperature, no shade it avoids; oldest first."""
    if not ward.sizes.filter(pk=size.pk).exists():
        return Gown.objects.none()
    can_be_washed = Q(outer_lot__material__wash_max_c__gte=ward.wash_c)
    if ward.wash_c <= UNKNOWN_WASH_C:
        can_be_washed |= Q(outer_lot__isnull=True)
    # Compared here, not in the database: SQLite knows large and small letters of English only.
    avoided = [
        material.pk
        for material in Material.objects.filter(kind=MaterialKind.CLOTH)
        if avoided_word(str(material), ward.avoided_shades)
    ]
    return (
        gowns_on_shelf()
        .filter(can_be_washed, size=size, purpose=purpose, design_revision__closure__in=ward.closures)
        .exclude(outer_lot__material__in=avoided)
    )


LAST_CHECK_AGREES = (
    Q(state=State.BACK, last_outcome__isnull=True)
    | Q(state__in=[State.BACK, State.MENDING], last_outcome=Outcome.MEND)
    | Q(state__in=[State.TO_WASH, State.WASHED], last_outcome=Outcome.PASS, last_round=Round.FIRST)
    | Q(state__in=[State.PASSED, State.LEFT], last_outcome=Outcome.PASS, last_round=Round.SECOND)
    | Q(state=State.SET_ASIDE, last_outcome=Outcome.SET_ASIDE)
    | Q(state=State.PRACTICE, last_outcome=Outcome.PRACTICE)
)


def violations() -> list[str]:
    """Gowns whose state differs from their last check, and returns without their gowns; empty when all is well."""
    last = GownCheck.objects.filter(gown=OuterRef("pk")).order_by("-at", "-pk")
    checked = Gown.objects.annotate(
        last_outcome=Subquery(last.values("outcome")[:1]), last_round=Subquery(last.values("round")[:1])
    )
    agreeing = checked.filter(LAST_CHECK_AGREES)
    found = [
        f"gown {gown.code}: it is “{gown.state}”, which its last check does not say"
        for gown in checked.exclude(pk__in=agreeing.values("pk"))
    ]
    returns = (
        KitReturn.objects.filter(kit__stage__in=[Stage.WHOLE, Stage.MAKE_UP])
        .annotate(gowns_made=Count("gowns"))
        .exclude(gowns_made=F("gown_count"))
        .select_related("kit")
    )
    found += [
        f"kit {back.kit.code}: {back.gown_count} gowns came back, {back.gowns_made} are in the books"
        for back in returns
    ]
    strays = Gown.objects.exclude(kit_return__isnull=True).exclude(kit=F("kit_return__kit"))
    return found + [f"gown {gown.code}: its kit is not the one it came back from" for gown in strays]
