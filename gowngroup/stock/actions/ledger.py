"""The one place that changes what is on hand and reserved: a conditional update and a line in the ledger."""

from datetime import datetime
from typing import Any

from django.db.models import F
from django.utils.translation import gettext as _

from gowngroup.people.models import Person
from gowngroup.records.actions import action, record
from gowngroup.records.codes import spaced
from gowngroup.stock.actions.errors import NothingToBook, ShortOnShelf
from gowngroup.stock.amounts import amount_pair
from gowngroup.stock.models import LedgerLine, Lot

Kind = LedgerLine.Kind


MOVING = ("on_hand_amount", "reserved_amount", "flaws", "state", "width_um", "package_amount")


def refresh(lot: Lot) -> None:
    """Read again what other people's actions may have changed."""
    lot.refresh_from_db(fields=MOVING)


def hold(lot: Lot) -> None:
    """Read it again and keep its row until the transaction ends, where what is read decides what is written."""
    lot.refresh_from_db(fields=MOVING, from_queryset=Lot.objects.select_for_update())


def book(
    *,
    lot: Lot,
    kind: LedgerLine.Kind,
    on_hand: int = 0,
    reserved: int = 0,
    reason: str = "",
    reference: str = "",
    by: Person,
    at: datetime,
    also: dict[str, object] | None = None,
) -> LedgerLine | None:
    """Change a lot's amounts where it still holds enough, with its ledger line; None where it does not."""
    changed = Lot.objects.filter(
        pk=lot.pk,
        reserved_amount__gte=-reserved,
        on_hand_amount__gte=F("reserved_amount") + (reserved - on_hand),
    ).update(
        on_hand_amount=F("on_hand_amount") + on_hand,
        reserved_amount=F("reserved_amount") + reserved,
        **(also or {}),
    )
    refresh(lot)
    if not changed:
        return None
    return LedgerLine.objects.create(
        lot=lot,
        kind=kind,
        on_hand_change=on_hand,
        reserved_change=reserved,
        reason=reason,
        reference=reference,
        by=by,
        at=at,
    )


def book_and_tell(*, did: str, short_of: int | None = None, **movement: Any) -> LedgerLine:
    """Book a movement with its trail line, or say what is free and what was wanted."""
    lot: Lot = movement["lot"]
    line = book(**movement)
    if line is None:
        free, wanted = amount_pair(lot.free_amount, short_of or 0, lot.material)
        raise ShortOnShelf(
            _(
                "%(lot)s is not on the shelf any more: %(free)s free, %(wanted)s wanted; plan again or choose another lot."
            )
            % {"lot": lot, "free": free, "wanted": wanted},
            field="amount",
        )
    record(by=line.by, at=line.at, did=did, subject=lot, changes=_changes(lot, line))
    return line


def _changes(lot: Lot, line: LedgerLine) -> dict[str, object]:
    before = {
        "on_hand_amount": lot.on_hand_amount - line.on_hand_change,
        "reserved_amount": lot.reserved_amount - line.reserved_change,
    }
    return {name: [was, getattr(lot, name)] for name, was in before.items() if was != getattr(lot, name)}


def require_amount(amount: int, *, field: str = "amount") -> None:
    """Refuse to book nothing or less."""
    if amount <= 0:
        raise NothingToBook(_("Please give an amount above zero."), field=field)


@action
def reserve_amount(
    *, lot: Lot, amount: int, reference: str, by: Person, at: datetime, request_key: str = ""
) -> LedgerLine:
    """Hold so much of a lot for a plan."""
    require_amount(amount)
    return book_and_tell(
        did="reserve_amount",
        short_of=amount,
        lot=lot,
        kind=Kind.RESERVE,
        reserved=amount,
        reference=reference,
        by=by,
        at=at,
    )


@action
def release_amount(
    *, lot: Lot, amount: int, reference: str, by: Person, at: datetime, request_key: str = ""
) -> LedgerLine:
    """Set free so much of what was held of a lot."""
    require_amount(amount)
    _require_reserved(lot, amount)
    return book_and_tell(
        did="release_amount",
        short_of=amount,
        lot=lot,
        kind=Kind.RELEASE,
        reserved=-amount,
        reference=reference,
        by=by,
        at=at,
    )


def _require_reserved(lot: Lot, amount: int) -> None:
    hold(lot)
    if lot.reserved_amount < amount:
        held, wanted = amount_pair(lot.reserved_amount, amount, lot.material)
        raise ShortOnShelf(
            _("Only %(held)s of %(lot)s are reserved, not %(wanted)s.")
            % {"held": held, "lot": lot, "wanted": wanted},
            field="amount",
        )


@action
def issue_reserved(
    *,
    lot: Lot,
    amount: int,
    reserved_amount: int | None = None,
    reference: str,
    by: Person,
    at: datetime,
    request_key: str = "",
) -> LedgerLine:
    """Take what was really used off the shelf and end its reservation, of the same amount unless said."""
    require_amount(amount)
    held = amount if reserved_amount is None else reserved_amount
    require_amount(held, field="reserved_amount")
    _require_reserved(lot, held)
    return book_and_tell(
        did="issue_reserved",
        short_of=amount - held,
        lot=lot,
        kind=Kind.ISSUE,
        on_hand=-amount,
        reserved=-held,
        reference=reference,
        by=by,
        at=at,
        also=flaws_after_cutting(lot, amount),
    )


@action
def issue_free(
    *,
    lot: Lot,
    amount: int,
    reference: str = "",
    reason: str = "",
    by: Person,
    at: datetime,
    request_key: str = "",
) -> LedgerLine:
    """Take so much off the shelf that nobody had reserved."""
    require_amount(amount)
    hold(lot)
    if lot.free_amount < amount:
        free, wanted = amount_pair(lot.free_amount, amount, lot.material)
        raise ShortOnShelf(
            _("Of lot %(code)s only %(free)s are free, not %(wanted)s. Take less, or choose another lot.")
            % {"code": spaced(lot.code), "free": free, "wanted": wanted},
            field="amount",
        )
    return book_and_tell(
        did="issue_free",
        short_of=amount,
        lot=lot,
        kind=Kind.ISSUE,
        on_hand=-amount,
        reference=reference,
        reason=reason,
        by=by,
        at=at,
        also=flaws_after_cutting(lot, amount),
    )


@action
def return_amount(
    *,
    lot: Lot,
    amount: int,
    reference: str = "",
    reason: str = "",
    by: Person,
    at: datetime,
    request_key: str = "",
) -> LedgerLine:
    """Put left-overs back on the shelf."""
    require_amount(amount)
    return book_and_tell(
        did="return_amount",
        lot=lot,
        kind=Kind.RETURN,
        on_hand=amount,
        reference=reference,
        reason=reason,
        by=by,
        at=at,
    )


def flaws_after_cutting(lot: Lot, amount: int) -> dict[str, object]:
    """Where the flaws lie once so much has been cut off the beginning of the cloth."""
    if not lot.flaws:
        return {}
    moved = [
        {**flaw, "from_um": max(flaw["from_um"] - amount, 0), "to_um": flaw["to_um"] - amount}
        for flaw in lot.flaws
    ]
    return {"flaws": [flaw for flaw in moved if flaw["to_um"] > 0]}
