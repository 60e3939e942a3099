"""For whom a sheet is written, on the paper of whoever prints it."""

from dataclasses import replace

from gowngroup.batches.models import Kit
from gowngroup.people.models import Person
from gowngroup.people.queries import reader_for, the_group
from gowngroup.records.reader import Reader, current_reader

HANDS = {"left": True, "right": False}


def person_reader(person: Person) -> Reader:
    """Language, unit, print and hand of the person a sheet is for."""
    printing = current_reader()
    return replace(reader_for(person), paper_size=printing.paper_size, zone=printing.zone)


def outside_reader() -> Reader:
    """The group's language, for what a ward, a donor or a family reads."""
    return replace(current_reader(), language=the_group().language)


def kit_reader(kit: Kit, *, hand: str = "") -> Reader:
    """As the holder reads, or the reader where nobody has the kit; `hand` chooses another hand."""
    reader = current_reader() if kit.holder is None else person_reader(kit.holder)
    return replace(reader, is_left_handed=HANDS.get(hand, reader.is_left_handed))
