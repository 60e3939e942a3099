"""People and donors of the years before: those who sewed for a while and left, and those who gave."""

from random import Random

from django.contrib.auth.hashers import make_password

from gowngroup.demo.calendar import Calendar
from gowngroup.demo.past.books import written
from gowngroup.demo.people import SEWING
from gowngroup.people.models import Person, PersonRole, Role
from gowngroup.stock.models import Donor

STAYED = 4  # one of so many is with the group still


def volunteers(count: int, calendar: Calendar, chance: Random) -> list[Person]:
    """So many volunteers, their names put together from those of the circle."""
    first = [name.split()[0] for name, _hours, _agreed in SEWING]
    last = [name.split()[-1] for name, _hours, _agreed in SEWING]
    people = written(
        [
            Person(
                name=f"{chance.choice(first)} {chance.choice(last)}",
                password=make_password(None),
                is_active=number % STAYED == 0,
                hours_offered_min=60 * chance.randint(2, 12),
                joined_on=calendar.day(-2, -chance.randint(900, 4000)),
            )
            for number in range(count)
        ]
    )
    written([PersonRole(person=person, role=Role.VOLUNTEER) for person in people])
    return people


def donors(count: int) -> list[Donor]:
    """So many who gave."""
    return written([Donor(name=f"Household {number}") for number in range(1, count + 1)])
