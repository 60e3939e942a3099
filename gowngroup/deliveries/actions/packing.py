"""Gowns are packed for a ward: the oldest first, matched sets together, memorial gowns in a box of their own."""

from collections.abc import Iterable
from datetime import datetime

from django.db import IntegrityError, transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from gowngroup.deliveries.actions.drop_offs import move_drop_off, start_drop_off
from gowngroup.deliveries.errors import GownIsElsewhere, NothingOnTheShelf, WardRefusesGown
from gowngroup.deliveries.models import DropOff, DropOffGown
from gowngroup.deliveries.queries import gown_blocks, gowns_that_suit, open_line_for, open_lines
from gowngroup.gowns.models import Gown
from gowngroup.people.models import Person
from gowngroup.records.actions import action, record
from gowngroup.records.codes import spaced
from gowngroup.wards.models import RequestLine, Ward, WardRequest

WORN_BOX, MEMORIAL_BOX = 1, 2


@action
def pack_gown(
    *, drop_off: DropOff, gown: Gown, by: Person, at: datetime, request_key: str = ""
) -> DropOffGown:
    """Pack one passed gown for the ward, if the ward's rules allow it."""
    _hold(drop_off)
    blocks = gown_blocks(drop_off.ward, gown, on=timezone.localdate(at))
    if blocks:
        raise WardRefusesGown(" ".join(blocks), field="code")
    row = _pack(drop_off, gown, open_line_for(drop_off.ward, gown))
    record(by=by, at=at, did="pack_gown", subject=drop_off, changes={"gown": gown.pk})
    return row


@action
def unpack_gown(*, drop_off: DropOff, gown: Gown, by: Person, at: datetime, request_key: str = "") -> DropOff:
    """Take a gown out again; it is back on the shelf."""
    _hold(drop_off)
    removed = drop_off.gown_rows.filter(gown=gown, is_removed=False).update(is_removed=True)
    if not removed:
        raise GownIsElsewhere(_("Gown %(gown)s is not in this drop-off.") % {"gown": spaced(gown.code)})
    record(by=by, at=at, did="unpack_gown", subject=drop_off, changes={"gown": gown.pk})
    return drop_off


@action
def fill_drop_off(*, drop_off: DropOff, by: Person, at: datetime, request_key: str = "") -> DropOff:
    """Pack from the shelf what the ward's open requests ask for, urgent ones first, then the oldest."""
    _hold(drop_off)
    packed = [gown for line, count in open_lines(drop_off.ward) for gown in _pack_for(drop_off, line, count)]
    if not packed:
        raise NothingOnTheShelf(
            _("No passed gown on the shelf suits what %(ward)s asks for and is not packed yet.")
            % {"ward": drop_off.ward}
        )
    record(
        by=by,
        at=at,
        did="fill_drop_off",
        subject=drop_off,
        changes={"gowns": [gown.pk for gown in packed]},
    )
    return drop_off


@action
def serve_urgent_request(
    *, request: WardRequest, driver: Person | None, by: Person, at: datetime, request_key: str = ""
) -> DropOff:
    """Serve an urgent request from the shelf today: a drop-off with what lies there for it."""
    drop_off = start_drop_off(
        ward=request.ward,
        planned_on=timezone.localdate(at),
        driver=driver,
        is_urgent=True,
        by=by,
        at=at,
    )
    _hold(drop_off)
    lines = [found for found in open_lines(request.ward) if found[0].request_id == request.pk]
    packed = [gown for line, count in lines for gown in _pack_for(drop_off, line, count)]
    if not packed:
        raise NothingOnTheShelf(
            _("Nothing on the shelf suits this request. Please telephone %(ward)s.") % {"ward": request.ward}
        )
    record(
        by=by,
        at=at,
        did="fill_drop_off",
        subject=drop_off,
        changes={"gowns": [gown.pk for gown in packed]},
    )
    return drop_off


def _hold(drop_off: DropOff) -> None:
    """Hold the drop-off's row while packing, so that it cannot leave half packed, and its ward's, so that no other answers the same line."""
    move_drop_off(drop_off, from_state=DropOff.State.PACKING, state=DropOff.State.PACKING)
    Ward.objects.select_for_update(no_key=True).get(pk=drop_off.ward_id)


def _pack_for(drop_off: DropOff, line: RequestLine, count: int) -> list[Gown]:
    chosen = _own_set_first(line, gowns_that_suit(drop_off.ward, line))[:count]
    for gown in chosen:
        _pack(drop_off, gown, line)
    return chosen


def _own_set_first(line: RequestLine, gowns: Iterable[Gown]) -> list[Gown]:
    """The line's own matched set first, gowns of other sets last, each as the shelf has them."""

    def rank(gown: Gown) -> int:
        if gown.matched_set is None:
            return 1
        return 0 if gown.matched_set.request_line_id == line.pk else 2

    return sorted(gowns, key=rank)


def _pack(drop_off: DropOff, gown: Gown, line: RequestLine | None) -> DropOffGown:
    box_number = MEMORIAL_BOX if gown.is_memorial() else WORN_BOX
    on_shelf = Gown.objects.select_for_update().filter(pk=gown.pk, state=Gown.State.PASSED)
    try:
        with transaction.atomic():
            if not on_shelf.exists():
                raise _elsewhere(gown)
            return DropOffGown.objects.create(
                drop_off=drop_off, gown=gown, request_line=line, box_number=box_number
            )
    except IntegrityError as error:
        raise _elsewhere(gown) from error


def _elsewhere(gown: Gown) -> GownIsElsewhere:
    gown.refresh_from_db()
    if gown.state == Gown.State.PASSED:
        sentence = _("Gown %(gown)s is packed for a ward already.")
    else:
        sentence = _("Gown %(gown)s is not on the shelf: it is “%(state)s”.")
    return GownIsElsewhere(
        sentence % {"gown": spaced(gown.code), "state": gown.get_state_display()}, field="code"
    )
