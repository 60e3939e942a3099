"""Putting the month's batch together: its lines, hours and materials."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass, field
from datetime import date, datetime
from typing import Any

from django.db.models import Max, Sum
from django.utils.translation import gettext as _

from gowngroup.batches.models import Batch, BatchLine, MaterialChoice
from gowngroup.batches.planner.asks import AvoidedShades, Line, open_asks, usual_wash_c, washes_needed
from gowngroup.batches.planner.materials import Part, parts_of, usual_choices
from gowngroup.batches.planner.proposal import Proposed, proposed_batch
from gowngroup.batches.planner.supplies import GownsThere
from gowngroup.batches.queries.batches import OPEN_STATES, is_empty
from gowngroup.catalog.models import DesignRevision, MaterialKind, Size
from gowngroup.people.models import Group, Person
from gowngroup.people.queries import minutes_offered
from gowngroup.planning.mix import CannotPropose
from gowngroup.records.actions import action, record
from gowngroup.records.errors import Refusal, Taken
from gowngroup.stock.models import Fibre, Material

LineKey = tuple[int, int, str]
MOST_GOWNS = 500
MOST_GOWNS_A_KIT = 12
MOST_MINUTES = 5_000 * 60


class BatchMovedOn(Taken):
    """The batch is under way or closed, so that its numbers no longer change."""


class BatchNotEmpty(Taken):
    """Something hangs on the batch, so that it is not thrown away."""


class NothingAsked(Refusal):
    """No request is open and no shelf is low, or nothing that is asked can be made."""


class NotWorkedOut(Refusal):
    """The planner could not work the proposal out."""


class ImpossibleLine(Refusal):
    """A number of gowns, or of gowns in a kit, that cannot be meant."""


class DesignUnsuitable(Refusal):
    """The design is not made in this size or for this purpose."""


class LineTwice(Refusal):
    """Two lines of one design, size and purpose."""


class MaterialUnsuitable(Refusal):
    """The material is of another kind, of metal, or not in use."""


class HoursImplausible(Refusal):
    """More hours than a group can have."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LineDetails:
    """A line as it shall be."""

    revision: DesignRevision
    size: Size
    purpose: str
    gown_count: int
    gowns_per_kit: int = 1
    field: str = "gown_count"

    @property
    def key(self) -> LineKey:
        """Design revision, size and purpose, which a batch has once."""
        return self.revision.pk, self.size.pk, self.purpose


@dataclass(frozen=True, slots=True, kw_only=True)
class StageHours:
    """Minutes offered for one stage at most, of all that are offered; None leaves a stage free."""

    pleat_min: int | None = None
    smock_min: int | None = None
    make_up_min: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class _Told:
    """What was proposed for a line before somebody changed it."""

    proposed_count: int = 0
    reason: dict[str, Any] = field(default_factory=dict)


@action
def start_batch(
    *,
    month: date,
    hours_offered_min: int | None = None,
    stage_hours: StageHours | None = None,
    by: Person,
    at: datetime,
    request_key: str = "",
) -> Batch:
    """Open the next batch of a month with the minutes the volunteers offer, all of theirs unless said."""
    first_day = month.replace(day=1)
    if hours_offered_min is None:
        hours_offered_min = minutes_offered(month=first_day)
    hours = {"hours_offered_min": hours_offered_min, **asdict(stage_hours or StageHours())}
    _check_hours(hours)
    # One after the other, so that each gets its own number.
    list(Group.objects.select_for_update().filter(pk=1))
    last = Batch.objects.filter(month=first_day).aggregate(last=Max("number"))["last"] or 0
    batch = Batch.objects.create(month=first_day, number=last + 1, **hours)
    record(by=by, at=at, did="start_batch", subject=batch, changes=hours)
    return batch


@action
def discard_batch(*, batch: Batch, by: Person, at: datetime, request_key: str = "") -> None:
    """Throw a batch away that was begun by mistake, as long as nothing hangs on it."""
    hold_open(batch)
    if not is_empty(batch):
        raise BatchNotEmpty(
            _(
                "Something hangs on this batch: gowns to make, materials chosen, a plan or kits. "
                "Only an empty batch is thrown away. Set all its numbers to 0, and it makes nothing."
            )
        )
    record(
        by=by,
        at=at,
        did="discard_batch",
        subject=batch,
        changes={"month": [f"{batch.month:%Y-%m}", None], "number": [batch.number, None]},
    )
    batch.delete()


def _check_hours(hours: Mapping[str, int | None]) -> None:
    for name, minutes in hours.items():
        if minutes is not None and not 0 <= minutes <= MOST_MINUTES:
            raise HoursImplausible(
                _("Please give the hours of all volunteers together, at most %(most)d.")
                % {"most": MOST_MINUTES // 60},
                field=name.removesuffix("_min"),
            )


def propose_batch(
    *, batch: Batch, there: GownsThere | None = None, by: Person, at: datetime, request_key: str = ""
) -> Batch:
    """Propose a batch from what is asked, less passed gowns and a share of those out and in check.

    The sums are done before the transaction begins.
    """
    try:
        proposed = proposed_batch(batch, there=there or GownsThere())
    except CannotPropose as failure:
        raise NotWorkedOut(
            _(
                "The proposal could not be worked out. Add lines by hand for now, and tell whoever looks after the site."
            )
        ) from failure
    return store_proposal(batch=batch, proposed=proposed, by=by, at=at, request_key=request_key)


@action
def store_proposal(
    *, batch: Batch, proposed: Proposed, by: Person, at: datetime, request_key: str = ""
) -> Batch:
    """Put proposed lines in the place of the batch's lines."""
    if not proposed.lines:
        raise NothingAsked(
            _(
                "Nothing is asked that could be made: no ward has an open request up to this month that one of "
                "the designs suits, and no agreed shelf is low. Enter a request first, or add lines by hand."
            )
        )
    hold_open(batch)
    batch.lines.all().delete()
    BatchLine.objects.bulk_create(
        BatchLine(
            batch=batch,
            design_revision=line.revision,
            size_id=line.size_id,
            purpose=line.purpose,
            gown_count=line.gown_count,
            proposed_count=line.gown_count,
            reason=line.reason,
        )
        for line in proposed.lines
    )
    Batch.objects.filter(pk=batch.pk).update(proposal=proposed.told)
    batch.refresh_from_db()
    fill_choices(batch)
    told = {"gown_count": sum(line.gown_count for line in proposed.lines)}
    record(by=by, at=at, did="propose_batch", subject=batch, changes=told)
    return batch


@action
def set_lines(
    *,
    batch: Batch,
    lines: Sequence[LineDetails],
    hours_offered_min: int | None = None,
    stage_hours: StageHours | None = None,
    by: Person,
    at: datetime,
    request_key: str = "",
) -> Batch:
    """Set what a batch makes, line by line; what was proposed and why stays beside it."""
    hold_open(batch)
    _check_lines(lines)
    told = _told(batch)
    before = _count(batch)
    batch.lines.all().delete()
    BatchLine.objects.bulk_create(_line(batch, details, told) for details in lines)
    hours: dict[str, int | None] = {} if stage_hours is None else asdict(stage_hours)
    if hours_offered_min is not None:
        hours["hours_offered_min"] = hours_offered_min
    _check_hours(hours)
    if hours:
        Batch.objects.filter(pk=batch.pk).update(**hours)
    fill_choices(batch)
    batch.refresh_from_db()
    changes = {"gown_count": [before, _count(batch)], "hours_offered_min": batch.hours_offered_min, **hours}
    record(by=by, at=at, did="set_lines", subject=batch, changes=changes)
    return batch


def hold_open(batch: Batch) -> None:
    """Keep the batch's row until the transaction ends, if its numbers may still change."""
    held = Batch.objects.filter(pk=batch.pk, state__in=OPEN_STATES).update(month=batch.month)
    if not held and not Batch.objects.filter(pk=batch.pk).exists():
        raise BatchMovedOn(_("This batch was empty and has been thrown away. Start another batch instead."))
    batch.refresh_from_db()
    if not held:
        raise BatchMovedOn(
            _("This batch is “%(state)s”, so its numbers no longer change. Start another batch instead.")
            % {"state": batch.get_state_display()}
        )


def _check_lines(lines: Iterable[LineDetails]) -> None:
    seen: set[LineKey] = set()
    for line in lines:
        if line.key in seen:
            raise LineTwice(
                _("%(design)s, %(size)s stands there twice; put the gowns into one line.")
                % {"design": line.revision.design, "size": line.size},
                field=line.field,
            )
        seen.add(line.key)
        _check_numbers(line)
        _check_design(line)


def _check_numbers(line: LineDetails) -> None:
    if not 0 <= line.gown_count <= MOST_GOWNS:
        raise ImpossibleLine(
            _("Please give a number of gowns from 0 to %(most)d.") % {"most": MOST_GOWNS}, field=line.field
        )
    if not 1 <= line.gowns_per_kit <= MOST_GOWNS_A_KIT:
        raise ImpossibleLine(
            _("A kit holds from 1 to %(most)d gowns.") % {"most": MOST_GOWNS_A_KIT}, field=line.field
        )


def _check_design(line: LineDetails) -> None:
    revision = line.revision
    suits = revision.is_for_worn if line.purpose == "worn" else revision.is_for_memorial
    if not (suits and revision.sizes.filter(size=line.size).exists()):
        raise DesignUnsuitable(
            _("%(design)s is not made in %(size)s for this purpose; choose another design or size.")
            % {"design": revision.design, "size": line.size},
            field=line.field,
        )


def _told(batch: Batch) -> Mapping[Line | LineKey, _Told]:
    """What was proposed for a design, size and purpose, and for a size and purpose whichever design is made now."""
    told: dict[Line | LineKey, _Told] = {}
    for row in batch.lines.exclude(reason={}):
        proposed = _Told(proposed_count=row.proposed_count, reason=row.reason)
        told.setdefault((row.size_id, row.purpose), proposed)
        told[row.design_revision_id, row.size_id, row.purpose] = proposed
    return told


def _line(batch: Batch, details: LineDetails, told: Mapping[Line | LineKey, _Told]) -> BatchLine:
    proposed = told.get(details.key) or told.get((details.size.pk, details.purpose), _Told())
    return BatchLine(
        batch=batch,
        design_revision=details.revision,
        size=details.size,
        purpose=details.purpose,
        gown_count=details.gown_count,
        gowns_per_kit=details.gowns_per_kit,
        proposed_count=proposed.proposed_count,
        reason=proposed.reason,
    )


def _count(batch: Batch) -> int:
    return batch.lines.aggregate(total=Sum("gown_count"))["total"] or 0


def fill_choices(batch: Batch) -> None:
    """Choose a usual material for every part that has none, and forget parts no line needs any more."""
    lines = list(batch.lines.select_related("design_revision__design", "design_revision__chart", "size"))
    revisions = {line.design_revision_id: line.design_revision for line in lines}
    batch.choices.exclude(design_revision__in=revisions).delete()
    asks = open_asks(batch.month)
    asked, avoided = washes_needed(asks), AvoidedShades(asks=asks)
    for revision in revisions.values():
        keys = {
            (line.size_id, line.purpose): line.size
            for line in lines
            if line.design_revision_id == revision.pk
        }
        wash_c = max(asked.get(key, usual_wash_c(size)) for key, size in keys.items())
        words = {word for key in keys for word in avoided.of_line(key, revision.closure)}
        _fill(batch, revision, wash_c, tuple(sorted(words)))


def _fill(batch: Batch, revision: DesignRevision, wash_c: int, avoided_shades: tuple[str, ...]) -> None:
    chosen = set(batch.choices.filter(design_revision=revision).values_list("kind", "part"))
    parts = [part for part in parts_of(revision) if (part.kind, part.name) not in chosen]
    MaterialChoice.objects.bulk_create(
        MaterialChoice(
            batch=batch, design_revision=revision, kind=part.kind, part=part.name, material=material
        )
        for part, material in usual_choices(parts, wash_c=wash_c, avoided_shades=avoided_shades)
    )


@action
def choose_materials(
    *,
    batch: Batch,
    chosen: Sequence[tuple[Part, Material | None]],
    cutting_way: str | None = None,
    by: Person,
    at: datetime,
    request_key: str = "",
) -> Batch:
    """Set which material a batch uses for each part, and how its cloth is cut.

    None leaves a part open, or any cloth that suits; without a cutting way that stays as it is.
    """
    hold_open(batch)
    for part, material in chosen:
        if material is not None:
            _check_material(part, material)
        _choose(batch, part, material)
    changes: dict[str, object] = {"count": len(chosen)}
    if cutting_way is not None and cutting_way != batch.cutting_way:
        Batch.objects.filter(pk=batch.pk).update(cutting_way=cutting_way)
        batch.cutting_way = cutting_way
        changes["cutting_way"] = cutting_way
    record(by=by, at=at, did="choose_materials", subject=batch, changes=changes)
    return batch


def _choose(batch: Batch, part: Part, material: Material | None) -> None:
    rows = batch.choices.filter(design_revision=part.revision, kind=part.kind, part=part.name)
    if material is None:
        rows.delete()
    elif not rows.update(material=material):
        MaterialChoice.objects.create(
            batch=batch, design_revision=part.revision, kind=part.kind, part=part.name, material=material
        )


def _check_material(part: Part, material: Material) -> None:
    is_metal = material.fibre == Fibre.METAL and part.kind == MaterialKind.NOTION
    if material.kind != part.kind or not material.is_active or is_metal:
        raise MaterialUnsuitable(
            _("%(material)s cannot be used as %(part)s; choose another.")
            % {"material": material, "part": part.label}
        )
