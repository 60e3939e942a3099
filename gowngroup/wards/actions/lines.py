"""The lines of a request: single gowns by size and purpose, and matched sets."""

from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from gowngroup.catalog.models import Purpose, Size
from gowngroup.records.errors import Refusal, Taken
from gowngroup.wards.models import RequestLine, WardRequest

MOST_GOWNS = 200
SET_GOWNS = (2, 3)

Key = tuple[int, str, int | None, int]


class EmptyRequest(Refusal):
    """The request asks for nothing."""


class ImpossibleCount(Refusal):
    """Nobody asks for so many gowns, or for fewer than none."""


class ImpossibleSet(Refusal):
    """A matched set is two or three gowns."""


class DeliveredAlready(Taken):
    """More of a line has been delivered than would now be asked for."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LineEntry:
    """So many gowns of a size and purpose; lines with one set number are matched gowns."""

    size: Size
    purpose: str
    gown_count: int
    set_number: int | None = None


def refuse_bad_lines(lines: Sequence[LineEntry]) -> None:
    """Refuse a request that asks for nothing, for too much, or for a set that is none."""
    for line in lines:
        if not 1 <= line.gown_count <= MOST_GOWNS or line.purpose not in Purpose.values:
            raise ImpossibleCount(
                _("%(count)d gowns for %(size)s cannot be right; a request has 1 to %(most)d of a size.")
                % {"count": line.gown_count, "size": line.size, "most": MOST_GOWNS}
            )
    if not lines:
        raise EmptyRequest(
            _(
                "This request asks for nothing yet: put a number beside at least one size, or enter a matched set."
            )
        )
    sets = Counter[int]()
    for line in lines:
        if line.set_number is not None:
            sets[line.set_number] += line.gown_count
    if any(not SET_GOWNS[0] <= count <= SET_GOWNS[1] for count in sets.values()):
        raise ImpossibleSet(_("A matched set is two or three gowns; enter single gowns in the table above."))


def put_lines(request: WardRequest, lines: Sequence[LineEntry]) -> None:
    """Write the lines of a new request, numbers of the same size and purpose together."""
    RequestLine.objects.bulk_create(_row(request, key, count) for key, count in _keyed(lines).items())


def change_lines(request: WardRequest, lines: Sequence[LineEntry]) -> None:
    """Bring a request's lines to what is asked for now, keeping what was met."""
    wanted = _keyed(lines)
    for key, row in _keyed_rows(request).items():
        _change_line(row, wanted.pop(key, 0))
    RequestLine.objects.bulk_create(_row(request, key, count) for key, count in wanted.items())


def _change_line(row: RequestLine, count: int) -> None:
    rows = RequestLine.objects.filter(pk=row.pk, met_count__lte=count)
    done = rows.update(gown_count=count) if count else rows.delete()[0]
    if not done:
        raise DeliveredAlready(
            ngettext(
                "%(met)d gown of %(size)s has been delivered already; ask for at least as many.",
                "%(met)d gowns of %(size)s have been delivered already; ask for at least as many.",
                row.met_count,
            )
            % {"met": row.met_count, "size": row.size}
        )


def _row(request: WardRequest, key: Key, count: int) -> RequestLine:
    size_id, purpose, set_number, _index = key
    return RequestLine(
        request=request, size_id=size_id, purpose=purpose, set_number=set_number, gown_count=count
    )


def _keyed(lines: Sequence[LineEntry]) -> dict[Key, int]:
    """Gowns by size, purpose and set; single gowns of a kind are added up."""
    counts: dict[Key, int] = defaultdict(int)
    seen = Counter[tuple[int, str, int]]()
    for line in lines:
        index = 0
        if line.set_number is not None:
            index = seen[(line.size.pk, line.purpose, line.set_number)]
            seen[(line.size.pk, line.purpose, line.set_number)] += 1
        counts[(line.size.pk, line.purpose, line.set_number, index)] += line.gown_count
    return dict(counts)


def _keyed_rows(request: WardRequest) -> dict[Key, RequestLine]:
    rows: dict[Key, RequestLine] = {}
    for row in request.lines.select_related("size"):
        key: Key = (row.size_id, row.purpose, row.set_number, 0)
        while key in rows:
            key = (*key[:3], key[3] + 1)
        rows[key] = row
    return rows
