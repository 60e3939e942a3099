"""The demo's calendar: every moment counts from the first of the current month, never from the clock."""

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo


@dataclass(frozen=True, slots=True, kw_only=True)
class Calendar:
    """Days and moments of the scenario; month 0 is the current one, -2 the first of the three."""

    first: date
    zone: ZoneInfo

    def month(self, number: int) -> date:
        """The first day of a month."""
        whole = self.first.year * 12 + self.first.month - 1 + number
        return date(whole // 12, whole % 12 + 1, 1)

    def day(self, month: int, day: int) -> date:
        """So many days after the first of a month; before it where `day` is negative."""
        return self.month(month) + timedelta(days=day)

    def at(self, month: int, day: int, hour: int = 10, minute: int = 0) -> datetime:
        """A moment of such a day, where the group lives."""
        return datetime.combine(self.day(month, day), time(hour, minute), tzinfo=self.zone)
