"""The months before the demo's own, one after the other, until there are gowns enough."""

from datetime import date
from random import Random
from zoneinfo import ZoneInfo

from django.db import transaction

from gowngroup.demo.calendar import Calendar
from gowngroup.demo.past.books import Codes
from gowngroup.demo.past.driving import driven
from gowngroup.demo.past.kits import packed, planned, shares_of
from gowngroup.demo.past.month import Month, Store
from gowngroup.demo.past.pattern import first_pattern
from gowngroup.demo.past.people import donors, volunteers
from gowngroup.demo.past.sewing import brought_back, checked
from gowngroup.demo.past.shelf import cloth_for, trims_for
from gowngroup.demo.people import GROUP

MONTHS, GOWNS_A_MONTH = 120, 500
LAST_MONTH = -5  # what was begun then is driven to the wards before anything of the demo happens
MOST_GOWNS = 100_000
GOWNS_A_PERSON, GOWNS_A_DONOR = 100, 500


@transaction.atomic
def write_past(*, gown_count: int, seed: int, today: date) -> int:
    """Write so many gowns in the months before the demo's own, ten years at most; says how many months that took."""
    chance, zone = Random(seed), ZoneInfo(GROUP.time_zone)  # noqa: S311 - an invented group needs no secrets
    calendar = Calendar(first=today.replace(day=1), zone=zone)
    store = Store(
        pattern=first_pattern(),
        calendar=calendar,
        chance=chance,
        people=volunteers(_share(gown_count, GOWNS_A_PERSON), calendar, chance),
        donors=donors(_share(gown_count, GOWNS_A_DONOR)),
        kit_codes=Codes("K"),
        gown_codes=Codes("G"),
        lot_codes=Codes("L"),
    )
    count = min(MONTHS, _share(gown_count, GOWNS_A_MONTH))
    ends = [gown_count * place // count for place in range(count + 1)]
    for place in range(count):
        month = Month(store=store, number=LAST_MONTH - count + 1 + place)
        write_month(month, gown_count=ends[place + 1] - ends[place])
    store.put_back()
    return count


def _share(count: int, whole: int) -> int:
    return -(-count // whole)


def write_month(month: Month, *, gown_count: int) -> None:
    """One month in which so many gowns came in: planned, packed, sewn, checked and driven."""
    shares = shares_of(month.pattern.kits, gown_count)
    cloth, trims = cloth_for(month, shares), trims_for(month, shares)
    lays = planned(month, shares, cloth)
    kits = packed(month, shares, lays, trims)
    driven(month, checked(month, brought_back(month, kits)))
    month.books.write()
