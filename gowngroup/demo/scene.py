"""What every part of the scenario needs at hand: calendar, people, wards and the one source of chance."""

from dataclasses import dataclass
from datetime import datetime
from random import Random

from gowngroup.catalog.models import Size
from gowngroup.demo.calendar import Calendar
from gowngroup.demo.people import Cast
from gowngroup.wards.models import Ward


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """The invented group at work; `chance` is seeded, so that it is the same every time."""

    calendar: Calendar
    chance: Random
    cast: Cast
    wards: dict[str, Ward]

    def at(self, month: int, day: int, hour: int = 10, minute: int = 0) -> datetime:
        """A moment so many days after the first of a month."""
        return self.calendar.at(month, day, hour, minute)


def size_to(upper_mass_g: int) -> Size:
    """The size a weight band's upper edge stands for."""
    return Size.objects.get(upper_mass_g=upper_mass_g)
