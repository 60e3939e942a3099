"""What the first page says to those who drive and sew, in whole sentences."""

from datetime import date
from typing import Any

from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from gowngroup.batches.models import HandOver, Stage
from gowngroup.batches.planner.next_step import next_step
from gowngroup.deliveries.models import DropOff
from gowngroup.home.queries import Thanks
from gowngroup.records.written import written_date


def drive_step(drop_off: DropOff, *, today: date) -> str:
    """What a driver does next about a drop-off."""
    if drop_off.state == DropOff.State.PACKING:
        if drop_off.planned_on <= today:
            return _("It is still being packed. Please ring us before you set out.")
        return _("It is being packed for you.")
    if drop_off.planned_on < today:
        return _("Has the ward signed? Then say so here, or bring the boxes back.")
    return _("Take it to the ward, and let both copies of the receipt be signed.")


def drive_load(gown_count: int, box_count: int) -> str:
    """How much a drive takes."""
    boxes = ngettext("%(count)d box", "%(count)d boxes", box_count) % {"count": box_count}
    words = ngettext("%(count)d gown in %(boxes)s", "%(count)d gowns in %(boxes)s", gown_count)
    return words % {"count": gown_count, "boxes": boxes}


def kit_step(kit: Any, *, today: date, place: str) -> str:
    """What comes next for a kit's holder; the kit as `kits_of` gives it."""
    return next_step(
        kit,
        is_finished=kit.is_finished,
        open_calls=kit.open_calls,
        today=today,
        place=place,
    )


def hand_over_sentence(hand_over: HandOver) -> str:
    """What became of a stage somebody did; never by whom."""
    words = {
        "design": hand_over.kit.design_revision.design,
        "day": written_date(timezone.localdate(hand_over.taken_at), "j F"),
    }
    if hand_over.stage == Stage.PLEAT:
        return _("What you pleated, %(design)s, was taken home on %(day)s to be smocked.") % words
    return _("What you smocked, %(design)s, was taken home on %(day)s to be made up.") % words


def thanks_sentences(thanks: Thanks) -> list[str]:
    """What became of the gowns she sewed; nothing before the first has come back."""
    if not thanks.gowns_made:
        return []
    made = ngettext("You have sewn %(count)d gown.", "You have sewn %(count)d gowns.", thanks.gowns_made)
    told = [made % {"count": thanks.gowns_made}]
    if thanks.last_left_at is not None:
        left = ngettext(
            "%(count)d has gone to a ward, on %(day)s.",
            "%(count)d have gone to wards, the last on %(day)s.",
            thanks.gowns_left,
        )
        day = written_date(timezone.localdate(thanks.last_left_at), "j F Y")
        told.append(left % {"count": thanks.gowns_left, "day": day})
    return [*told, _("Thank you.")]
