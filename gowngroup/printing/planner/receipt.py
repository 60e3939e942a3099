"""What stands on a delivery receipt: counts by size and purpose, never a value and never a person's name."""

import json
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum
from hashlib import sha256
from itertools import groupby

from django.utils.translation import gettext as _

from gowngroup.catalog.models import Purpose, Size
from gowngroup.deliveries.models import DropOff
from gowngroup.gowns.models import Gown
from gowngroup.printing import queries, words
from gowngroup.records.errors import Refusal

ORIGINAL_FOR = timedelta(minutes=15)  # time for a paper jam before the same print counts as a duplicate
PAPER_STATES = (DropOff.State.ON_THE_WAY, DropOff.State.RECEIVED)


class NoReceiptYet(Refusal):
    """The drop-off has no receipt number, nothing to sign for, or nothing signed to put on file."""

    status = 409


class Mark(StrEnum):
    """What a receipt is: not noted as printed yet, the two copies to sign, or one more print of them."""

    PREVIEW = "preview"
    ORIGINAL = "original"
    DUPLICATE = "duplicate"


@dataclass(frozen=True, slots=True, kw_only=True)
class ReceiptLine:
    """Gowns of one size."""

    size: Size
    length: str
    gown_count: int
    codes: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ReceiptPage:
    """One purpose of one copy, signed for on a page of its own."""

    copy: str
    is_memorial: bool
    page_number: int
    page_count: int
    lines: tuple[ReceiptLine, ...]
    total: int
    total_words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Difference:
    """A line of which something else came than was written."""

    band: str
    is_memorial: bool
    written: int
    came: int


@dataclass(frozen=True, slots=True, kw_only=True)
class SignedReceipt:
    """A receipt the ward signed, for the file: the group's pages, when it was signed and what differed."""

    pages: tuple[ReceiptPage, ...]
    received_at: datetime
    differences: tuple[Difference, ...]
    has_remark: bool
    data_sha256: str


def receipt_pages(drop_off: DropOff) -> tuple[ReceiptPage, ...]:
    """The ward's copy and the group's, each with the gowns to wear and, apart, the memorial gowns.

    Raises NoReceiptYet before the drop-off has its number.
    """
    if not drop_off.receipt_number:
        raise NoReceiptYet(
            _("This drop-off has no receipt number yet; it gets one when its gowns are handed to the driver.")
        )
    gowns = [row.gown for row in queries.gowns_of(drop_off)]
    if not gowns:
        raise NoReceiptYet(_("There are no gowns in this drop-off, so there is nothing to sign for."))
    copies = (_("The ward’s copy"), _("The group’s copy"))
    return tuple(page for copy in copies for page in _copy(copy, gowns))


def mark_of(drop_off: DropOff, *, at: datetime) -> Mark:
    """Whether a receipt opened now is a preview, the original, or a duplicate.

    The first print stays the original for a quarter of an hour, unless it is signed or printed again before.
    """
    if drop_off.state not in PAPER_STATES:
        return Mark.PREVIEW
    printed_at = drop_off.receipt_printed_at
    if drop_off.state == DropOff.State.RECEIVED or drop_off.receipt_print_count > 1:
        return Mark.DUPLICATE
    if printed_at is None:
        return Mark.PREVIEW
    return Mark.ORIGINAL if at - printed_at < ORIGINAL_FOR else Mark.DUPLICATE


def signed_receipt(drop_off: DropOff, *, group_name: str) -> SignedReceipt:
    """What goes on file of a signed receipt; without the name of who signed and without the ward's remark.

    Raises NoReceiptYet before the ward has signed.
    """
    if drop_off.state != DropOff.State.RECEIVED or drop_off.received_at is None:
        raise NoReceiptYet(_("The ward has not signed for this drop-off yet. Please note first who signed."))
    pages = receipt_pages(drop_off)
    pages = pages[len(pages) // 2 :]
    return SignedReceipt(
        pages=pages,
        received_at=drop_off.received_at,
        differences=tuple(_differences(drop_off)),
        has_remark=any(each.get("remark") for each in drop_off.differences),
        data_sha256=_fingerprint(drop_off, pages, group_name),
    )


def _copy(copy: str, gowns: list[Gown]) -> Iterable[ReceiptPage]:
    by_purpose = [
        (purpose, chosen)
        for purpose in (Purpose.WORN, Purpose.MEMORIAL)
        if (chosen := [gown for gown in gowns if gown.purpose == purpose])
    ]
    for number, (purpose, chosen) in enumerate(by_purpose, start=1):
        yield ReceiptPage(
            copy=copy,
            is_memorial=purpose == Purpose.MEMORIAL,
            page_number=number,
            page_count=len(by_purpose),
            lines=receipt_lines(chosen),
            total=len(chosen),
            total_words=words.in_words(len(chosen)),
        )


def receipt_lines(gowns: Iterable[Gown]) -> tuple[ReceiptLine, ...]:
    """Gowns that come by size, as one line a size."""
    return tuple(_lines(gowns))


def _lines(gowns: Iterable[Gown]) -> Iterable[ReceiptLine]:
    for size, same in groupby(gowns, key=lambda gown: gown.size):
        codes = tuple(gown.code for gown in same)
        yield ReceiptLine(
            size=size, length=words.size_as_length(size.body_length_um), gown_count=len(codes), codes=codes
        )


def _differences(drop_off: DropOff) -> Iterable[Difference]:
    for each in drop_off.differences:
        if "came" in each:
            yield Difference(
                band=each["band"],
                is_memorial=each["purpose"] == Purpose.MEMORIAL,
                written=each["written"],
                came=each["came"],
            )


def _fingerprint(drop_off: DropOff, pages: tuple[ReceiptPage, ...], group_name: str) -> str:
    """A sum over all the filed receipt says, so that the same data is known again whoever prints it."""
    said = [
        group_name,
        drop_off.receipt_number,
        drop_off.ward.name,
        drop_off.ward.hospital.name,
        str(drop_off.planned_on),
        str(drop_off.received_at),
        drop_off.differences,
        [[line.size.band, line.size.body_length_um, *line.codes] for page in pages for line in page.lines],
    ]
    return sha256(json.dumps(said, sort_keys=True).encode()).hexdigest()
