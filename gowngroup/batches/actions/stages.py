"""How a kit goes out: as a whole gown or stage by stage, from where, kept for whom; and how stages are handed on."""

from dataclasses import dataclass
from datetime import datetime

from django.utils.translation import gettext as _

from gowngroup.batches.actions.letters import tell_kept
from gowngroup.batches.actions.moves import KitMovedOn, close_calls, end_claim, move_kit
from gowngroup.batches.actions.returns import NotHers, check_duration, may_speak_of
from gowngroup.batches.models import Claim, HandOver, Kit, Stage
from gowngroup.batches.planner.stages import NEXT_STAGE, stage_minutes
from gowngroup.batches.queries.kits import NOT_READY
from gowngroup.people.models import Person
from gowngroup.records.actions import action, record
from gowngroup.records.errors import Refusal

CAN_BE_ARRANGED = (*NOT_READY, Kit.State.WAITING)


class StageUnsuitable(Refusal):
    """The kit cannot be sewn stage by stage, or not by this one."""


class CannotBeKept(Refusal):
    """The kit cannot be kept for this person."""


@dataclass(frozen=True, slots=True, kw_only=True)
class KitArrangement:
    """How a kit goes out."""

    stage: str = Stage.WHOLE.value
    is_pleated: bool = False
    place: str = ""
    can_be_posted: bool = False
    kept_for: Person | None = None


@action
def arrange_kit(
    *, kit: Kit, arrangement: KitArrangement, by: Person, at: datetime, request_key: str = ""
) -> Kit:
    """Say how a kit goes out, as long as nobody has taken it."""
    before = Kit.objects.select_for_update().select_related("lay__plan").get(pk=kit.pk)
    if before.state not in CAN_BE_ARRANGED:
        raise KitMovedOn(
            _("Kit %(kit)s is “%(state)s” by now, so this cannot be changed any more.")
            % {"kit": before.code, "state": before.get_state_display()}
        )
    check_stage(before, arrangement.stage, is_pleated=arrangement.is_pleated)
    _check_kept(before, arrangement.kept_for)
    changes = _changes(before, arrangement)
    if "stage" in changes or "is_pleated" in changes:
        low, high = stage_minutes(before, arrangement.stage, is_pleated=arrangement.is_pleated)
        Kit.objects.filter(pk=kit.pk).update(minutes_low=low, minutes_high=high)
    if changes:
        Kit.objects.filter(pk=kit.pk).update(**_fields(arrangement))
        record(by=by, at=at, did="arrange_kit", subject=kit, changes=changes)
    kit.refresh_from_db()
    if "kept_for" in changes:
        tell_kept(kit=kit, at=at)
    return kit


def _fields(arrangement: KitArrangement) -> dict[str, object]:
    return {name: getattr(arrangement, name) for name in KitArrangement.__slots__}


def _changes(kit: Kit, arrangement: KitArrangement) -> dict[str, object]:
    pairs = {
        name: [_plain(getattr(kit, name)), _plain(value)] for name, value in _fields(arrangement).items()
    }
    return {name: pair for name, pair in pairs.items() if pair[0] != pair[1]}


def _plain(value: object) -> object:
    return value.pk if isinstance(value, Person) else value


def check_stage(kit: Kit, stage: str, *, is_pleated: bool) -> None:
    """Refuse a stage the kit does not have."""
    is_smocked = kit.design_revision.chart_id is not None
    if kit.matched_set_id is not None and stage != Stage.WHOLE:
        raise StageUnsuitable(
            _("The gowns of a matched set are sewn by one pair of hands, so they go out as whole gowns."),
            field="stage",
        )
    if not is_smocked and (stage != Stage.WHOLE or is_pleated):
        raise StageUnsuitable(
            _("This gown is not smocked, so it is neither pleated nor sewn stage by stage."), field="stage"
        )
    if is_pleated == (stage == Stage.PLEAT) and stage != Stage.WHOLE:
        raise StageUnsuitable(
            _("A pleated kit cannot go out to be pleated, and only a pleated one can be smocked or made up."),
            field="is_pleated",
        )


def _check_kept(kit: Kit, person: Person | None) -> None:
    if person is None:
        return
    if not person.is_active:
        raise CannotBeKept(_("This person is no longer with the group."), field="kept_for")
    if kit.is_memorial() and not person.has_agreed_to_memorial:
        raise CannotBeKept(
            _("This kit cannot be kept for her; please choose somebody else."), field="kept_for"
        )


@action
def hand_on(
    *,
    kit: Kit,
    are_needles_counted: bool,
    duration_min: int | None = None,
    remarks: str = "",
    to: Person | None = None,
    by: Person,
    at: datetime,
    request_key: str = "",
) -> HandOver:
    """Note that a stage of a kit is done: the kit waits for its next stage, for anybody or kept for one person."""
    check_duration(duration_min)
    now = Kit.objects.select_for_update().select_related("lay__plan").get(pk=kit.pk)
    holder_id = _holder_id(now, kit, by)
    if now.stage not in NEXT_STAGE:
        raise StageUnsuitable(_("This kit is sewn to its end; say that it is finished instead."))
    _check_kept(now, to)
    low, high = stage_minutes(now, NEXT_STAGE[now.stage], is_pleated=True)
    move_kit(
        kit,
        from_states=(Kit.State.CLAIMED,),
        to=Kit.State.WAITING,
        did="hand_on",
        by=by,
        at=at,
        holder=None,
        due_on=None,
        stage=NEXT_STAGE[now.stage],
        is_pleated=True,
        kept_for=to,
        minutes_low=low,
        minutes_high=high,
    )
    end_claim(kit, end=Claim.End.HANDED_ON, at=at)
    close_calls(kit, by=by, at=at)
    tell_kept(kit=kit, at=at)
    return HandOver.objects.create(
        kit=kit,
        stage=now.stage,
        from_person_id=holder_id,
        are_needles_counted=are_needles_counted,
        duration_min=duration_min,
        remarks=remarks,
        done_at=at,
    )


@action
def undo_hand_on(*, hand_over: HandOver, by: Person, at: datetime, request_key: str = "") -> Kit:
    """Take back that a stage is done, as after a slip at the table, while nobody has taken the next; the kit is hers again."""
    kit = Kit.objects.select_for_update().select_related("lay__plan").get(pk=hand_over.kit_id)
    newest_id = kit.hand_overs.order_by("-pk").values_list("pk", flat=True).first()
    claim = kit.claims.order_by("-claimed_at", "-pk").first()
    can_be_undone = kit.state == Kit.State.WAITING and kit.stage == NEXT_STAGE[hand_over.stage]
    is_last = newest_id == hand_over.pk and claim is not None and claim.end == Claim.End.HANDED_ON
    if claim is None or not (is_last and can_be_undone and claim.person.is_active):
        raise KitMovedOn(
            _("This cannot be undone any more: more has happened with kit %(kit)s.") % {"kit": kit.code}
        )
    is_pleated = hand_over.stage != Stage.PLEAT
    low, high = stage_minutes(kit, hand_over.stage, is_pleated=is_pleated)
    move_kit(
        kit,
        from_states=(Kit.State.WAITING,),
        to=Kit.State.CLAIMED,
        did="undo_hand_on",
        by=by,
        at=at,
        holder=claim.person,
        due_on=claim.due_on,
        stage=hand_over.stage,
        is_pleated=is_pleated,
        kept_for=None,
        minutes_low=low,
        minutes_high=high,
    )
    Claim.objects.filter(pk=claim.pk).update(ended_at=None, end="")
    hand_over.delete()
    return kit


def _holder_id(now: Kit, shown: Kit, by: Person) -> int:
    """Whose stage it is, if she says so herself or those at the table do for her."""
    if now.holder_id is None or not may_speak_of(shown, now.holder_id, by):
        raise NotHers(_("This kit has been given back or handed on already."))
    return now.holder_id


def arrangement_of(kit: Kit) -> KitArrangement:
    """How a kit goes out as it stands."""
    return KitArrangement(**{name: getattr(kit, name) for name in KitArrangement.__slots__})
