"""Kits as somebody who sews sees them, and claims as the coordinator sees them."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.db.models import Count, Exists, F, OuterRef, Prefetch, Q, QuerySet
from django.http import Http404

from gowngroup.batches.models import Call, Claim, Finish, HandOver, Kit, KitLine, RowDone
from gowngroup.batches.queries.calls import is_helper
from gowngroup.batches.queries.kits import NOT_READY
from gowngroup.catalog.models import ChartRow, Purpose, Size
from gowngroup.people.models import Group, Person, Role
from gowngroup.people.queries import has_role, zone_of
from gowngroup.records.codes import clean_code

STAFF = (Role.PACKER.value, Role.INSPECTOR.value)
SEWN = (Claim.End.RETURNED, Claim.End.HANDED_ON)
USUAL_PLACE = "usual"


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """Which of the kits waiting somebody would like to see; nothing said means all."""

    size: Size | None = None
    most_difficulty: int | None = None
    stages: tuple[str, ...] = ()
    place: str = ""
    is_by_post: bool = False
    is_worn_only: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Choices:
    """Sizes, stages and places among some kits; `places` are those other than the usual one."""

    size_ids: frozenset[int]
    stages: frozenset[str]
    places: tuple[str, ...]
    can_be_posted: bool


def day_of(at: datetime, group: Group) -> date:
    """The day a moment falls on where the group lives."""
    return at.astimezone(zone_of(group)).date()


def due_if_taken(group: Group, at: datetime) -> date:
    """The day a kit taken at this moment is due back."""
    return day_of(at, group) + timedelta(days=group.sewing_time_days)


def _shown_to(person: Person) -> QuerySet[Kit]:
    """Kits that have been offered and that this person may see among those waiting."""
    kits = Kit.objects.filter(offered_at__isnull=False)
    return kits if person.has_agreed_to_memorial else kits.exclude(purpose=Purpose.MEMORIAL)


def kits_to_take(person: Person) -> QuerySet[Kit]:
    """Every kit this person may take home: a matched set only once all its kits wait, and none kept for another."""
    fellows = Kit.objects.filter(matched_set=OuterRef("matched_set"))
    kept = Q(kept_for__isnull=True) | Q(kept_for=person)
    kits = _shown_to(person).filter(kept, state=Kit.State.WAITING)
    return kits.exclude(Exists(fellows.filter(state__in=NOT_READY)))


def waiting_kits(person: Person, wanted: Wanted | None = None) -> QuerySet[Kit]:
    """The kits this person may choose from: those kept for her, then those waiting longest; a matched set counts once."""
    before = Kit.objects.filter(
        matched_set=OuterRef("matched_set"), state=Kit.State.WAITING, pk__lt=OuterRef("pk")
    )
    kits = kits_to_take(person).exclude(Exists(before))
    return _narrowed(kits, wanted or Wanted()).order_by(
        F("kept_for").asc(nulls_last=True), "offered_at", "pk"
    )


def _narrowed(kits: QuerySet[Kit], wanted: Wanted) -> QuerySet[Kit]:
    if wanted.size:
        kits = kits.filter(size=wanted.size)
    if wanted.most_difficulty:
        kits = kits.filter(design_revision__difficulty__lte=wanted.most_difficulty)
    if wanted.stages:
        kits = kits.filter(stage__in=wanted.stages)
    if wanted.place:
        kits = kits.filter(place="" if wanted.place == USUAL_PLACE else wanted.place)
    if wanted.is_by_post:
        kits = kits.filter(can_be_posted=True)
    return kits.exclude(purpose=Purpose.MEMORIAL) if wanted.is_worn_only else kits


def likes_of(person: Person) -> Wanted:
    """What a person has said she likes to sew."""
    return Wanted(most_difficulty=person.practice, stages=tuple(person.stages_liked))


def suiting_kits(person: Person) -> QuerySet[Kit]:
    """The kits waiting that are as she has said she likes them."""
    return waiting_kits(person, likes_of(person))


def choices_among(kits: QuerySet[Kit]) -> Choices:
    """What there is to choose between among these kits, in one query."""
    rows = set(kits.order_by().values_list("size_id", "stage", "place", "can_be_posted").distinct())
    return Choices(
        size_ids=frozenset(row[0] for row in rows),
        stages=frozenset(row[1] for row in rows),
        places=tuple(sorted({row[2] for row in rows if row[2]})),
        can_be_posted=any(row[3] for row in rows),
    )


def with_card(kits: QuerySet[Kit]) -> QuerySet[Kit]:
    """The same kits with everything a card shows, in a fixed number of queries."""
    rows = Prefetch("design_revision__chart__rows", queryset=ChartRow.objects.order_by("position"))
    fellows = Kit.objects.select_related("size", "design_revision__design").order_by("pk")
    lines = KitLine.objects.order_by("position")
    return kits.select_related(
        "design_revision__design", "design_revision__chart", "size", "outer_lot__material", "lay"
    ).prefetch_related(
        rows, Prefetch("matched_set__kits", queryset=fellows), Prefetch("lines", queryset=lines)
    )


def bundle_count(person: Person) -> int:
    """How many kits a person has at home as the group's limit counts them: a matched set is one."""
    held = Kit.objects.filter(holder=person, state=Kit.State.CLAIMED).order_by()
    single = Count("pk", filter=Q(matched_set__isnull=True))
    found = held.aggregate(single=single, sets=Count("matched_set", distinct=True))
    return int(found["single"] + found["sets"])


def kit_to_claim(person: Person, code: str) -> Kit:
    """A kit this person was shown as waiting, whatever has become of it since; all others never existed."""
    return _one(_shown_to(person), code)


def kit_no_longer_waiting(person: Person, code: str) -> Kit | None:
    """A kit this person was once shown as waiting and may not see any more; none she was never shown."""
    kits = _shown_to(person).exclude(pk__in=kits_to_take(person).values("pk"))
    return kits.filter(code=clean_code(code)).first()


def kit_to_see(person: Person, code: str) -> Kit:
    """A kit whose page this person may open: any for staff, else her own, her finished and those waiting."""
    kits = Kit.objects.all()
    if not has_role(person, *STAFF):
        hers = Q(holder=person) | Q(claims__person=person, claims__end__in=SEWN)
        kits = kits.filter(hers | Q(pk__in=kits_to_take(person).values("pk"))).distinct()
    return _one(kits, code)


def kit_to_follow(person: Person, code: str) -> Kit:
    """A kit whose chart this person may follow: whose page she may open, or whose sewer asks for her help."""
    is_asked = Call.objects.filter(kind=Call.Kind.HELP, answered_at__isnull=True)
    if is_helper(person) and not has_role(person, *STAFF):
        kit = Kit.objects.filter(code=clean_code(code), pk__in=is_asked.values("kit")).first()
        if kit is not None:
            return kit_by_code(kit.code)
    return kit_to_see(person, code)


def kit_to_give_back(person: Person, code: str) -> Kit:
    """A kit this person has or had at home; any that was ever claimed for those who run the cupboard."""
    claims = Claim.objects.all() if has_role(person, Role.PACKER) else person.claims.all()
    return _one(Kit.objects.filter(pk__in=claims.values("kit_id")), code)


def kit_to_speak_of(person: Person, code: str) -> Kit:
    """A kit at somebody's home of which this person may say how it stands: her own, or anybody's for staff."""
    kits = Kit.objects.filter(holder__isnull=False)
    return _one(kits if has_role(person, *STAFF) else kits.filter(holder=person), code)


def kit_by_code(code: str) -> Kit:
    """Any kit, for staff."""
    return _one(Kit.objects.all(), code)


def _one(kits: QuerySet[Kit], code: str) -> Kit:
    kit = with_card(kits).select_related("holder", "batch", "lay").filter(code=clean_code(code)).first()
    if kit is None:
        raise Http404
    return kit


def kits_at_home(person: Person) -> QuerySet[Kit]:
    """The kits a person has at home, the one due first at the top."""
    return Kit.objects.filter(holder=person, state=Kit.State.CLAIMED).order_by("due_on", "pk")


def finished_claims(person: Person) -> QuerySet[Claim]:
    """The kits a person has sewn or done her stage of, the last first."""
    claims = Claim.objects.filter(person=person, end__in=SEWN)
    return claims.select_related("kit__design_revision__design", "kit__size").order_by("-ended_at")


def finishes_of(kits: Iterable[Kit]) -> dict[int, Finish]:
    """What holders have said of kits they have finished, by the kit's number."""
    finishes = Finish.objects.filter(claim__kit__in=list(kits), claim__ended_at__isnull=True)
    return {finish.claim.kit_id: finish for finish in finishes.select_related("claim")}


def finish_values(kit: Kit) -> dict[str, object]:
    """What its holder has said of a finished kit, as a form starts with it; nothing where she has not."""
    finish = finishes_of([kit]).get(kit.pk)
    names = ("gown_count", "are_needles_counted", "duration_min", "remarks")
    return {name: getattr(finish, name) for name in names} if finish else {}


def rows_done(kit: Kit, *, gown_number: int) -> list[int]:
    """The rows of the chart its holder has sewn on one of its gowns, the last one sewn at the end."""
    rows = RowDone.objects.filter(claim__kit=kit, claim__ended_at__isnull=True, gown_number=gown_number)
    return list(rows.order_by("done_at", "pk").values_list("row_number", flat=True))


def rows_done_counts(kits: Iterable[Kit]) -> dict[int, int]:
    """How many rows of the chart their holders have sewn, by kit, over all its gowns."""
    rows = RowDone.objects.filter(claim__kit__in=kits, claim__ended_at__isnull=True).order_by()
    return dict(rows.values_list("claim__kit").annotate(row_count=Count("pk")))


def hand_overs_of(kit: Kit) -> QuerySet[HandOver]:
    """Which stages of a kit are done, by whom, and who took it on."""
    return kit.hand_overs.select_related("from_person", "to_person").order_by("done_at", "pk")


def handed_on_since(moment: datetime) -> QuerySet[HandOver]:
    """Stages done since a moment whose next one nobody has taken yet, the last first."""
    rows = HandOver.objects.filter(done_at__gte=moment, to_person__isnull=True, kit__state=Kit.State.WAITING)
    return rows.select_related("kit__design_revision__design", "from_person").order_by("-done_at", "-pk")


def handed_out_by(person: Person) -> QuerySet[Claim]:
    """The kits somebody at the table has ever handed to others, the last first."""
    claims = Claim.objects.filter(claimed_by=person).exclude(person=person)
    rows = claims.select_related("kit__design_revision__design", "kit__size", "person")
    return rows.order_by("-claimed_at", "-pk")


def kits_out(*, today: date | None = None) -> QuerySet[Kit]:
    """Kits being sewn, the one due first at the top; with `today` only those due before it.

    Nobody is ever chased for a memorial kit, so those are never among the late ones.
    """
    kits = Kit.objects.filter(state=Kit.State.CLAIMED)
    if today is not None:
        kits = kits.filter(due_on__lt=today).exclude(purpose=Purpose.MEMORIAL)
    return kits.select_related("holder", "design_revision__design", "size").order_by("due_on", "pk")
