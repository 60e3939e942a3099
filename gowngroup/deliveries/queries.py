"""Reads about drop-offs: whose they are, what suits a ward, what is in the boxes, whether it all agrees."""

from collections import Counter as Tally
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from hashlib import sha256
from typing import Any

from django.db.models import Count, F, OuterRef, Q, QuerySet, Subquery
from django.db.models.functions import Coalesce
from django.http import Http404

from gowngroup.catalog.models import Purpose, Size
from gowngroup.deliveries.models import DropOff, DropOffGown, NumberNote, ReceiptFile
from gowngroup.gowns.models import Gown
from gowngroup.gowns.queries import UNKNOWN_WASH_C, gowns_for
from gowngroup.people.models import Person, Role
from gowngroup.people.queries import has_role
from gowngroup.records.models import Counter
from gowngroup.wards.models import RequestLine, Ward, WardRequest
from gowngroup.wards.queries import ward_blocks

State = DropOff.State


@dataclass(frozen=True, slots=True, kw_only=True)
class ReceiptLine:
    """Gowns of one size and purpose in a drop-off."""

    size: Size
    purpose: str
    gown_count: int
    codes: tuple[str, ...]


def drop_offs(person: Person, *, search: str = "", state: str = "") -> QuerySet[DropOff]:
    """Drop-offs with how many gowns each takes, the next day first; a driver sees her own."""
    kept = DropOffGown.objects.filter(drop_off=OuterRef("pk"), is_removed=False).order_by().values("drop_off")
    found = DropOff.objects.select_related("ward__hospital", "driver").annotate(
        gown_count=Coalesce(Subquery(kept.annotate(_count=Count("pk")).values("_count")), 0)
    )
    if not has_role(person, Role.PACKER, Role.INSPECTOR):
        found = found.filter(driver=person)
    if state:
        found = found.filter(state=state)
    if search:
        found = found.filter(
            Q(ward__name__icontains=search)
            | Q(ward__hospital__name__icontains=search)
            | Q(receipt_number__icontains=search)
        )
    return found.order_by("-planned_on", "-pk")


def drop_off_for(person: Person, pk: int) -> DropOff:
    """A drop-off this person may see; 404 where there is none for her."""
    found = drop_offs(person).filter(pk=pk).first()
    if found is None:
        raise Http404
    return found


def packed_rows(drop_off: DropOff) -> QuerySet[DropOffGown]:
    """The gowns in a drop-off, box by box."""
    kept = drop_off.gown_rows.filter(is_removed=False)
    return kept.select_related(
        "gown__size", "gown__design_revision__design", "request_line__request"
    ).order_by("box_number", "gown__size__upper_mass_g", "gown__code")


def receipt_lines(drop_off: DropOff) -> list[ReceiptLine]:
    """What the receipt lists: gowns by purpose and size."""
    groups: dict[tuple[str, int], list[Gown]] = {}
    for row in packed_rows(drop_off):
        groups.setdefault((row.gown.purpose, row.gown.size_id), []).append(row.gown)
    lines = [
        ReceiptLine(
            size=gowns[0].size,
            purpose=purpose,
            gown_count=len(gowns),
            codes=tuple(gown.code for gown in gowns),
        )
        for (purpose, _size), gowns in groups.items()
    ]
    return sorted(lines, key=lambda line: (line.purpose != "worn", line.size.upper_mass_g))


def newest_receipt_file(drop_off: DropOff) -> ReceiptFile | None:
    """The version of a signed receipt that was put on file last."""
    return drop_off.receipt_files.order_by("version").last()


def gown_blocks(ward: Ward, gown: Gown, *, on: date) -> tuple[str, ...]:
    """Why a gown may not go to a ward on a day, a sentence each; empty when it may."""
    material = gown.outer_lot.material if gown.outer_lot else None
    return ward_blocks(
        ward,
        size=gown.size,
        closure=gown.design_revision.closure,
        wash_max_c=material.wash_max_c if material else UNKNOWN_WASH_C,
        shade=str(material or ""),
        on=on,
    )


def open_lines(ward: Ward) -> list[tuple[RequestLine, int]]:
    """Open lines of a ward and how many gowns each still wants, net of what is packed; urgent and oldest first."""
    rows = RequestLine.objects.filter(request__ward=ward, request__state=WardRequest.State.OPEN)
    packed = Tally(
        DropOffGown.objects.filter(
            is_removed=False, drop_off__state=State.PACKING, request_line__in=rows
        ).values_list("request_line_id", flat=True)
    )
    ordered = rows.select_related("request", "size").order_by(
        "-request__is_urgent", "request__month", "request__received_at", "pk"
    )
    wanted = [(line, line.open_count - packed[line.pk]) for line in ordered]
    return [(line, count) for line, count in wanted if count > 0]


def noted_differences(drop_off: DropOff) -> list[dict[str, Any]]:
    """What the ward noted, each line with the size it is about."""
    sizes = Size.objects.in_bulk([each["size"] for each in drop_off.differences if "size" in each])
    return [{**each, "of": sizes.get(each.get("size"))} for each in drop_off.differences]


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """So many gowns of a size and purpose that a ward still wants."""

    size: Size
    purpose: str
    is_urgent: bool
    gown_count: int


def still_wanted(ward: Ward) -> list[Wanted]:
    """What all open requests of a ward still want together: urgent ones first, then gowns to wear, by size."""
    counts = Tally[tuple[bool, str, Size]]()
    for line, count in open_lines(ward):
        counts[line.request.is_urgent, line.purpose, line.size] += count
    ordered = sorted(counts, key=lambda key: (not key[0], key[1] != Purpose.WORN, key[2].upper_mass_g))
    return [Wanted(is_urgent=key[0], purpose=key[1], size=key[2], gown_count=counts[key]) for key in ordered]


def open_line_for(ward: Ward, gown: Gown) -> RequestLine | None:
    """The line a gown answers: its own matched set's, else the most urgent of its size and purpose."""
    lines = [
        line
        for line, _count in open_lines(ward)
        if (line.size_id, line.purpose) == (gown.size_id, gown.purpose)
    ]
    own = gown.matched_set.request_line_id if gown.matched_set else None
    return next((line for line in lines if line.pk == own), lines[0] if lines else None)


def gowns_that_suit(ward: Ward, line: RequestLine) -> QuerySet[Gown]:
    """Gowns on the shelf that answer a line within the ward's rules, those that passed first at the top."""
    return gowns_for(ward, size=line.size, purpose=line.purpose).select_related("matched_set")


def urgent_requests() -> QuerySet[WardRequest]:
    """Urgent requests still open, the oldest first."""
    return (
        WardRequest.objects.filter(is_urgent=True, state=WardRequest.State.OPEN)
        .select_related("ward__hospital")
        .prefetch_related("lines__size")
        .order_by("received_at")
    )


def urgent_request(pk: int) -> WardRequest:
    """An urgent request still open; 404 where there is none."""
    found = urgent_requests().filter(pk=pk).first()
    if found is None:
        raise Http404
    return found


def violations() -> list[str]:
    """Where deliveries do not agree with gowns, requests or the receipt counter; empty when all is well."""
    return [*_gowns_out_of_step(), *_lines_out_of_step(), *_numbers_missing(), *_files_damaged()]


def _gowns_out_of_step() -> Iterable[str]:
    left = DropOffGown.objects.filter(
        is_removed=False, drop_off__state__in=[State.ON_THE_WAY, State.RECEIVED]
    )
    for row in left.exclude(gown__state=Gown.State.LEFT).select_related("gown"):
        yield f"gown {row.gown.code} is in drop-off {row.drop_off_id} that left, but is {row.gown.state}"
    for gown in Gown.objects.filter(state=Gown.State.LEFT).exclude(pk__in=left.values("gown")):
        yield f"gown {gown.code} is delivered, but in no drop-off that left"


def _lines_out_of_step() -> Iterable[str]:
    left = Q(drop_off__state__in=[State.ON_THE_WAY, State.RECEIVED], is_removed=False)
    counted = Tally(
        DropOffGown.objects.filter(left, request_line__isnull=False).values_list("request_line_id", flat=True)
    )
    for line in RequestLine.objects.filter(Q(met_count__gt=0) | Q(pk__in=list(counted))):
        if line.met_count != counted[line.pk]:
            yield f"request line {line.pk} is met {line.met_count} times, but {counted[line.pk]} gowns left for it"
    for line in RequestLine.objects.filter(met_count__gt=F("gown_count")):
        yield f"request line {line.pk} is met more often than it asks"


def _numbers_missing() -> Iterable[str]:
    numbered = DropOff.objects.filter(receipt_number__isnull=False)
    given = {str(number) for number in numbered.values_list("receipt_number", flat=True)}
    explained = set(NumberNote.objects.values_list("receipt_number", flat=True))
    for counter in Counter.objects.filter(name__startswith="receipt-"):
        year = counter.name.removeprefix("receipt-")
        wanted = {f"{year}-{number:04d}" for number in range(1, counter.value + 1)}
        for number in sorted(wanted - given - explained):
            yield f"receipt number {number} was skipped without a reason"
        for number in sorted(n for n in given - wanted if n.startswith(f"{year}-")):
            yield f"receipt number {number} was never given by the counter"


def _files_damaged() -> Iterable[str]:
    for filed in ReceiptFile.objects.select_related("drop_off").iterator(chunk_size=50):
        if sha256(filed.content).hexdigest() != filed.content_sha256:
            yield f"the receipt {filed.drop_off.receipt_number} on file, version {filed.version}, is damaged"
