"""Where the walk begins: a group as it stands before the month, made by the rooms' own actions."""

from gowngroup.people.actions import GroupDetails, PersonDetails, add_person, set_up_group
from gowngroup.people.models import Person
from gowngroup.wards.actions import WardDetails, add_hospital, add_ward
from gowngroup.wards.models import Ward
from tests.batches import months
from tests.batches.months import AT, METRE, size_to

COORDINATOR, PACKER, INSPECTOR, DRIVER = "Ilse Amber", "Greta Loom", "Nora Quill", "Tove Marsh"
ADA, BEA = "Ada Thimble", "Bea Needle"
SIZES_G = (500, 2500, 3500)


def address_of(name: str) -> str:
    """Where somebody of the cast reads letters."""
    return f"{name.split(maxsplit=1)[0].lower()}@example.org"


def begin() -> Ward:
    """The group with its people, one ward, the catalog and the shelf."""
    group = GroupDetails(
        name="Alder Lane Smockers", telephone="01234 567890", pick_up_place="Alder Lane hall"
    )
    set_up_group(details=group, by=None, at=AT)
    by = _person(COORDINATOR, "coordinator")
    for name, role in ((PACKER, "packer"), (INSPECTOR, "inspector"), (DRIVER, "driver")):
        _person(name, role, by=by)
    _person(ADA, "volunteer", by=by, has_agreed_to_memorial=True)
    _person(BEA, "volunteer", by=by)
    months.catalog(by)
    months.cloth(by, 4 * METRE, place="shelf 2")
    months.sundries(by)
    return _ward(by)


def _person(
    name: str, role: str, *, by: Person | None = None, has_agreed_to_memorial: bool = False
) -> Person:
    details = PersonDetails(
        name=name,
        email=address_of(name),
        roles=(role,),
        hours_offered_min=60 * 60,
        has_agreed_to_memorial=has_agreed_to_memorial,
    )
    return add_person(details=details, by=by, at=AT)


def _ward(by: Person) -> Ward:
    details = WardDetails(
        name="Newborn ward",
        sizes=[size_to(mass_g) for mass_g in SIZES_G],
        closures=["flat-fastening", "wrap"],
        packing="one gown a clear bag, the size on the outside",
        rules="No buttons.\nGowns open at the back.",
    )
    return add_ward(hospital=add_hospital(name="St Alder", by=by, at=AT), details=details, by=by, at=AT)
