"""Cutting a lay, packing and offering its kits, and kits that are lost or written off."""

from datetime import datetime

from django.db.models import F
from django.utils.text import get_text_list
from django.utils.translation import gettext as _

from gowngroup.batches.actions.booking import draw_lay, draw_lines, free_lines
from gowngroup.batches.actions.moves import KitMovedOn, close_calls, end_claim, move_kit
from gowngroup.batches.models import Call, Claim, Kit, KitLine, Lay
from gowngroup.batches.planner.missing import BEING_PACKED
from gowngroup.people.models import Person
from gowngroup.records.actions import action, record
from gowngroup.records.errors import Refusal, Taken
from gowngroup.records.reader import current_reader
from gowngroup.records.units import in_unit
from gowngroup.stock.models import Lot

ROUNDING_UM = 5_000  # people measure cloth to the nearest centimetre

CAN_BE_LOST = (Kit.State.PACKED, Kit.State.WAITING, Kit.State.CLAIMED)
CAN_BE_WRITTEN_OFF = (*BEING_PACKED, *CAN_BE_LOST, Kit.State.LOST)


class LayAlreadyCut(Taken):
    """The lay has been marked as cut before."""


class LayPlannedAnew(Taken):
    """A later plan has taken the place of the lay."""


class ClothNotMeasured(Refusal):
    """The lot has not been washed and measured yet."""


class CutTooShort(Refusal):
    """Less was cut than the pieces of the lay take up."""


class LinesNotTicked(Refusal):
    """Something has not been put into the kit yet."""


class ReasonMissing(Refusal):
    """A kit is only given up with a reason."""


@action
def cut_lay(*, lay: Lay, cut_length_um: int, by: Person, at: datetime, request_key: str = "") -> Lay:
    """Mark a lay as cut: book the length really cut off its lot, free the rest, move its kits on."""
    waiting = Lay.objects.filter(pk=lay.pk, cut_at__isnull=True, freed_at__isnull=True)
    if not waiting.update(cut_at=at, cut_length_um=cut_length_um):
        raise _not_to_be_cut(lay)
    lot = Lot.objects.select_related("material").get(pk=lay.lot_id)
    _check_cut(lay, lot, cut_length_um)
    draw_lay(lay, lot, cut_length_um, by=by, at=at)
    for kit in Kit.objects.filter(lay_id=lay.pk, state=Kit.State.PLANNED).order_by("pk"):
        move_kit(kit, from_states=(Kit.State.PLANNED,), to=Kit.State.CUT, did="cut_lay", by=by, at=at)
    record(by=by, at=at, did="cut_lay", subject=lay, changes={"cut_length_um": [None, cut_length_um]})
    lay.refresh_from_db()
    return lay


def _not_to_be_cut(lay: Lay) -> Taken:
    if Lay.objects.filter(pk=lay.pk, freed_at__isnull=False).exists():
        return LayPlannedAnew(
            _("What was not cut yet has been planned anew. Look at the lays to cut, and cut the new one.")
        )
    return LayAlreadyCut(_("This lay has already been marked as cut."))


def _check_cut(lay: Lay, lot: Lot, cut_length_um: int) -> None:
    if not lot.can_be_cut():
        raise ClothNotMeasured(
            _("Lot %(lot)s must be washed and measured before it is cut; do that on the lot's page first.")
            % {"lot": lot.code}
        )
    if cut_length_um < lay.length_um - ROUNDING_UM:
        unit = current_reader().length_unit
        raise CutTooShort(
            _(
                "The pieces of this lay take up %(needed)s %(unit)s; less would not hold them all. "
                "Please measure what was cut once more."
            )
            % {"needed": in_unit(lay.length_um, unit), "unit": unit},
            field="cut_length",
        )


@action
def tick_line(*, line: KitLine, by: Person, at: datetime, request_key: str = "") -> KitLine:
    """Tick a thing that has been put into a kit."""
    return _set_tick(line, ticked_at=at, by=by, at=at)


@action
def untick_line(*, line: KitLine, by: Person, at: datetime, request_key: str = "") -> KitLine:
    """Take a tick off again while the kit is being packed."""
    return _set_tick(line, ticked_at=None, by=by, at=at)


def _set_tick(line: KitLine, *, ticked_at: datetime | None, by: Person, at: datetime) -> KitLine:
    _hold(line.kit)
    is_ticked = ticked_at is not None
    changed = KitLine.objects.filter(pk=line.pk, ticked_at__isnull=is_ticked).update(ticked_at=ticked_at)
    if changed:
        did = "tick_line" if is_ticked else "untick_line"
        record(by=by, at=at, did=did, subject=line, changes={"is_ticked": [not is_ticked, is_ticked]})
    now = KitLine.objects.filter(pk=line.pk).first()
    if now is None:
        raise KitMovedOn(
            _("Kit %(kit)s has been planned anew; look at its list again.") % {"kit": line.kit.code}
        )
    return now


def _hold(kit: Kit) -> None:
    """Keep the kit's row until the transaction ends, if it is still being packed."""
    if not Kit.objects.filter(pk=kit.pk, state__in=BEING_PACKED).update(state=F("state")):
        raise KitMovedOn(_("Kit %(kit)s is no longer being packed.") % {"kit": kit.code})


@action
def pack_kit(*, kit: Kit, by: Person, at: datetime, request_key: str = "") -> Kit:
    """Close a kit whose every line is ticked, and book its trims, floss and notions off their lots."""
    move_kit(kit, from_states=(Kit.State.CUT,), to=Kit.State.PACKED, did="pack_kit", by=by, at=at)
    unticked = [line.text for line in kit.lines.filter(ticked_at__isnull=True)]
    if unticked:
        raise LinesNotTicked(
            _("Not ticked yet: %(lines)s. Put them in and tick them, then close the kit.")
            % {"lines": get_text_list(unticked, _("and"))}
        )
    draw_lines(kit, by=by, at=at)
    return kit


@action
def offer_kit(*, kit: Kit, by: Person, at: datetime, request_key: str = "") -> Kit:
    """Offer a packed kit to the volunteers."""
    packed, waiting = Kit.State.PACKED, Kit.State.WAITING
    move_kit(kit, from_states=(packed,), to=waiting, did="offer_kit", by=by, at=at, offered_at=at)
    return kit


@action
def offer_packed_kits(*, by: Person, at: datetime, request_key: str = "") -> None:
    """Offer every kit that is packed."""
    for kit in Kit.objects.select_for_update().filter(state=Kit.State.PACKED).order_by("pk"):
        offer_kit(kit=kit, by=by, at=at)


@action
def lose_kit(*, kit: Kit, reason: str, by: Person, at: datetime, request_key: str = "") -> Kit:
    """Mark a kit as lost; its gowns may still turn up later."""
    move_kit(
        kit,
        from_states=CAN_BE_LOST,
        to=Kit.State.LOST,
        did="lose_kit",
        by=by,
        at=at,
        **_given_up(reason),
    )
    end_claim(kit, end=Claim.End.LOST, at=at)
    close_calls(kit, by=by, at=at)
    return kit


@action
def write_off_kit(*, kit: Kit, reason: str, by: Person, at: datetime, request_key: str = "") -> Kit:
    """Give a kit up for good; what was not yet packed is free again, cut cloth only by a new plan."""
    before = move_kit(
        kit,
        from_states=CAN_BE_WRITTEN_OFF,
        to=Kit.State.WRITTEN_OFF,
        did="write_off_kit",
        by=by,
        at=at,
        **_given_up(reason),
    )
    end_claim(kit, end=Claim.End.WRITTEN_OFF, at=at)
    close_calls(kit, kinds=Call.Kind.values, by=by, at=at)
    if before in BEING_PACKED:
        free_lines(kit, by=by, at=at)
    return kit


def _given_up(reason: str) -> dict[str, object]:
    if not reason.strip():
        raise ReasonMissing(_("Please say in a few words why."), field="reason")
    return {"holder": None, "due_on": None, "ended_reason": reason.strip()[:200]}
