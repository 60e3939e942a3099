"""Lots come in, are washed and measured, counted and opened."""

from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import TypedDict

from django.db import IntegrityError, transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from gowngroup.catalog.models import MaterialKind
from gowngroup.people.models import Person
from gowngroup.records.actions import action, new_code, record
from gowngroup.records.codes import clean_code
from gowngroup.stock.actions.errors import (
    BelowReserved,
    DuplicateCode,
    FlawOutside,
    LotChanged,
    NotAPackage,
    NothingToBook,
    NotMeasurable,
    ReasonMissing,
    ShortOnShelf,
    WidthMissing,
)
from gowngroup.stock.actions.ledger import Kind, book, book_and_tell, hold, refresh, require_amount
from gowngroup.stock.amounts import amount_text
from gowngroup.stock.models import Donor, LedgerLine, Lot, Material


class FlawSpan(TypedDict):
    """A stretch of cloth, along its length, that no piece may touch."""

    from_um: int
    to_um: int


@action
def receive_lot(  # noqa: PLR0913 - an arrival has this many facts
    *,
    material: Material,
    amount: int | None = None,
    package_count: int | None = None,
    package_amount: int | None = None,
    width_um: int | None = None,
    state: str = Lot.State.AS_GIVEN,
    donor: Donor | None = None,
    place: str = "",
    code: str = "",
    by: Person,
    at: datetime,
    request_key: str = "",
) -> Lot:
    """Book a new lot in: an amount, or so many unopened packages of the size the material is sold in."""
    package = (package_amount or material.package_amount) if package_count is not None else None
    amount = _whole_amount(amount, package_count, package)
    if material.kind == MaterialKind.CLOTH and not width_um:
        raise WidthMissing(_("Please measure how wide the cloth is."), field="width_um")
    lot = _new_lot(
        Lot(
            code=clean_code(code) if code else "",
            material=material,
            state=state,
            width_um=width_um,
            package_amount=package,
            donor=donor,
            place=place,
            received_on=timezone.localdate(at),
        )
    )
    book_and_tell(did="receive_lot", lot=lot, kind=Kind.RECEIVE, on_hand=amount, by=by, at=at)
    return lot


def _whole_amount(amount: int | None, package_count: int | None, package_amount: int | None) -> int:
    if package_count is None:
        require_amount(amount or 0)
        return amount or 0
    require_amount(package_count, field="package_count")
    if not package_amount:
        raise NothingToBook(_("Please say how much one package holds."), field="package_amount")
    return package_count * package_amount


def _new_lot(lot: Lot) -> Lot:
    given, lot.code = lot.code, lot.code or _free_code()
    taken = DuplicateCode(
        _("There is a lot %(code)s already; choose another code or leave the field empty.")
        % {"code": lot.code},
        field="code",
    )
    if given and Lot.objects.filter(code=given).exists():
        raise taken
    try:
        with transaction.atomic():
            lot.save(force_insert=True)
    except IntegrityError as error:
        raise taken from error
    return lot


def _free_code() -> str:
    while Lot.objects.filter(code=(code := new_code("L"))).exists():
        pass
    return code


@action
def move_lot(
    *, lot: Lot, place: str, donor: Donor | None, by: Person, at: datetime, request_key: str = ""
) -> Lot:
    """Say where a lot lies and who gave it."""
    changes = {"place": [lot.place, place], "donor": [lot.donor_id, donor.pk if donor else None]}
    lot.place, lot.donor = place, donor
    lot.save(update_fields=["place", "donor"])
    record(by=by, at=at, did="move_lot", subject=lot, changes=changes)
    return lot


@action
def mark_washed(*, lot: Lot, by: Person, at: datetime, request_key: str = "") -> Lot:
    """Note that a lot has been washed and dried; it still has to be measured before it can be cut."""
    if not Lot.objects.filter(pk=lot.pk, state=Lot.State.AS_GIVEN).update(state=Lot.State.WASHED):
        raise LotChanged(_("%(lot)s has been washed already.") % {"lot": lot})
    refresh(lot)
    record(
        by=by,
        at=at,
        did="mark_washed",
        subject=lot,
        changes={"state": [Lot.State.AS_GIVEN.value, Lot.State.WASHED.value]},
    )
    return lot


@action
def measure_lot(
    *,
    lot: Lot,
    length_um: int,
    width_um: int | None = None,
    by: Person,
    at: datetime,
    request_key: str = "",
) -> Lot:
    """Note the real length and width of a lot after washing and drying; only such cloth can be cut."""
    require_amount(length_um, field="length_um")
    seen = Lot.objects.select_for_update().get(pk=lot.pk)
    refresh(lot)
    _require_one_piece(lot)
    if lot.material.kind == MaterialKind.CLOTH and not width_um:
        raise WidthMissing(_("Please measure how wide the cloth is."), field="width_um")
    also: dict[str, object] = {
        "state": Lot.State.MEASURED.value,
        "package_amount": None,
        "flaws": _scaled(lot.flaws, length_um, lot.on_hand_amount),
    }
    if width_um:
        also["width_um"] = width_um
    line = _set_amount(
        lot, length_um, seen, reason=_("washed and measured"), field="length_um", by=by, at=at, also=also
    )
    _record_found(line, did="measure_lot", seen=seen, fields=also)
    return lot


def _require_one_piece(lot: Lot) -> None:
    if lot.material.is_counted:
        raise NotMeasurable(_("%(lot)s is counted in pieces, not measured by length.") % {"lot": lot})
    if lot.package_amount and lot.on_hand_amount > lot.package_amount:
        raise NotMeasurable(
            _("%(lot)s holds more than one package: open one, then wash and measure that one.") % {"lot": lot}
        )


def _scaled(flaws: Sequence[FlawSpan], length_um: int, before_um: int) -> list[FlawSpan]:
    if not before_um:
        return []
    return [
        FlawSpan(
            from_um=flaw["from_um"] * length_um // before_um, to_um=-(-flaw["to_um"] * length_um // before_um)
        )
        for flaw in flaws
    ]


@action
def take_stock(
    *, lot: Lot, counted_amount: int, reason: str, by: Person, at: datetime, request_key: str = ""
) -> LedgerLine:
    """Set a lot to what was really found, as a new line with its reason."""
    if not reason.strip():
        raise ReasonMissing(_("Please say why the amount differs."), field="reason")
    if counted_amount < 0:
        raise NothingToBook(_("An amount cannot be less than nothing."), field="counted_amount")
    seen = Lot.objects.select_for_update().get(pk=lot.pk)
    line = _set_amount(lot, counted_amount, seen, reason=reason.strip(), field="counted_amount", by=by, at=at)
    _record_found(line, did="take_stock", seen=seen)
    return line


def _set_amount(
    lot: Lot,
    amount: int,
    seen: Lot,
    *,
    reason: str,
    field: str,
    by: Person,
    at: datetime,
    also: dict[str, object] | None = None,
) -> LedgerLine:
    line = book(
        lot=lot,
        kind=Kind.STOCKTAKE,
        on_hand=amount - seen.on_hand_amount,
        reason=reason,
        by=by,
        at=at,
        also=also,
    )
    if line is None:
        held = amount_text(lot.reserved_amount, lot.material)
        raise BelowReserved(
            _("A plan holds %(held)s of %(lot)s; cancel or plan again before booking less than that.")
            % {"held": held, "lot": lot},
            field=field,
        )
    return line


def _record_found(line: LedgerLine, *, did: str, seen: Lot, fields: Iterable[str] = ()) -> None:
    changes = {name: [getattr(seen, name), getattr(line.lot, name)] for name in ("on_hand_amount", *fields)}
    record(by=line.by, at=line.at, did=did, subject=line.lot, changes=changes)


@action
def open_package(*, lot: Lot, place: str = "", by: Person, at: datetime, request_key: str = "") -> Lot:
    """Open one package of a lot: the opened skein, card or spool becomes a lot of its own."""
    refresh(lot)
    if not lot.package_amount:
        raise NotAPackage(_("%(lot)s is not made of unopened packages.") % {"lot": lot})
    if lot.free_amount < lot.package_amount:
        raise ShortOnShelf(_("No unopened package of %(lot)s is free.") % {"lot": lot})
    opened = _new_lot(
        Lot(
            material=lot.material,
            state=lot.state,
            width_um=lot.width_um,
            opened_from=lot,
            donor=lot.donor,
            place=place or lot.place,
            received_on=lot.received_on,
        )
    )
    amount = lot.package_amount
    for one, change, other in ((lot, -amount, opened), (opened, amount, lot)):
        book_and_tell(
            did="open_package",
            short_of=amount,
            lot=one,
            kind=Kind.OPEN,
            on_hand=change,
            reference=other.code,
            by=by,
            at=at,
        )
    return opened


@action
def mark_flaws(
    *, lot: Lot, flaws: Sequence[FlawSpan], by: Person, at: datetime, request_key: str = ""
) -> Lot:
    """Mark the stretches of a cloth that no piece may touch, measured from its beginning."""
    hold(lot)
    return _marked(lot, flaws, by=by, at=at)


@action
def add_flaw(*, lot: Lot, from_um: int, to_um: int, by: Person, at: datetime, request_key: str = "") -> Lot:
    """Mark one more stretch of a cloth that no piece may touch."""
    hold(lot)
    return _marked(lot, [*lot.flaws, FlawSpan(from_um=from_um, to_um=to_um)], by=by, at=at)


@action
def remove_flaw(
    *, lot: Lot, from_um: int, to_um: int, by: Person, at: datetime, request_key: str = ""
) -> Lot:
    """Take the mark off one stretch, if it still lies where it was seen: cutting moves all of them."""
    hold(lot)
    seen = FlawSpan(from_um=from_um, to_um=to_um)
    if seen not in lot.flaws:
        raise LotChanged(
            _("The marks on %(lot)s have changed in the meantime; please look at them again.") % {"lot": lot}
        )
    left = list(lot.flaws)
    left.remove(seen)
    return _marked(lot, left, by=by, at=at)


def _marked(lot: Lot, flaws: Sequence[FlawSpan], *, by: Person, at: datetime) -> Lot:
    for flaw in flaws:
        if not 0 <= flaw["from_um"] < flaw["to_um"] <= lot.on_hand_amount:
            raise FlawOutside(
                _("A flaw begins before it ends, and both lie on the cloth, which is %(length)s long.")
                % {"length": amount_text(lot.on_hand_amount, lot.material)},
                field="flaws",
            )
    was, now = lot.flaws, sorted(flaws, key=lambda flaw: flaw["from_um"])
    lot.flaws = list(now)
    lot.save(update_fields=["flaws"])
    record(by=by, at=at, did="mark_flaws", subject=lot, changes={"flaws": [was, lot.flaws]})
    return lot
