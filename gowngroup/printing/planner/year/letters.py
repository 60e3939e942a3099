"""What a volunteer's letter of thanks says: her own year, never anybody else's beside it."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from gowngroup.people.models import Person
from gowngroup.printing import year_queries
from gowngroup.printing.year_queries import FINISHING_STAGES, Span


@dataclass(frozen=True, slots=True, kw_only=True)
class LetterMonth:
    """What she brought back in one month."""

    month: date
    kits: int
    gowns: int
    parts: int
    minutes: int


@dataclass(frozen=True, slots=True, kw_only=True)
class HoursLetter:
    """One person's year: what she brought back month by month, and what else she did."""

    person: Person
    span: Span
    months: tuple[LetterMonth, ...]
    times: int
    times_told: int
    drives: int
    checked: int

    @property
    def kits(self) -> int:
        return sum(line.kits for line in self.months)

    @property
    def gowns(self) -> int:
        return sum(line.gowns for line in self.months)

    @property
    def parts(self) -> int:
        """Gowns she pleated or smocked for somebody else to finish."""
        return sum(line.parts for line in self.months)

    @property
    def minutes(self) -> int:
        return sum(line.minutes for line in self.months)

    @property
    def is_empty(self) -> bool:
        return not (self.times or self.drives or self.checked)


def hours_letter(person: Person, span: Span) -> HoursLetter:
    """The letter of one person, empty where nothing is noted of her in that year."""
    (letter,) = hours_letters(span, [person])
    return letter


def hours_letters(span: Span, people: Sequence[Person]) -> list[HoursLetter]:
    """The letters of these people in their order."""
    keys = [person.pk for person in people]
    returns: dict[int, list[Mapping[str, Any]]] = defaultdict(list)
    for row in year_queries.returns_of(span, keys):
        returns[row["person_id"]].append(row)
    drives, checked = year_queries.drives_of(span, keys), year_queries.checks_of(span, keys)
    return [_letter(person, span, returns[person.pk], drives=drives, checked=checked) for person in people]


def _letter(
    person: Person,
    span: Span,
    rows: Sequence[Mapping[str, Any]],
    *,
    drives: Mapping[int, int],
    checked: Mapping[int, int],
) -> HoursLetter:
    by_month: dict[date, list[Mapping[str, Any]]] = defaultdict(list)
    for row in rows:
        by_month[row["returned_at"].astimezone(span.zone).date().replace(day=1)].append(row)
    last_month = {row["kit_id"]: month for month in sorted(by_month) for row in by_month[month]}
    return HoursLetter(
        person=person,
        span=span,
        months=tuple(
            LetterMonth(
                month=month,
                kits=sum(last == month for last in last_month.values()),
                gowns=_gowns(by_month[month], is_finished=True),
                parts=_gowns(by_month[month], is_finished=False),
                minutes=sum(row["duration_min"] or 0 for row in by_month[month]),
            )
            for month in sorted(by_month)
        ),
        times=len(rows),
        times_told=sum(row["duration_min"] is not None for row in rows),
        drives=drives.get(person.pk, 0),
        checked=checked.get(person.pk, 0),
    )


def _gowns(rows: Iterable[Mapping[str, Any]], *, is_finished: bool) -> int:
    return sum(row["gown_count"] for row in rows if (row["kit__stage"] in FINISHING_STAGES) == is_finished)
