"""Three wards of two invented hospitals, what each accepts and what it asks for, month by month."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from gowngroup.catalog.models import Purpose
from gowngroup.demo.calendar import Calendar
from gowngroup.demo.scene import Scene, size_to
from gowngroup.people.models import Person
from gowngroup.wards.actions import (
    LineEntry,
    WardDetails,
    add_hospital,
    add_ward,
    enter_request,
    pause_ward,
    repeat_standing_requests,
    set_shelf_levels,
)
from gowngroup.wards.models import Ward, WardRequest

NEWBORN, ROWAN, SPECIAL = "newborn", "rowan", "special"
WORN, MEMORIAL = Purpose.WORN.value, Purpose.MEMORIAL.value

INFIRMARY = ("Merrowby Infirmary", "Orchard Lane\nMerrowby")
ALDERMERE = ("Aldermere General Hospital", "Weir Road\nAldermere")

# Upper weight of the size, gowns, purpose, number of the matched set.
Asked = tuple[int, int, str, int | None]
REQUESTS: dict[str, tuple[Asked, ...]] = {
    NEWBORN: (
        (750, 2, WORN, None),
        (1000, 4, WORN, None),
        (1500, 5, WORN, None),
        (2000, 3, WORN, None),
        (500, 2, MEMORIAL, None),
    ),
    ROWAN: (
        (2500, 2, WORN, None),
        (3500, 3, WORN, None),
        (250, 3, MEMORIAL, None),
        (500, 3, MEMORIAL, None),
    ),
    SPECIAL: (
        (2000, 3, WORN, None),
        (2500, 3, WORN, None),
        (3500, 3, WORN, None),
        (4500, 2, WORN, None),
    ),
}
TWINS: tuple[Asked, ...] = ((1500, 1, WORN, 1), (2000, 1, WORN, 1))
SHELVES: dict[str, dict[int, tuple[int, int]]] = {
    NEWBORN: {500: (7, 2), 750: (3, 3)},
    ROWAN: {150: (4, 3), 250: (6, 6), 500: (4, 3)},
}


@dataclass(frozen=True, slots=True, kw_only=True)
class _Ward:
    name: str
    contact: str
    sizes: tuple[int, ...]
    closures: tuple[str, ...]
    wash_c: int
    packing: str
    rules: str
    avoided_shades: tuple[str, ...] = ()


WARDS: dict[str, _Ward] = {
    NEWBORN: _Ward(
        name="Newborn Intensive Care",
        contact="Sister Ngozi Fairweather",
        sizes=(500, 750, 1000, 1500, 2000, 2500),
        closures=("flat-fastening", "wrap"),
        wash_c=71,
        packing="one size to a clear sealed bag, the size as a length outside",
        rules="Opens all the way and lies flat.\nNothing over the head.\nWide sleeves, for lines.\nPlease no yellow.",
        avoided_shades=("yellow",),
    ),
    ROWAN: _Ward(
        name="Rowan Ward, maternity",
        contact="Delphine Arkwright",
        sizes=(150, 250, 500, 750, 1000, 1500, 2000, 2500, 3500),
        closures=("flat-fastening", "wrap"),
        wash_c=60,
        packing="clear bags; the closed box is handed to the ward sister",
        rules="Ring before you come.\nThe closed box goes to the ward sister herself.",
    ),
    SPECIAL: _Ward(
        name="Special Care Baby Unit",
        contact="Tobias Meadowcroft",
        sizes=(1000, 1500, 2000, 2500, 3500, 4500),
        closures=("flat-fastening", "hook-and-loop"),
        wash_c=60,
        packing="five gowns of a size to a bag",
        rules="Washed without scent.\nDeliveries on weekdays from nine to four.",
    ),
}


def open_wards(calendar: Calendar, by: Person) -> dict[str, Ward]:
    """Add the hospitals, their wards and the shelves agreed with them."""
    at = calendar.at(-2, -60, 15)
    infirmary, aldermere = (
        add_hospital(name=name, address=address, by=by, at=at) for name, address in (INFIRMARY, ALDERMERE)
    )
    wards = {
        key: add_ward(
            hospital=aldermere if key == SPECIAL else infirmary, details=_details(key), by=by, at=at
        )
        for key in WARDS
    }
    for key, shelf in SHELVES.items():
        levels = {size_to(mass_g): counts for mass_g, counts in shelf.items()}
        set_shelf_levels(ward=wards[key], levels=levels, by=by, at=at)
    return wards


def _details(key: str) -> WardDetails:
    ward = WARDS[key]
    address = ward.contact.lower().replace("sister ", "").replace(" ", ".")
    return WardDetails(
        name=ward.name,
        sizes=[size_to(mass_g) for mass_g in ward.sizes],
        closures=ward.closures,
        contact_name=ward.contact,
        contact_email=f"{address}@example.org",
        contact_telephone=f"01632 9605{list(WARDS).index(key)}7",
        wash_c=ward.wash_c,
        avoided_shades=ward.avoided_shades,
        packing=ward.packing,
        rules=ward.rules,
    )


def ask_for_the_month(scene: Scene, month: int) -> None:
    """Enter what the three wards ask for in a month; the first month's requests repeat until changed."""
    if month != -2:
        repeat(scene, month, at=scene.at(month, -13, 9))
        return
    for number, (key, asked) in enumerate(REQUESTS.items()):
        enter_request(
            ward=scene.wards[key],
            month=scene.calendar.month(month),
            lines=entries(asked if key != NEWBORN else (*asked, *TWINS)),
            is_standing=True,
            by=scene.cast.coordinator,
            at=scene.at(month, -13, 9 + number, 20),
        )


def repeat(scene: Scene, month: int, *, at: datetime) -> None:
    """Enter the standing requests again for a month."""
    repeat_standing_requests(month=scene.calendar.month(month), by=scene.cast.coordinator, at=at)


def entries(asked: Iterable[Asked]) -> list[LineEntry]:
    """Lines of a request."""
    return [
        LineEntry(size=size_to(mass_g), purpose=purpose, gown_count=count, set_number=number)
        for mass_g, count, purpose, number in asked
    ]


def ask_today(scene: Scene, key: str, asked: Asked, *, month: int, day: int, note: str) -> WardRequest:
    """A ward rings because it needs gowns today."""
    return enter_request(
        ward=scene.wards[key],
        month=scene.calendar.day(month, day).replace(day=1),
        lines=entries([asked]),
        is_urgent=True,
        note=note,
        by=scene.cast.coordinator,
        at=scene.at(month, day, 8, 20),
    )


def pause(scene: Scene, key: str) -> None:
    """A ward's cupboards are full: it takes nothing until the middle of next month."""
    pause_ward(
        ward=scene.wards[key],
        paused_until=scene.calendar.day(1, 13),
        by=scene.cast.coordinator,
        at=scene.at(0, -5, 16),
    )
