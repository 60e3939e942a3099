"""Drop-offs: packed from the shelf, driven to a ward, signed for, or brought back."""

from collections.abc import Iterable, Mapping
from datetime import timedelta

from gowngroup.catalog.models import Purpose
from gowngroup.deliveries.actions import (
    bring_drop_off_back,
    fill_drop_off,
    pack_gown,
    receive_drop_off,
    send_drop_off,
    serve_urgent_request,
    start_drop_off,
    unpack_gown,
)
from gowngroup.deliveries.models import DropOff
from gowngroup.demo.scene import Scene, size_to
from gowngroup.gowns.queries import gowns_for
from gowngroup.people.models import Person
from gowngroup.wards.actions import set_shelf_level
from gowngroup.wards.models import ShelfLevel, WardRequest


def pack_for(
    scene: Scene, key: str, month: int, day: int, *, driver: Person, drives_after: int = 1, note: str = ""
) -> DropOff:
    """Pack a drop-off from what the ward has asked for and the shelf holds."""
    by, at = scene.cast.packer, scene.at(month, day, 14)
    drop_off = start_drop_off(
        ward=scene.wards[key],
        planned_on=scene.calendar.day(month, day + drives_after),
        driver=driver,
        note=note,
        by=by,
        at=at,
    )
    return fill_drop_off(drop_off=drop_off, by=by, at=at + timedelta(minutes=40))


def top_up(scene: Scene, drop_off: DropOff, upper_mass_g: int, count: int, *, month: int, day: int) -> None:
    """Put gowns for the ward's agreed shelf into a drop-off, and note that they will lie there."""
    size, ward = size_to(upper_mass_g), drop_off.ward
    by, at = scene.cast.packer, scene.at(month, day, 15)
    for gown in gowns_for(ward, size=size, purpose=Purpose.MEMORIAL)[:count]:
        pack_gown(drop_off=drop_off, gown=gown, by=by, at=at)
    level = ShelfLevel.objects.get(ward=ward, size=size)
    set_shelf_level(
        ward=ward,
        size=size,
        minimum_count=level.minimum_count,
        present_count=level.present_count + count,
        by=scene.cast.coordinator,
        at=at,
    )


def send(scene: Scene, drop_off: DropOff, month: int, day: int) -> None:
    """The driver leaves with the boxes."""
    send_drop_off(drop_off=drop_off, by=drop_off.driver or scene.cast.driver, at=scene.at(month, day, 9, 30))


def sign(
    scene: Scene,
    drop_off: DropOff,
    month: int,
    day: int,
    *,
    found: Iterable[Mapping[str, object]] = (),
) -> None:
    """The ward signs for what came, with what it found different."""
    receive_drop_off(
        drop_off=drop_off,
        signed_name=drop_off.ward.contact_name.removeprefix("Sister "),
        differences=list(found),
        by=drop_off.driver or scene.cast.driver,
        at=scene.at(month, day, 11, 10),
    )


def deliver(scene: Scene, key: str, month: int, day: int, *, driver: Person) -> DropOff:
    """Pack one day, drive and have it signed for the next."""
    drop_off = pack_for(scene, key, month, day, driver=driver)
    send(scene, drop_off, month, day + 1)
    sign(scene, drop_off, month, day + 1)
    return drop_off


def nobody_there(scene: Scene, drop_off: DropOff, month: int, day: int) -> None:
    """The driver stands before a closed door and brings everything back."""
    bring_drop_off_back(
        drop_off=drop_off,
        reason="nobody there to take it: the ward had moved for the week",
        by=drop_off.driver or scene.cast.driver,
        at=scene.at(month, day, 12, 15),
    )


def one_less(drop_off: DropOff) -> list[dict[str, object]]:
    """A difference as a ward notes it: one gown less than written, of the first line."""
    rows = drop_off.gown_rows.filter(is_removed=False).select_related("gown__size").order_by("pk")
    first = rows[0].gown
    written = rows.filter(gown__size=first.size, gown__purpose=first.purpose).count()
    line = {"size": first.size_id, "band": first.size.band, "purpose": first.purpose}
    return [
        {**line, "written": written, "came": written - 1},
        {"remark": "one bag was torn; we kept the gown apart"},
    ]


def serve_today(scene: Scene, request: WardRequest, month: int, day: int, *, driver: Person) -> None:
    """Answer an urgent request from the shelf within the hour."""
    drop_off = serve_urgent_request(
        request=request, driver=driver, by=scene.cast.coordinator, at=scene.at(month, day, 8, 50)
    )
    send(scene, drop_off, month, day)
    sign(scene, drop_off, month, day)


def keep_for_today(scene: Scene, drop_off: DropOff, upper_mass_g: int, *, month: int, day: int) -> None:
    """Take one gown out of the boxes again because another ward needs it today."""
    rows = drop_off.gown_rows.filter(is_removed=False, gown__purpose=Purpose.MEMORIAL)
    row = rows.filter(gown__size=size_to(upper_mass_g)).select_related("gown").order_by("pk").first()
    if row is not None:
        unpack_gown(drop_off=drop_off, gown=row.gown, by=scene.cast.packer, at=scene.at(month, day, 8, 40))
