"""What lies on the shelf: cloth of odd widths and lengths as people give it, part-used cards and skeins."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from gowngroup.demo import materials as m
from gowngroup.demo.calendar import Calendar
from gowngroup.demo.materials import CM, list_materials
from gowngroup.people.models import Person
from gowngroup.stock.actions import add_donor, mark_flaws, mark_washed, measure_lot, receive_lot, take_stock
from gowngroup.stock.models import Donor, Lot, Material

DONORS = (
    "Estate of Clarice Ombersley",
    "Fentiman’s Drapers, closing sale",
    "Merrowby Ladies’ Choir",
    "Mrs Isolde Banerjee",
    "The Weir Mill, ends of rolls",
    "Aldermere Scouts’ jumble sale",
)
GIVEN, WASHED, MEASURED = Lot.State.AS_GIVEN, Lot.State.WASHED, Lot.State.MEASURED

# Material, length in cm as given, width in cm, state it has got to, donor (-1: bought), flaws from and to in cm.
Row = tuple[str, int, int, str, int, tuple[tuple[int, int], ...]]
CLOTH: tuple[Row, ...] = (
    (m.BATISTE, 600, 114, MEASURED, -1, ()),
    (m.BATISTE, 420, 150, MEASURED, 4, ()),
    (m.BATISTE, 310, 114, MEASURED, 4, ((120, 128),)),
    (m.BATISTE, 180, 90, MEASURED, 0, ()),
    (m.BATISTE, 120, 112, MEASURED, 0, ()),
    (m.BATISTE, 250, 138, WASHED, 4, ()),
    (m.CREAM, 380, 112, MEASURED, 1, ()),
    (m.CREAM, 240, 112, MEASURED, 1, ((0, 6),)),
    (m.CREAM, 150, 90, MEASURED, 0, ()),
    (m.CREAM, 300, 150, GIVEN, 2, ()),
    (m.LAWN, 330, 137, MEASURED, 3, ()),
    (m.LAWN, 210, 140, MEASURED, 3, ()),
    (m.LAWN, 95, 112, MEASURED, 5, ()),
    (m.LAWN, 160, 110, GIVEN, 5, ()),
    (m.LEAF, 280, 112, MEASURED, 1, ()),
    (m.LEAF, 200, 147, MEASURED, 1, ((60, 70), (150, 154))),
    (m.LEAF, 110, 112, WASHED, 3, ()),
    (m.POPLIN, 350, 112, MEASURED, 4, ()),
    (m.POPLIN, 190, 150, MEASURED, 4, ()),
    (m.POPLIN, 90, 112, MEASURED, 5, ()),
    (m.POPLIN, 240, 114, GIVEN, 2, ()),
    (m.ROSE, 260, 112, MEASURED, 2, ()),
    (m.ROSE, 170, 140, MEASURED, 2, ()),
    (m.ROSE, 80, 90, MEASURED, 0, ()),
    (m.SHEET, 230, 148, MEASURED, 5, ((0, 8), (110, 118))),
    (m.SHEET, 230, 148, MEASURED, 5, ()),
    (m.SHEET, 210, 150, MEASURED, 3, ((95, 100),)),
    (m.SHEET, 200, 120, GIVEN, 3, ()),
    (m.LILAC, 290, 147, MEASURED, 1, ()),
    (m.LILAC, 140, 112, MEASURED, 1, ()),
    (m.LILAC, 100, 115, WASHED, 5, ()),
    (m.LINEN, 160, 140, MEASURED, 0, ()),
    (m.LINEN, 85, 138, MEASURED, 0, ()),
    (m.VOILE, 320, 137, MEASURED, 1, ()),
    (m.FLANNEL, 220, 112, GIVEN, 2, ()),
    (m.FLANNEL, 130, 90, MEASURED, 5, ()),
    (m.VISCOSE, 270, 150, MEASURED, 3, ()),
    (m.VISCOSE, 115, 140, GIVEN, 3, ()),
    (m.BATISTE, 145, 112, MEASURED, 3, ()),
    (m.CREAM, 100, 147, WASHED, 0, ()),
    (m.BATISTE, 510, 112, GIVEN, -1, ()),
)

# Material, unopened packages, then what is left of each opened one in cm.
WOUND: tuple[tuple[str, int, tuple[int, ...]], ...] = (
    (m.NARROW_LACE, 5, (340, 265, 710)),
    (m.PICOT, 3, (180, 420)),
    (m.ENTREDEUX, 2, (160,)),
    (m.BEADING, 5, (240,)),
    (m.TAPE, 3, (380,)),
    (m.SATIN, 2, (220,)),
    (m.THREAD, 10, (9_500,)),
    (m.CREAM_THREAD, 2, (12_000,)),
    ("old rose", 12, (530, 210)),
    ("sage", 11, (640,)),
    ("sky", 6, (470, 120)),
    ("lilac", 4, (700,)),
    ("oatmeal", 3, ()),
    ("white", 5, (350,)),
    ("forget-me-not", 3, (260,)),
    ("apricot", 0, (90, 480)),
)
COUNTED: tuple[tuple[str, int], ...] = ((m.FASTENING, 80), (m.HOOKS, 48), (m.BAGS, 260), (m.LABELS, 180))

SHRINKS_PERMILLE = (30, 35, 40, 45)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Cupboard:
    """Who books in, when, and from whom."""

    materials: dict[str, Material]
    donors: list[Donor]
    by: Person
    at: datetime


def fill_shelf(calendar: Calendar, by: Person) -> dict[str, Material]:
    """Book in everything the group owned before the first month."""
    at = calendar.at(-2, -45, 13)
    cupboard = _Cupboard(
        materials=list_materials(by, at),
        donors=[add_donor(name=name, by=by, at=at) for name in DONORS],
        by=by,
        at=at,
    )
    for number, row in enumerate(CLOTH):
        _bring_cloth(cupboard, row, number)
    for key, package_count, opened in WOUND:
        bring_wound(cupboard.materials[key], package_count, opened, by=by, at=at)
    for key, count in COUNTED:
        receive_lot(material=cupboard.materials[key], amount=count, place="drawer N", by=by, at=at)
    return cupboard.materials


def _bring_cloth(cupboard: _Cupboard, row: Row, number: int) -> None:
    key, length_cm, width_cm, state, donor, flaws = row
    by, at = cupboard.by, cupboard.at
    lot = receive_lot(
        material=cupboard.materials[key],
        amount=length_cm * CM,
        width_um=width_cm * CM,
        donor=cupboard.donors[donor] if donor >= 0 else None,
        place=f"shelf {'ABCD'[number % 4]}{number % 5 + 1}",
        by=by,
        at=at,
    )
    if flaws:
        spans = [{"from_um": start * CM, "to_um": end * CM} for start, end in flaws]
        mark_flaws(lot=lot, flaws=spans, by=by, at=at)  # type: ignore[arg-type] # dictionaries as typed
    if state != GIVEN:
        mark_washed(lot=lot, by=by, at=at)
    if state == MEASURED:
        shrink = SHRINKS_PERMILLE[number % len(SHRINKS_PERMILLE)]
        measure_lot(
            lot=lot,
            length_um=_to_cm(length_cm * CM, shrink),
            width_um=_to_cm(width_cm * CM, shrink - 10),
            by=by,
            at=at,
        )


def _to_cm(length_um: int, shrink_permille: int) -> int:
    """A length after washing, down to whole centimetres as people measure it."""
    return length_um * (1000 - shrink_permille) // 1000 // CM * CM


def bring_wound(
    material: Material, package_count: int, opened: Iterable[int], *, by: Person, at: datetime
) -> None:
    """Book in cards, skeins or spools: unopened ones together, each part-used one for itself."""
    place = f"drawer {material.kind[0].upper()}"
    if package_count:
        receive_lot(material=material, package_count=package_count, place=place, by=by, at=at)
    for left_cm in opened:
        receive_lot(material=material, amount=left_cm * CM, place=place, by=by, at=at)


def restock(
    materials: dict[str, Material], bought: Iterable[tuple[str, int]], *, by: Person, at: datetime
) -> None:
    """Book in what was bought from the shopping list: packages, pieces of what is counted."""
    for key, count in bought:
        material = materials[key]
        if material.is_counted:
            receive_lot(material=material, amount=count, place="drawer N", by=by, at=at)
        else:
            bring_wound(material, count, (), by=by, at=at)


def count_bags(materials: dict[str, Material], *, by: Person, at: datetime) -> None:
    """A stocktake finds fewer bags than the books say."""
    lot = Lot.objects.get(material=materials[m.BAGS])
    take_stock(lot=lot, counted_amount=243, reason="counted by hand before the month began", by=by, at=at)
