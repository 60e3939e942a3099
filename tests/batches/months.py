"""A real month: the starting catalog, a stocked shelf, a ward's request, through the rooms' own actions."""

from datetime import UTC, date, datetime
from typing import Any

from gowngroup.batches.actions.batches import StageHours, propose_batch, start_batch
from gowngroup.batches.actions.planning import make_plan
from gowngroup.batches.models import Batch, Plan
from gowngroup.batches.planner.supplies import GownKind, GownsThere
from gowngroup.catalog.actions import start_catalog
from gowngroup.catalog.models import Design, DesignRevision, Size
from gowngroup.people.models import Person
from gowngroup.stock.actions import add_material, receive_lot
from gowngroup.stock.models import Lot, Material
from gowngroup.wards.actions import LineEntry, enter_request
from gowngroup.wards.models import Ward
from tests.factories import WardFactory

AT = datetime(2026, 3, 10, 9, 30, tzinfo=UTC)
MARCH = date(2026, 3, 1)
METRE = 1_000_000


def size_to(upper_mass_g: int) -> Size:
    """A size by the upper edge of its weight band."""
    return Size.objects.get(upper_mass_g=upper_mass_g)


def revision_of(kind: str = "round-neck", name: str = "") -> DesignRevision:
    """The revision of a starting design."""
    designs = Design.objects.filter(kind=kind, name__contains=name)
    return DesignRevision.objects.filter(design__in=designs).order_by("-number")[0]


def catalog(by: Person) -> None:
    """The ten sizes and three designs a group starts with."""
    start_catalog(by=by, at=AT)


def material(by: Person, kind: str, name: str, **values: Any) -> Material:
    """A material on the list that stands 71 °C."""
    return add_material(kind=kind, name=name, by=by, at=AT, **{"wash_max_c": 71, **values})


def cloth(by: Person, length_um: int = 6 * METRE, name: str = "White batiste", **values: Any) -> Lot:
    """A length of washed and measured batiste, 112 cm wide."""
    found = Material.objects.filter(kind="cloth", name=name).first()
    batiste = found or material(by, "cloth", name, mass_g_per_m2=95, swatch="#f3ead6")
    wanted = {"width_um": 1_120_000, "state": Lot.State.MEASURED, **values}
    return receive_lot(material=batiste, amount=length_um, by=by, at=AT, **wanted)


def sundries(by: Person, *, skein_count: int = 12) -> None:
    """Floss in two shades, lace, ribbon, thread and fastenings, plenty of each."""
    for shade in ("old rose", "sage"):
        floss = material(by, "floss", "Stranded cotton", shade=shade, package_word="skein")
        receive_lot(material=floss, package_count=skein_count, package_amount=8 * METRE, by=by, at=AT)
    lace = material(by, "lace", "Narrow cotton lace", package_word="card")
    receive_lot(material=lace, amount=3 * METRE, by=by, at=AT)
    receive_lot(material=lace, package_count=3, package_amount=10 * METRE, by=by, at=AT)
    ribbon = material(by, "ribbon", "White ribbon", package_word="card")
    receive_lot(material=ribbon, package_count=1, package_amount=10 * METRE, by=by, at=AT)
    thread = material(by, "thread", "White thread", package_word="spool")
    receive_lot(material=thread, package_count=5, package_amount=200 * METRE, by=by, at=AT)
    bags = material(by, "notion", "Clear bags", is_counted=True)
    receive_lot(material=bags, amount=500, by=by, at=AT)
    fastening = material(by, "notion", "Flat fastenings", fibre="nylon", is_counted=True)
    receive_lot(material=fastening, amount=60, by=by, at=AT)


def ward(*upper_masses_g: int, **values: Any) -> Ward:
    """A ward that takes these sizes and the usual closures."""
    return WardFactory(sizes=[size_to(mass_g) for mass_g in upper_masses_g], **values)


def ask(by: Person, asking: Ward, *lines: tuple[int, int], purpose: str = "worn", **values: Any) -> None:
    """A request for so many gowns up to a weight."""
    entries = [
        LineEntry(size=size_to(mass_g), purpose=purpose, gown_count=count, **values)
        for mass_g, count in lines
    ]
    enter_request(ward=asking, month=MARCH, lines=entries, by=by, at=AT)


def gowns_of(
    upper_mass_g: int,
    count: int,
    closure: str = "flat-fastening",
    *,
    cloth: str = "White batiste",
    wash_max_c: int = 71,
) -> dict[GownKind, int]:
    """So many gowns to wear of a size, as they lie there."""
    return {GownKind(size_to(upper_mass_g).pk, "worn", closure, cloth, wash_max_c): count}


def proposed(by: Person, *, hours: int = 1000, stage_hours: StageHours | None = None, **there: Any) -> Batch:
    """March's batch as it is proposed."""
    batch = start_batch(month=MARCH, hours_offered_min=hours * 60, stage_hours=stage_hours, by=by, at=AT)
    return propose_batch(batch=batch, there=GownsThere(**there), by=by, at=AT)


def planned(by: Person, **values: Any) -> Plan:
    """March's batch, proposed and planned."""
    return make_plan(batch=proposed(by, **values), by=by, at=AT)
