"""The whole invented scenario, built by calling actions as people would."""

from datetime import date
from random import Random
from zoneinfo import ZoneInfo

from django.db import transaction

from gowngroup.catalog.actions import start_catalog
from gowngroup.demo.calendar import Calendar
from gowngroup.demo.designs import add_keepsakes, keep_old_patterns, set_in_fine_trims
from gowngroup.demo.months import first_month, second_month, this_month
from gowngroup.demo.people import GROUP, gather
from gowngroup.demo.scene import Scene
from gowngroup.demo.shelf import fill_shelf
from gowngroup.demo.wards import open_wards
from gowngroup.records.reader import Reader, reading_as

DEFAULT_SEED = 1


@transaction.atomic
def build_demo(*, seed: int, today: date) -> Scene:
    """Fill an empty database with three months of the group's work, all of it or nothing.

    The same seed and month give the same rows; only the people's secret handles differ.
    """
    chance = Random(seed)  # noqa: S311 - an invented group needs no secrets
    zone = ZoneInfo(GROUP.time_zone)
    calendar = Calendar(first=today.replace(day=1), zone=zone)
    with reading_as(Reader(zone=zone)):
        cast = gather(calendar, chance)
        start_catalog(by=cast.coordinator, at=calendar.at(-2, -70))
        add_keepsakes(by=cast.coordinator, at=calendar.at(-2, -69))
        set_in_fine_trims(by=cast.coordinator, at=calendar.at(-2, -69))
        keep_old_patterns(by=cast.coordinator, at=calendar.at(-2, -69))
        materials = fill_shelf(calendar, cast.packer)
        wards = open_wards(calendar, cast.coordinator)
        scene = Scene(calendar=calendar, chance=chance, cast=cast, wards=wards)
        first_month(scene, materials)
        second_month(scene)
        this_month(scene, materials)
    return scene
