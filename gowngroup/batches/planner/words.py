"""Reasons, needs and shortages in words; a plan holds codes and numbers, so each reader gets her own unit."""

from collections.abc import Callable, Mapping
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from gowngroup.batches.planner.document import StoredPlan
from gowngroup.batches.planner.materials import unchosen_label
from gowngroup.batches.planner.packing import PackedItem
from gowngroup.catalog.models import MaterialKind
from gowngroup.planning.reason import Reason
from gowngroup.records.codes import spaced
from gowngroup.records.reader import current_reader
from gowngroup.records.units import UM_PER_UNIT, in_unit, long_unit
from gowngroup.records.written import written_number

Values = Mapping[str, Any]


def length_words(length_um: int) -> str:
    """A length in the reader's short or long unit, whichever reads better."""
    short = current_reader().length_unit
    unit = short if length_um < UM_PER_UNIT[long_unit(short)] else long_unit(short)
    return f"{in_unit(length_um, unit)} {unit}"


def exact_mm_words(length_mm: float) -> str:
    """A planner's length in the reader's short unit, as one measures it off."""
    unit = current_reader().length_unit
    return f"{in_unit(round(length_mm * 1000), unit)} {unit}"


def mm_words(length_mm: float) -> str:
    """A planner's length in the reader's unit."""
    return length_words(round(length_mm * 1000))


def unmade_sentence(reason: Reason, stored: StoredPlan) -> str:
    """Why a kit could not be cut from any lot, and the way out."""
    values = {name: _value(name, value, stored) for name, value in reason.values}
    return UNMADE[reason.code]() % values


def wash_first_sentence(lot: Values) -> str:
    """That a trim was planned shorter than it lies there; empty where it had been washed, or a plan knows nothing of it."""
    share = lot.get("trim_shrink_share", 0.0)
    if not share:
        return ""
    return _("Wash and measure it first: it is planned %(share)s %% shorter than it lies there.") % {
        "share": written_number(f"{100 * share:g}")
    }


def _value(name: str, value: str | float | tuple[str, ...], stored: StoredPlan) -> str:
    if name.endswith("_mm") and isinstance(value, int | float):
        return mm_words(value)
    if name == "lot":
        return spaced(stored.lot(str(value))["code"])
    if name in ("wanted", "found") and str(value).isdigit():
        return stored.material_name(str(value)) or _("other cloth")
    return written_number(f"{value:g}") if isinstance(value, int | float) else str(value)


UNMADE: dict[str, Callable[[], str]] = {
    "no_cloth": lambda: _(
        "There is no cloth on the shelf. Book some in, or buy what the shopping list says."
    ),
    "kind": lambda: _("There is none of the cloth chosen: %(wanted)s. Choose another, or buy some."),
    "fibre": lambda: _("There is no cloth of the right fibre (%(wanted)s)."),
    "other_lot": lambda: _(
        "The rest of its matched set is cut from a lot that has no cloth free. Part the set, or leave this kit out."
    ),
    "avoided_shade": lambda: _("The nearest cloth is %(found)s, which the ward asks us to avoid."),
    "shade": lambda: _("There is no cloth of the right shade (%(wanted)s)."),
    "weight_unknown": lambda: _(
        "Nobody has noted how heavy the cloth of lot %(lot)s is. Note its weight with the material."
    ),
    "too_light": lambda: _(
        "The nearest cloth is too light: %(weight_gsm)s g per square metre, at least %(least_gsm)s are needed."
    ),
    "too_heavy": lambda: _(
        "The nearest cloth is too heavy: %(weight_gsm)s g per square metre, at most %(greatest_gsm)s will do."
    ),
    "wash_too_low": lambda: _(
        "The nearest cloth may be washed at %(highest_wash_c)s °C at most; the wards need %(least_wash_c)s °C."
    ),
    "not_measured": lambda: _(
        "Lot %(lot)s would do, but it has not been washed and measured. Wash, dry and measure it, then plan again."
    ),
    "piece_too_wide": lambda: _(
        "The piece “%(piece)s” is %(width_mm)s wide; the widest cloth that suits has %(usable_width_mm)s "
        "between its selvedges."
    ),
    "piece_too_long": lambda: _(
        "The piece “%(piece)s” is %(length_mm)s long; only %(available_mm)s of the cloth that suits are free."
    ),
    "cloth_too_short": lambda: _(
        "It would need %(needed_mm)s; lot %(lot)s has only %(left_mm)s left beside the other kits."
    ),
}


def unchosen_parts(stored: StoredPlan) -> tuple[str, ...]:
    """The parts of a plan's kits for which no material is chosen."""
    labels = (unchosen_label(item.material_key) for item in stored.packing)
    return tuple(dict.fromkeys(label for label in labels if label))


def item_text(item: PackedItem, stored: StoredPlan) -> str:
    """A line of a packing list, with what has still to be bought said so."""
    unchosen = unchosen_label(item.material_key)
    words = {
        "material": unchosen or stored.material_name(item.material_key),
        "part": item.part,
        "count": item.count,
        "each": length_words(item.each_um),
    }
    text = (_unchosen_item if unchosen else _item)(item.kind, item.count) % words
    if item.supply_key is None:
        text = _("To buy first: %(text)s") % {"text": text}
    return text[:200]


def _item(kind: str, count: int) -> str:
    if kind == MaterialKind.FLOSS:
        return ngettext(
            "floss %(part)s, %(material)s: %(count)d cut of %(each)s, wound",
            "floss %(part)s, %(material)s: %(count)d cuts of %(each)s, wound",
            count,
        )
    if kind == MaterialKind.THREAD:
        return _("%(material)s: %(each)s wound off")
    if kind == MaterialKind.NOTION:
        return _("%(material)s: %(count)d (%(part)s)")
    return _("%(material)s, %(part)s: %(count)d × %(each)s")


def _unchosen_item(kind: str, count: int) -> str:
    """The same where no material is chosen: its label names the part already."""
    if kind == MaterialKind.FLOSS:
        return ngettext(
            "%(material)s: %(count)d cut of %(each)s, wound",
            "%(material)s: %(count)d cuts of %(each)s, wound",
            count,
        )
    if kind == MaterialKind.THREAD:
        return _("%(material)s: %(each)s wound off")
    if kind == MaterialKind.NOTION:
        return _("%(material)s: %(count)d")
    return _("%(material)s: %(count)d × %(each)s")


def cloth_text(stored: StoredPlan, kit_key: str) -> str:
    """The bundle of cloth pieces of a kit: `cloth, 14 pieces: front 2, back 4, sleeve 4, …`."""
    gown_count = stored.kits[kit_key]["gown_count"]
    pieces = stored.design_of(kit_key)["pieces"]
    counts = [(piece["name"], piece["pattern"]["count"] * gown_count) for piece in pieces]
    names = ", ".join(f"{name} {count}" for name, count in counts)
    total = sum(count for _name, count in counts)
    text = ngettext("cloth, %(total)d piece: %(names)s", "cloth, %(total)d pieces: %(names)s", total)
    return (text % {"total": total, "names": names})[:200]
