"""The invented sewing circle: the cast whom a visitor can be, and the volunteers at home."""

from dataclasses import dataclass
from datetime import datetime
from random import Random

from gowngroup.demo.calendar import Calendar
from gowngroup.people.actions import GroupDetails, PersonDetails, add_person, leave_group, set_up_group
from gowngroup.people.models import Person

GROUP = GroupDetails(
    name="Merrowby Sewing Circle",
    telephone="01632 960118",
    pick_up_place="Chapel hall, Merrowby, Tuesdays from ten to twelve",
    time_zone="Europe/London",
    label_line="Sewn for you in Merrowby",
)

# Name, roles, hours offered a month, also sews memorial gowns.
CAST: tuple[tuple[str, tuple[str, ...], int, bool], ...] = (
    ("Marion Thackwell", ("coordinator", "volunteer"), 6, True),
    ("Winifred Osei", ("packer", "volunteer"), 8, True),
    ("Harold Pellingbrook", ("packer",), 0, False),
    ("Ines Valderrama", ("inspector", "volunteer"), 6, True),
    ("Beatrix Lomond", ("inspector", "packer", "volunteer"), 4, False),
    ("Desmond Achterberg", ("driver",), 0, False),
    ("Priya Nandakumar", ("driver", "volunteer"), 8, True),
)

SEWING: tuple[tuple[str, int, bool], ...] = (
    ("Agnes Whitlow", 12, True),
    ("Ruth Adeyinka", 10, False),
    ("Ellis Tregarrick", 6, False),
    ("Rowena Tregarrick", 14, True),
    ("Margit Hollósy", 16, True),
    ("Doreen Sparkbrook", 8, False),
    ("Sunniva Haugland", 12, True),
    ("Pauline Etchingham", 10, True),
    ("Joan Marchbanks", 6, False),
    ("Theodora Kyprianou", 12, False),
    ("Brenda Oakhanger", 8, False),
    ("Nasreen Quraishi", 16, True),
    ("Sheila Birtwhistle", 10, False),
    ("Yvette Delacourt", 8, True),
    ("Olwen Prosser-Hughes", 12, True),
    ("Gwendoline Starr", 6, False),
    ("Mabel Ogunleye", 10, True),
    ("Hedwig Brandstetter", 14, False),
    ("Norah Finnegan-Walsh", 8, True),
    ("Kazimiera Wrona", 12, True),
    ("Phyllis Underhay", 4, False),
    ("Audrey Lockyear", 10, False),
    ("Lotte van Zuylekom", 12, True),
    ("Patience Boateng", 8, True),
    ("Edna Clutterham", 6, False),
    ("Rosalind Peverell", 16, True),
    ("Constance Yeoward", 10, False),
    ("Mei-Lin Tsao", 12, True),
    ("Harriet Sallowfield", 8, False),
)
WITHOUT_EMAIL = {
    "Agnes Whitlow",
    "Doreen Sparkbrook",
    "Phyllis Underhay",
    "Edna Clutterham",
    "Joan Marchbanks",
}
LARGE_PRINT = {"Agnes Whitlow", "Edna Clutterham", "Gwendoline Starr"}
SHARED_EMAIL = dict.fromkeys(("Ellis Tregarrick", "Rowena Tregarrick"), "tregarrick@example.org")
READS_INCHES = "Yvette Delacourt"
WHO_LEFT = "Cecily Rainbird"


@dataclass(frozen=True, slots=True, kw_only=True)
class Cast:
    """Who does what in the demo; `sewing` are the volunteers who take kits home, in the order of the rota."""

    coordinator: Person
    packer: Person
    cutter: Person
    inspector: Person
    second_inspector: Person
    driver: Person
    second_driver: Person
    sewing: tuple[Person, ...]


def gather(calendar: Calendar, chance: Random) -> Cast:
    """Set the group up and let everybody join over the years before."""
    at = calendar.at(-2, -900, 14)
    set_up_group(details=GROUP, by=None, at=at)
    first = add_person(details=_cast_details(*CAST[0], number=0), by=None, at=at)
    others = [
        add_person(details=_cast_details(*row, number=number), by=first, at=_joined(calendar, chance))
        for number, row in enumerate(CAST[1:], start=1)
    ]
    sewing = [
        add_person(details=_details(*row, number=number), by=first, at=_joined(calendar, chance))
        for number, row in enumerate(SEWING, start=len(CAST))
    ]
    _say_goodbye(first, calendar)
    packer, cutter, inspector, second_inspector, driver, second_driver = others
    also_sewing = [first, packer, inspector, second_inspector, second_driver]
    return Cast(
        coordinator=first,
        packer=packer,
        cutter=cutter,
        inspector=inspector,
        second_inspector=second_inspector,
        driver=driver,
        second_driver=second_driver,
        sewing=(*sewing, *also_sewing),
    )


def _joined(calendar: Calendar, chance: Random) -> datetime:
    return calendar.at(-2, -chance.randrange(60, 880), 11)


def _cast_details(
    name: str, roles: tuple[str, ...], hours: int, has_agreed: bool, *, number: int
) -> PersonDetails:
    return PersonDetails(
        name=name,
        email=_address(name),
        telephone=_telephone(number),
        roles=roles,
        hours_offered_min=hours * 60,
        has_agreed_to_memorial=has_agreed,
    )


def _details(name: str, hours: int, has_agreed: bool, *, number: int) -> PersonDetails:
    return PersonDetails(
        name=name,
        email="" if name in WITHOUT_EMAIL else SHARED_EMAIL.get(name, _address(name)),
        telephone=_telephone(number),
        hours_offered_min=hours * 60,
        has_agreed_to_memorial=has_agreed,
        has_large_print=name in LARGE_PRINT,
        length_unit="in" if name == READS_INCHES else "",
        paper_size="Letter" if name == READS_INCHES else "",
    )


def _address(name: str) -> str:
    plain = name.lower().replace("ó", "o").replace("-", "").split()
    return f"{plain[0]}.{''.join(plain[1:])}@example.org"


def _telephone(number: int) -> str:
    """Numbers that belong to nobody: 01632 960 is kept for invented ones (from memory)."""
    return f"01632 960{200 + 3 * number}"


def _say_goodbye(by: Person, calendar: Calendar) -> None:
    details = PersonDetails(name=WHO_LEFT, email=_address(WHO_LEFT))
    left = add_person(details=details, by=by, at=calendar.at(-2, -500))
    leave_group(person=left, by=by, at=calendar.at(-2, -30))
