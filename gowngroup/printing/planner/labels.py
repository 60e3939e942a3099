"""Which label stands where on which sheet."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

from gowngroup.gowns.models import Gown
from gowngroup.printing import words
from gowngroup.printing.addresses import page_address
from gowngroup.printing.label_sheets import INSIDE_MM, LabelSheet
from gowngroup.printing.qr import QrCode, qr_code

LARGEST_QR_MM = 18.0
LONG_LINE = 30


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """One label of a worn gown at its place on the sheet."""

    position: int
    gown: Gown
    size: str
    wash: str
    fibre: str
    line: str
    is_long: bool
    qr: QrCode | None


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelPage:
    """One sheet of labels."""

    number: int
    labels: tuple[Label, ...]


def label_pages(
    gowns: Sequence[Gown], *, sheet: LabelSheet, start: int, group_line: str
) -> tuple[LabelPage, ...]:
    """The sheets that hold a label for each gown, the first sheet from a position on."""
    labels = [
        _label(gown, position=(start - 1 + index) % sheet.label_count + 1, group_line=group_line)
        for index, gown in enumerate(gowns)
    ]
    first = sheet.label_count - start + 1
    rest = range(first, len(labels), sheet.label_count)
    groups = [labels[:first], *(labels[at : at + sheet.label_count] for at in rest)]
    return tuple(LabelPage(number=number, labels=tuple(group)) for number, group in enumerate(groups, 1))


def _label(gown: Gown, *, position: int, group_line: str) -> Label:
    material = gown.outer_lot.material if gown.outer_lot else None
    return Label(
        position=position,
        gown=gown,
        size=words.size_as_length(gown.size.body_length_um),
        wash=_("wash at %(degrees)d °C") % {"degrees": material.wash_max_c} if material else "",
        fibre=str(material.get_fibre_display()) if material else "",
        line=group_line,
        is_long=len(group_line) > LONG_LINE,
        qr=_small_qr(gown),
    )


def _small_qr(gown: Gown) -> QrCode | None:
    """The code of the gown's page, left out where it would not fit beside the words."""
    qr = qr_code(page_address("gowns:gown_page", gown.code))
    return qr if qr.size_mm <= LARGEST_QR_MM - INSIDE_MM / 2 else None
