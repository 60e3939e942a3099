"""The shopping list of a stored plan in words: what to ask for, for which kits, and what is left over after."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import groupby
from typing import Any, TypeVar
from urllib.parse import urlencode

from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from gowngroup.batches.planner.document import StoredPlan
from gowngroup.batches.planner.words import mm_words
from gowngroup.planning.batch_plan import LeftOver, Scenarios, Shortage, left_overs, scenarios
from gowngroup.planning.shopping.units import UM_PER_M, UM_PER_YARD, to_um, whole_units
from gowngroup.planning.shopping.values import WidthOffer
from gowngroup.records.reader import current_reader
from gowngroup.records.units import in_unit, long_unit

# Less than this is not told as staying over.
LEAST_SPARE_MM = 10.0

Facts = Mapping[str, Any]
Each = TypeVar("Each", Shortage, LeftOver)
Row = TypeVar("Row")

KINDS: dict[str, Promise] = {
    "cloth": gettext_lazy("Cloth"),
    "trim": gettext_lazy("Lace, ribbon and other trims"),
    "floss": gettext_lazy("Floss"),
    "thread": gettext_lazy("Sewing thread"),
    "notion": gettext_lazy("Notions"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class ShopRow:
    """A line of the list: what to ask for, how much is really needed and stays over, and who waits for it."""

    text: str
    name: str
    needed: str
    spare: str
    other_widths: tuple[str, ...]
    kit_count: int
    kits: str
    material_id: int | None
    arrival: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftRow:
    """What stays of one lot, or of a material; `is_useful` is None for what is always kept."""

    lot: Facts | None
    name: str
    amount: str
    is_useful: bool | None


@dataclass(frozen=True, slots=True, kw_only=True)
class ShoppingPage:
    """Everything the shopping list says, kind by kind."""

    groups: tuple[tuple[Promise, tuple[ShopRow, ...]], ...]
    scenarios: Scenarios
    left: tuple[tuple[Promise, tuple[LeftRow, ...]], ...]


def shopping_page(stored: StoredPlan) -> ShoppingPage:
    """The shopping list of a plan as it was worked out."""
    plan = stored.plan
    return ShoppingPage(
        groups=tuple(_groups(plan.shortages, lambda each: _row(each, stored))),
        scenarios=scenarios(plan),
        left=tuple(
            (kind, tuple(_told_together(rows)))
            for kind, rows in _groups(filter(_is_told, left_overs(plan)), lambda each: _left(each, stored))
        ),
    )


def _is_told(left: LeftOver) -> bool:
    """Is it more than a snip?"""
    return left.amount >= (1 if left.kind == "notion" else LEAST_SPARE_MM)


def _told_together(rows: Iterable[LeftRow]) -> Iterator[LeftRow]:
    """Rows that say the same of the same lot made one: `5 × 23.1 cm`."""
    for _likeness, run in groupby(rows):
        alike = list(run)
        row = alike[0]
        yield row if len(alike) == 1 else replace(row, amount=f"{len(alike)} × {row.amount}")


def _groups(found: Iterable[Each], row: Callable[[Each], Row]) -> Iterator[tuple[Promise, tuple[Row, ...]]]:
    order = list(KINDS)
    by_kind = sorted(found, key=lambda each: order.index(each.kind))
    for kind, alike in groupby(by_kind, key=lambda each: each.kind):
        yield KINDS[kind], tuple(row(each) for each in alike)


def _row(shortage: Shortage, stored: StoredPlan) -> ShopRow:
    key = shortage.material_key
    return ShopRow(
        text=shop_line(shortage, stored),
        name=_name(shortage, stored),
        needed=_needed(shortage),
        spare=_spare(shortage),
        other_widths=tuple(_width(offer) for offer in shortage.widths[1:]),
        kit_count=len(shortage.kit_keys),
        kits=kit_runs(shortage.kit_keys),
        material_id=int(key) if key.isdecimal() else None,
        arrival=_arrival(shortage),
    )


def _arrival(shortage: Shortage) -> str:
    """What is bought, as the address of the form that books it in carries it: so many of so much, and how wide."""
    each = shortage.per_pack or 1 if shortage.unit_mm is None else to_um(shortage.unit_mm)
    width = {} if shortage.width_mm is None else {"width": to_um(shortage.width_mm)}
    return urlencode({"count": shortage.unit_count, "each": each, **width})


def kit_runs(kit_keys: Iterable[str]) -> str:
    """Kit numbers told together where they follow each other: `1–4, 7`."""
    numbers = sorted(map(int, kit_keys))
    runs = groupby(enumerate(numbers), key=lambda each: each[1] - each[0])
    ends = ([number for _place, number in run] for _difference, run in runs)
    return ", ".join(str(run[0]) if len(run) == 1 else f"{run[0]}–{run[-1]}" for run in ends)


def shop_line(shortage: Shortage, stored: StoredPlan) -> str:
    """What to buy, in the units shops sell: `2 skeins of old rose`."""
    count, name = shortage.unit_count, _name(shortage, stored)
    length = _shop_length(count * (shortage.unit_mm or 0))
    each = shortage.per_pack if shortage.unit == "pack" else mm_words(shortage.unit_mm or 0)
    words = {"name": name, "count": count, "each": each, "length": length}
    if shortage.width_mm is None:
        return UNITS[shortage.unit](count) % words
    return _("%(length)s of %(name)s, %(width)s wide") % {**words, "width": _width_words(shortage.width_mm)}


def _name(shortage: Shortage, stored: StoredPlan) -> str:
    return stored.material_name(shortage.material_key) or _("cloth of the right weight")


UNITS: dict[str, Callable[[int], str]] = {
    "cloth length": lambda count: _("%(length)s of %(name)s"),
    "skein": lambda count: ngettext("%(count)d skein of %(name)s", "%(count)d skeins of %(name)s", count),
    "card": lambda count: ngettext(
        "%(count)d card of %(each)s of %(name)s", "%(count)d cards of %(each)s of %(name)s", count
    ),
    "spool": lambda count: ngettext(
        "%(count)d spool of %(each)s of %(name)s", "%(count)d spools of %(each)s of %(name)s", count
    ),
    "unjoined length": lambda count: ngettext(
        "%(count)d unjoined length of %(each)s of %(name)s",
        "%(count)d unjoined lengths of %(each)s of %(name)s",
        count,
    ),
    "pack": lambda count: ngettext(
        "%(count)d pack of %(each)s of %(name)s", "%(count)d packs of %(each)s of %(name)s", count
    ),
    "piece": lambda count: _("%(count)d × %(name)s"),
}


def _needed(shortage: Shortage) -> str:
    """How much is really missing."""
    if shortage.short_mm is not None:
        return mm_words(shortage.short_mm)
    return str(shortage.unit_count if shortage.short_count is None else shortage.short_count)


def _spare(shortage: Shortage) -> str:
    """How much of what is bought stays over; nothing where it is hardly to be measured."""
    if shortage.spare_mm is not None:
        return mm_words(shortage.spare_mm) if shortage.spare_mm >= LEAST_SPARE_MM else ""
    over = shortage.unit_count * (shortage.per_pack or 1) - (shortage.short_count or shortage.unit_count)
    return str(over) if over else ""


def _width(offer: WidthOffer) -> str:
    words = {"length": _shop_length(offer.bought_mm), "width": _width_words(offer.width_mm)}
    return _("%(length)s at %(width)s") % words


def _shop_length(length_mm: float) -> str:
    """A length to ask for in metres or yards; one worked out in the other is rounded up to an eighth or a hundredth."""
    unit = long_unit(current_reader().length_unit)
    step_um = UM_PER_YARD // 8 if unit == "yd" else UM_PER_M // 100
    return f"{in_unit(whole_units(to_um(length_mm), unit_um=step_um).bought_um, unit)} {unit}"


def _width_words(width_mm: float) -> str:
    unit = current_reader().length_unit
    return f"{in_unit(to_um(width_mm), unit)} {unit}"


def _left(left: LeftOver, stored: StoredPlan) -> LeftRow:
    return LeftRow(
        lot=stored.lot(left.supply_key) if left.supply_key else None,
        name=stored.material_name(left.material_key or ""),
        amount=str(round(left.amount)) if left.kind == "notion" else mm_words(left.amount),
        is_useful=left.is_useful,
    )
