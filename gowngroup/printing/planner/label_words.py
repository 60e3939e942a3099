"""What a label says and which page its code opens, for each thing that gets one."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

from gowngroup.batches.models import Kit
from gowngroup.catalog.models import Size
from gowngroup.gowns.models import Gown
from gowngroup.gowns.words import purpose_words
from gowngroup.printing import words
from gowngroup.printing.addresses import page_address
from gowngroup.printing.label_queries import Box
from gowngroup.printing.planner.label_fit import BOLD, CODE, LabelText
from gowngroup.records.codes import spaced
from gowngroup.records.templatetags.gown import short_length
from gowngroup.records.written import written_date
from gowngroup.stock.models import Lot, Material

BLANK = "____"
HARD_SPACE = "\u00a0"


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelWords:
    """What one label says, what its QR code says ("" for none) and how that is read aloud."""

    name: str
    texts: tuple[LabelText, ...]
    address: str = ""
    code_title: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bag:
    """Gowns of one size and purpose in one bag."""

    gowns: tuple[Gown, ...]


def gown_words(gown: Gown, *, group_line: str) -> LabelWords:
    """The label sewn into a worn gown: size as a length, wash, fibre, code and the group's line; never a weight."""
    material = gown.outer_lot.material if gown.outer_lot else None
    return LabelWords(
        name=spaced(gown.code),
        texts=(
            LabelText(text=_size(gown.size), look=BOLD),
            LabelText(text=_wash(material)),
            LabelText(text=_fibre(material)),
            LabelText(text=spaced(gown.code), look=CODE),
            LabelText(text=group_line),
        ),
        address=page_address("gowns:gown_page", gown.code),
        code_title=_("Code of gown %(code)s") % {"code": spaced(gown.code)},
    )


def kit_words(kit: Kit) -> LabelWords:
    """The label on a kit's bag: its code, what is to be made and how many; nothing of what it is for."""
    return LabelWords(
        name=spaced(kit.code),
        texts=(
            LabelText(
                text=_("Kit %(code)s").replace(" ", HARD_SPACE) % {"code": spaced(kit.code)}, look=CODE
            ),
            LabelText(text=_size(kit.size), look=BOLD),
            LabelText(text=f"{words.gowns_in_words(kit.gown_count)}, {kit.get_stage_display()}"),
            LabelText(text=str(kit.design_revision.design), is_needed=False),
            LabelText(text=_("cloth %(lot)s") % {"lot": spaced(kit.outer_lot.code)}, is_needed=False),
        ),
        address=page_address("batches:kit_page", kit.code),
        code_title=_("Code of kit %(code)s") % {"code": spaced(kit.code)},
    )


def bag_words(bag: Bag) -> LabelWords:
    """The label on a bag: how many gowns of which size, how to wash them, their codes, and the caution."""
    first, codes = bag.gowns[0], ", ".join(spaced(gown.code) for gown in bag.gowns)
    is_one = len(bag.gowns) == 1
    return LabelWords(
        name=codes,
        texts=(
            LabelText(text=_contents(len(bag.gowns), first), look=BOLD),
            LabelText(text=purpose_words(first.purpose)),
            LabelText(text=codes, look=CODE if is_one else BOLD),
            LabelText(text=words.bag_caution()),
            LabelText(text=_care(bag.gowns), is_needed=first.is_memorial()),
        ),
        address=page_address("gowns:gown_page", first.code) if is_one else "",
        code_title=_("Code of gown %(code)s") % {"code": spaced(first.code)},
    )


def box_words(box: Box) -> LabelWords:
    """The label on a box: where it goes, which of how many it is, what is in it; a closed box says only how many."""
    drop_off = box.drop_off
    number = _("Box %(number)d of %(count)d") % {"number": box.number, "count": box.box_count}
    return LabelWords(
        name=number,
        texts=(
            LabelText(text=number, look=CODE),
            LabelText(text=str(drop_off.ward), look=BOLD),
            LabelText(text=written_date(drop_off.planned_on, "j F Y")),
            *(LabelText(text=line) for line in _box_contents(box)),
            LabelText(text=drop_off.receipt_number or "", is_needed=False),
        ),
        address=page_address("deliveries:drop_off_page", str(drop_off.pk)),
        code_title=_("Code of the drop-off"),
    )


def lot_words(lot: Lot) -> LabelWords:
    """The label on a shelf: a lot's code, what it is and where it lies; never who gave it."""
    kind = str(lot.material.get_kind_display())
    width_um = lot.width_um or lot.material.width_um
    wide = _("%(kind)s, %(width)s wide") % {"kind": kind, "width": short_length(width_um)}
    return LabelWords(
        name=spaced(lot.code),
        texts=(
            LabelText(text=spaced(lot.code), look=CODE),
            LabelText(text=str(lot.material), look=BOLD),
            LabelText(text=lot.place),
            LabelText(text=wide if width_um else kind, is_needed=False),
            LabelText(text=_care_of(lot.material), is_needed=False),
        ),
        address=page_address("stock:lot_page", lot.code),
        code_title=_("Code of lot %(code)s") % {"code": spaced(lot.code)},
    )


def bags_of(gowns: Sequence[Gown], *, most: int) -> tuple[Bag, ...]:
    """Gowns put into bags of one size and purpose each, at most so many in one; in the order given."""
    groups: dict[tuple[str, int], list[Gown]] = {}
    for gown in gowns:
        groups.setdefault((gown.purpose, gown.size_id), []).append(gown)
    return tuple(
        Bag(gowns=tuple(group[at : at + most]))
        for group in groups.values()
        for at in range(0, len(group), most)
    )


def _contents(count: int, gown: Gown) -> str:
    return f"{words.gowns_in_words(count)} {_size(gown.size)}"


def _box_contents(box: Box) -> list[str]:
    if box.is_closed:
        return [_("closed box"), words.gowns_in_words(len(box.gowns))]
    counts = Counter(gown.size_id for gown in box.gowns)
    sizes = {gown.size_id: gown for gown in box.gowns}
    ordered = sorted(counts, key=lambda pk: sizes[pk].size.upper_mass_g)
    return [_contents(counts[pk], sizes[pk]) for pk in ordered]


def _size(size: Size) -> str:
    """A size as a length whose number and unit stay on one line."""
    *rest, number, unit = words.size_as_length(size.body_length_um).split(" ")
    return " ".join([*rest, f"{number}{HARD_SPACE}{unit}"])


def _wash(material: Material | None) -> str:
    """The wash, with room to write it in where the cloth is not known."""
    return _("wash at %(degrees)s °C").replace(" °C", f"{HARD_SPACE}°C") % {
        "degrees": material.wash_max_c if material else BLANK
    }


def _fibre(material: Material | None) -> str:
    return str(material.get_fibre_display()) if material else _("fibre %(blank)s") % {"blank": BLANK}


def _care_of(material: Material | None) -> str:
    return f"{_fibre(material)}, {_wash(material)}"


def _care(gowns: Sequence[Gown]) -> str:
    """How to wash all of them, where they are alike."""
    care = {_care_of(gown.outer_lot.material if gown.outer_lot else None) for gown in gowns}
    return care.pop() if len(care) == 1 else ""
