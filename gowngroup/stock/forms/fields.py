"""Fields for amounts: lengths with a plausible range for each kind of material, or numbers of pieces."""

from typing import Any

from django import forms

from gowngroup.catalog.models import TRIM_KINDS, MaterialKind
from gowngroup.records.fields import LengthField, WholeNumberField
from gowngroup.records.units import UM_PER_UNIT
from gowngroup.stock.models import Material

CM, M = UM_PER_UNIT["cm"], UM_PER_UNIT["m"]

# Plausible lengths and widths of one lot, common practice; cloth in inches typed as centimetres falls below.
LENGTH_M = {
    MaterialKind.CLOTH: (0.1, 100),
    **dict.fromkeys(TRIM_KINDS, (0.05, 500)),
    MaterialKind.FLOSS: (0.1, 1_000),
    MaterialKind.THREAD: (1, 20_000),
    MaterialKind.NOTION: (0.05, 500),
}
WIDTH_CM = {MaterialKind.CLOTH: (70, 330)}
NARROW_CM = (0.1, 40)
PACKAGE_MOST_M = {MaterialKind.THREAD: 10_000}
PIECES_MOST = 100_000
PACKAGES_MOST = 500


def length_field(material: Material, *, from_nothing: bool = False, **kwargs: Any) -> LengthField:
    """A length of this material, from the least such a lot can have or from nothing."""
    low, high = LENGTH_M[MaterialKind(material.kind)]
    return LengthField(low_um=0 if from_nothing else round(low * M), high_um=high * M, is_long=True, **kwargs)


def amount_field(material: Material, *, from_nothing: bool = False, **kwargs: Any) -> forms.Field:
    """How much of this material, by length or in pieces."""
    if material.is_counted:
        return WholeNumberField(min_value=0 if from_nothing else 1, max_value=PIECES_MOST, **kwargs)
    return length_field(material, from_nothing=from_nothing, **kwargs)


def part_field(material: Material, **kwargs: Any) -> forms.Field:
    """How much is taken or put back: any length above nothing, or pieces."""
    if material.is_counted:
        return WholeNumberField(min_value=1, max_value=PIECES_MOST, **kwargs)
    _low, high = LENGTH_M[MaterialKind(material.kind)]
    return LengthField(low_um=1_000, high_um=high * M, is_long=True, **kwargs)


def width_field(kind: str, **kwargs: Any) -> LengthField:
    """How wide a material of this kind can be; cloth must say so."""
    low, high = WIDTH_CM.get(MaterialKind(kind), NARROW_CM)
    kwargs.setdefault("required", kind == MaterialKind.CLOTH)
    return LengthField(low_um=round(low * CM), high_um=round(high * CM), **kwargs)
