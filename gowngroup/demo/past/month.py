"""What the rows of one month of the years before have in common."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime
from random import Random

from gowngroup.demo.calendar import Calendar
from gowngroup.demo.past.books import Books, Codes, Numbers
from gowngroup.demo.past.pattern import Pattern
from gowngroup.people.models import Person
from gowngroup.stock.models import Donor


@dataclass(frozen=True, slots=True, kw_only=True)
class Store:
    """What all months draw from."""

    pattern: Pattern
    calendar: Calendar
    chance: Random
    people: Sequence[Person]
    donors: Sequence[Donor]
    kit_codes: Codes
    gown_codes: Codes
    lot_codes: Codes
    receipts: dict[int, Numbers] = field(default_factory=dict)

    def receipt_number(self, year: int) -> str:
        """The next number of a year's receipts."""
        if year not in self.receipts:
            self.receipts[year] = Numbers(f"receipt-{year}")
        return f"{year}-{self.receipts[year].next():04d}"

    def put_back(self) -> None:
        """Note the last number of every counter."""
        for counter in (self.kit_codes, self.gown_codes, self.lot_codes, *self.receipts.values()):
            counter.put_back()


@dataclass(frozen=True, slots=True, kw_only=True)
class Month:
    """One month, its number counted from the current one, and its books."""

    store: Store
    number: int
    books: Books = field(default_factory=Books)

    @property
    def pattern(self) -> Pattern:
        return self.store.pattern

    def at(self, day: int, hour: int = 10) -> datetime:
        """A moment so many days after the first of the month."""
        return self.store.calendar.at(self.number, day, hour)
