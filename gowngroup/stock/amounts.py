"""Amounts of a lot in the reader's words: lengths in her unit, counted things in pieces."""

from django.utils.translation import ngettext

from gowngroup.records.reader import current_reader
from gowngroup.records.units import UM_PER_UNIT, in_unit, long_unit
from gowngroup.records.written import written_number
from gowngroup.stock.models import Material


def amount_text(amount: int, material: Material) -> str:
    """An amount of a material: `3.2 m`, `34.5 cm`, `7 pieces`."""
    if material.is_counted:
        return ngettext("%(count)d piece", "%(count)d pieces", amount) % {"count": amount}
    short = current_reader().length_unit
    unit = short if abs(amount) < UM_PER_UNIT[long_unit(short)] else long_unit(short)
    return f"{in_unit(amount, unit)} {unit}"


def amount_pair(first: int, second: int, material: Material) -> tuple[str, str]:
    """Two amounts so written that they look different where they are."""
    texts = amount_text(first, material), amount_text(second, material)
    if texts[0] != texts[1] or first == second:
        return texts
    return written_number(f"{first / 1000:g} mm"), written_number(f"{second / 1000:g} mm")
