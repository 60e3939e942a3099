"""For whom a kit sheet is written: whoever has the kit at home, on the paper of whoever prints it."""

from dataclasses import replace

from gowngroup.batches.models import Kit
from gowngroup.people.queries import reader_for
from gowngroup.records.reader import Reader, current_reader

HANDS = {"left": True, "right": False}


def kit_reader(kit: Kit, *, hand: str = "") -> Reader:
    """Unit, print and hand of the holder, or of the reader where nobody has the kit; `hand` chooses another hand."""
    reader = current_reader()
    if kit.holder is not None:
        reader = replace(reader_for(kit.holder), paper_size=reader.paper_size, zone=reader.zone)
    return replace(reader, is_left_handed=HANDS.get(hand, reader.is_left_handed))
