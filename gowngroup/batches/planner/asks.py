"""What wards ask for and what is on its way to them."""

from calendar import monthrange
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date

from gowngroup.batches.models import Kit, MatchedSet
from gowngroup.catalog.models import Purpose, Size
from gowngroup.wards.models import RequestLine, Ward
from gowngroup.wards.queries import is_paused, low_shelf_levels, open_request_lines, wards

Line = tuple[int, str]
ENDED = (Kit.State.RETURNED, Kit.State.LOST, Kit.State.WRITTEN_OFF)


@dataclass(frozen=True, slots=True, kw_only=True)
class Ask:
    """Gowns of one size and purpose a ward waits for; `request_line` is None for its agreed shelf."""

    ward: Ward
    size: Size
    purpose: str
    gown_count: int
    request_line: RequestLine | None = None
    set_key: str | None = None

    @property
    def line(self) -> Line:
        """Size and purpose."""
        return self.size.pk, self.purpose


def open_asks(month: date) -> list[Ask]:
    """What is open up to a month for wards that take deliveries at its end, agreed shelves first."""
    last_day = month.replace(day=monthrange(month.year, month.month)[1])
    asks = [*_shelf_asks(), *_request_asks(month)]
    return [ask for ask in asks if ask.ward.is_active and not is_paused(ask.ward, on=last_day)]


def _shelf_asks() -> Iterator[Ask]:
    for level in low_shelf_levels():
        yield Ask(
            ward=level.ward,
            size=level.size,
            purpose=Purpose.MEMORIAL,
            gown_count=level.minimum_count - level.present_count,
        )


def _request_asks(month: date) -> Iterator[Ask]:
    under_way = _sets_under_way()
    for line in open_request_lines(up_to_month=month):
        set_key = f"{line.request_id}-{line.set_number}" if line.set_number else None
        if set_key not in under_way:
            yield Ask(
                ward=line.request.ward,
                size=line.size,
                purpose=line.purpose,
                gown_count=line.open_count,
                request_line=line,
                set_key=set_key,
            )


def _sets_under_way() -> set[str | None]:
    """Matched sets that kits have been made for already."""
    lost = (Kit.State.LOST, Kit.State.WRITTEN_OFF)
    sets = MatchedSet.objects.filter(request_line__isnull=False).exclude(kits__state__in=lost)
    rows = sets.values_list("request_line__request_id", "request_line__set_number")
    return {f"{request_id}-{number}" for request_id, number in rows}


def washes_needed(asks: Iterable[Ask]) -> dict[Line, int]:
    """The highest temperature of the wards that ask for a size and purpose, in °C."""
    needed: dict[Line, int] = {}
    for ask in asks:
        needed[ask.line] = max(needed.get(ask.line, 0), ask.ward.wash_c)
    return needed


def usual_wash_c(size: Size) -> int:
    """The highest temperature of the wards that take a size, for a line no ward has asked for."""
    return max((ward.wash_c for ward in wards() if size in ward.sizes.all()), default=0)


@dataclass(frozen=True, slots=True, kw_only=True)
class AvoidedShades:
    """Words for shades that wards do not want to see, by who may get a gown.

    Gowns of a line are not shared out to wards before they are delivered, so each of them has to please every ward that
    may get one: the wards that ask for its size and purpose and accept its closure, an agreed shelf counting as asked;
    where none asks, every ward that takes the size and accepts the closure. A matched set is one ward's alone.
    """

    asks: Sequence[Ask]
    served: Sequence[Ward] = field(default_factory=lambda: list(wards()))

    def of_line(self, line: Line, closure: str) -> tuple[str, ...]:
        """The words to avoid for a size and purpose in gowns closed like this."""
        asking = [ask.ward for ask in self.asks if ask.line == line]
        taking = [ward for ward in self.served if any(size.pk == line[0] for size in ward.sizes.all())]
        return _avoided(ward for ward in asking or taking if closure in ward.closures)


def shades_of_set(request_line_id: int | None) -> tuple[str, ...] | None:
    """The words the ward of a matched set avoids; None where that ward is not known any more."""
    if request_line_id is None:
        return None
    request_line = RequestLine.objects.select_related("request__ward").filter(pk=request_line_id).first()
    return _avoided([request_line.request.ward]) if request_line else None


def _avoided(found: Iterable[Ward]) -> tuple[str, ...]:
    return tuple(sorted({word.casefold() for ward in found for word in ward.avoided_shades}))
