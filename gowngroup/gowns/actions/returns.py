"""Gowns come in: from a kit, or made of somebody's own cloth."""

from datetime import datetime

from django.utils.translation import gettext as _

from gowngroup.batches.actions import KitMovedOn, return_gowns, undo_return
from gowngroup.batches.models import Kit, KitReturn, Stage
from gowngroup.catalog.actions.revisions import mark_revision_used
from gowngroup.catalog.models import DesignRevision, Purpose, Size
from gowngroup.gowns.actions.errors import WrongForDesign
from gowngroup.gowns.models import Gown, GownCheck
from gowngroup.people.models import Person
from gowngroup.records.actions import action, new_code, record
from gowngroup.stock.models import Lot

FINISHING_STAGES = (Stage.WHOLE, Stage.MAKE_UP)


@action
def take_back(
    *,
    kit: Kit,
    gown_count: int,
    duration_min: int | None = None,
    remarks: str = "",
    are_needles_counted: bool,
    floss_outcome: str = "",
    floss_cut_count: int | None = None,
    by: Person,
    at: datetime,
    request_key: str = "",
) -> KitReturn:
    """Take gowns of a kit back and give each its own code; pleated or smocked parts are no gowns yet."""
    back = return_gowns(
        kit=kit,
        gown_count=gown_count,
        duration_min=duration_min,
        remarks=remarks,
        are_needles_counted=are_needles_counted,
        floss_outcome=floss_outcome,
        floss_cut_count=floss_cut_count,
        by=by,
        at=at,
    )
    if kit.stage in FINISHING_STAGES:
        for _each in range(gown_count):
            _new_gown(_gown_of(kit, back), by=by, at=at)
    return back


def _gown_of(kit: Kit, back: KitReturn) -> Gown:
    return Gown(
        kit=kit,
        kit_return=back,
        matched_set_id=kit.matched_set_id,
        design_revision_id=kit.design_revision_id,
        size_id=kit.size_id,
        purpose=kit.purpose,
        outer_lot_id=kit.outer_lot_id,
    )


@action
def undo_take_back(*, back: KitReturn, by: Person, at: datetime, request_key: str = "") -> Kit:
    """Undo that gowns came back, as long as none of them has been looked at; their codes are never given again."""
    gowns = list(Gown.objects.select_for_update().filter(kit_return_id=back.pk).order_by("pk"))
    if (
        any(gown.state != Gown.State.BACK for gown in gowns)
        or GownCheck.objects.filter(gown__in=gowns).exists()
    ):
        raise KitMovedOn(_("This cannot be undone any more: its gowns are being checked."))
    for gown in gowns:
        record(by=by, at=at, did="undo_take_back", subject=gown, changes={"state": [gown.state, None]})
        gown.delete()
    return undo_return(back=back, by=by, at=at)


@action
def add_gown(
    *,
    design_revision: DesignRevision,
    size: Size,
    purpose: str,
    outer_lot: Lot | None = None,
    place: str = "",
    by: Person,
    at: datetime,
    request_key: str = "",
) -> Gown:
    """Take in a gown without a kit: made of her own cloth, or old stock; it is checked like every other."""
    if not design_revision.sizes.filter(size=size).exists():
        raise WrongForDesign(
            _("%(design)s is not made in this size; choose another size or design.")
            % {"design": design_revision.design},
            field="size",
        )
    is_made_for = (
        design_revision.is_for_memorial if purpose == Purpose.MEMORIAL else design_revision.is_for_worn
    )
    if not is_made_for:
        raise WrongForDesign(
            _("%(design)s is not made for this; choose another design.") % {"design": design_revision.design},
            field="purpose",
        )
    mark_revision_used(revision=design_revision, by=by, at=at)
    gown = Gown(design_revision=design_revision, size=size, purpose=purpose, outer_lot=outer_lot, place=place)
    return _new_gown(gown, by=by, at=at)


def _new_gown(gown: Gown, *, by: Person, at: datetime) -> Gown:
    gown.code, gown.received_at = new_code("G"), at
    gown.save(force_insert=True)
    record(by=by, at=at, did="receive_gown", subject=gown, changes={"state": [None, Gown.State.BACK.value]})
    return gown
