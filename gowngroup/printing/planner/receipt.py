"""What stands on a delivery receipt: counts by size, never a value and never a volunteer's name."""

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import groupby

from django.utils.translation import gettext as _

from gowngroup.catalog.models import Purpose, Size
from gowngroup.deliveries.models import DropOff
from gowngroup.gowns.models import Gown
from gowngroup.printing import queries, words
from gowngroup.records.errors import Refusal


class NoReceiptYet(Refusal):
    """The drop-off has no receipt number, or nothing to sign for."""

    status = 409


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
    lines: tuple[ReceiptLine, ...]
    total: int
    total_words: str


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
    return tuple(
        _page(copy, purpose, chosen)
        for copy in (_("The ward’s copy"), _("The group’s copy"))
        for purpose in (Purpose.WORN, Purpose.MEMORIAL)
        if (chosen := [gown for gown in gowns if gown.purpose == purpose])
    )


def _page(copy: str, purpose: str, gowns: list[Gown]) -> ReceiptPage:
    return ReceiptPage(
        copy=copy,
        is_memorial=purpose == Purpose.MEMORIAL,
        lines=tuple(_lines(gowns)),
        total=len(gowns),
        total_words=words.in_words(len(gowns)),
    )


def _lines(gowns: list[Gown]) -> Iterable[ReceiptLine]:
    for size, same in groupby(gowns, key=lambda gown: gown.size):
        codes = tuple(gown.code for gown in same)
        yield ReceiptLine(
            size=size, length=words.size_as_length(size.body_length_um), gown_count=len(codes), codes=codes
        )
