"""What stands on the papers of a drop-off: the packing list by box and the driver's sheet."""

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import groupby

from django.utils.translation import gettext as _

from gowngroup.deliveries.models import DropOff, DropOffGown
from gowngroup.deliveries.queries import packed_rows
from gowngroup.printing import words
from gowngroup.printing.drop_off_queries import trip_of
from gowngroup.printing.planner.receipt import ReceiptLine, receipt_lines
from gowngroup.records.errors import Refusal


class NothingPacked(Refusal):
    """The boxes of the drop-off are empty, so there is nothing to write down."""

    status = 409


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """One numbered box; the box of memorial gowns is closed and travels apart."""

    number: int
    is_closed: bool
    lines: tuple[ReceiptLine, ...]
    gown_count: int
    count_words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Stop:
    """One ward of a trip, with the boxes it gets."""

    number: int
    drop_off: DropOff
    address: tuple[str, ...]
    boxes: tuple[Box, ...]
    gown_count: int


def packing_list(drop_off: DropOff) -> tuple[Box, ...]:
    """The boxes of a drop-off in their order, gowns by size, the closed box last; raises NothingPacked."""
    boxes = tuple(_boxes(packed_rows(drop_off)))
    if not boxes:
        raise _nothing_packed()
    return tuple(sorted(boxes, key=lambda box: (box.is_closed, box.number)))


def driver_sheet(drop_off: DropOff) -> tuple[Stop, ...]:
    """The stops of a driver's day, that of the drop-off among them; raises NothingPacked when it is empty."""
    trip = [(each, tuple(_boxes(packed_rows(each)))) for each in trip_of(drop_off)]
    stops = [(each, boxes) for each, boxes in trip if boxes]
    if drop_off.pk not in {each.pk for each, _boxes_of_it in stops}:
        raise _nothing_packed()
    return tuple(
        Stop(
            number=number,
            drop_off=each,
            address=tuple(each.ward.hospital.address.splitlines()),
            boxes=boxes,
            gown_count=sum(box.gown_count for box in boxes),
        )
        for number, (each, boxes) in enumerate(stops, start=1)
    )


def _nothing_packed() -> NothingPacked:
    return NothingPacked(_("The boxes of this drop-off are empty. Pack it first, then print its papers."))


def _boxes(rows: Iterable[DropOffGown]) -> Iterable[Box]:
    """Boxes by number; should both purposes share a number, each still gets its own list."""
    ordered = sorted(rows, key=lambda row: (row.box_number, row.gown.is_memorial()))
    for (number, is_closed), same in groupby(
        ordered, key=lambda row: (row.box_number, row.gown.is_memorial())
    ):
        gowns = [row.gown for row in same]
        yield Box(
            number=number,
            is_closed=is_closed,
            lines=receipt_lines(gowns),
            gown_count=len(gowns),
            count_words=words.in_words(len(gowns)),
        )
