"""What the wards asked for in a month, and the gowns driven to them."""

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from datetime import timedelta

from gowngroup.catalog.models import Purpose
from gowngroup.deliveries.models import DropOff, DropOffGown
from gowngroup.demo.past.books import written
from gowngroup.demo.past.month import Month
from gowngroup.gowns.models import Gown
from gowngroup.wards.models import RequestLine, Ward, WardRequest

GOWNS_A_DRIVE = 60
Wanted = tuple[int, str]


def driven(month: Month, gowns: Sequence[Gown]) -> None:
    """Every gown to a ward that takes its size and had asked for it, drive after drive."""
    by_ward = _by_ward(month, gowns)
    lines = _asked(month, by_ward)
    loads = [
        (ward, found[start : start + GOWNS_A_DRIVE])
        for ward, found in by_ward.items()
        for start in range(0, len(found), GOWNS_A_DRIVE)
    ]
    drop_offs = written([_drop_off(month, ward, load) for ward, load in loads])
    rows = written(
        [
            DropOffGown(drop_off=drop_off, gown=gown, request_line=lines[ward, gown.size_id, gown.purpose],
                        box_number=2 if gown.purpose == Purpose.MEMORIAL else 1)
            for drop_off, (ward, load) in zip(drop_offs, loads, strict=True)
            for gown in load
        ]
    )  # fmt: skip
    for drop_off in drop_offs:
        month.books.tell("send_drop_off", drop_off, month.pattern.driver, drop_off.left_at)
    for row in rows:
        month.books.tell("send_gown", row.gown, month.pattern.driver, row.drop_off.left_at)


def _by_ward(month: Month, gowns: Sequence[Gown]) -> dict[Ward, list[Gown]]:
    found: dict[Ward, list[Gown]] = defaultdict(list)
    for place, gown in enumerate(sorted(gowns, key=lambda gown: (gown.passed_at, gown.pk))):
        wards = month.pattern.wards[gown.size_id]
        found[wards[place % len(wards)]].append(gown)
    return found


def _asked(month: Month, by_ward: dict[Ward, list[Gown]]) -> dict[tuple[Ward, int, str], RequestLine]:
    """A request of each ward, met in full."""
    requests = written(
        [
            WardRequest(ward=ward, month=month.at(0).date(), state=WardRequest.State.MET, received_at=month.at(-14))
            for ward in by_ward
        ]
    )  # fmt: skip
    lines = written([line for request in requests for line in _lines(request, by_ward[request.ward])])
    return {(line.request.ward, line.size_id, line.purpose): line for line in lines}


def _lines(request: WardRequest, gowns: Sequence[Gown]) -> Iterator[RequestLine]:
    for (size_id, purpose), count in sorted(Counter((gown.size_id, gown.purpose) for gown in gowns).items()):
        yield RequestLine(
            request=request, size_id=size_id, purpose=purpose, gown_count=count, met_count=count
        )


def _drop_off(month: Month, ward: Ward, load: Sequence[Gown]) -> DropOff:
    left_at = max(gown.passed_at for gown in load if gown.passed_at) + timedelta(days=2)
    local = left_at.astimezone(month.store.calendar.zone)
    return DropOff(
        ward=ward,
        driver=month.pattern.driver,
        planned_on=local.date(),
        state=DropOff.State.RECEIVED,
        receipt_number=month.store.receipt_number(local.year),
        left_at=left_at,
        received_at=left_at + timedelta(hours=2),
        signed_name="the ward’s contact",
    )
