"""What is short, rounded up to what shops sell; integer micrometres, so nothing drifts."""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Self

UM_PER_M = 1_000_000
UM_PER_YARD = 914_400


@dataclass(frozen=True, slots=True, kw_only=True)
class ShopRules:
    """The steps and lengths shops sell, in micrometres."""

    cloth_step_metric_um: int
    cloth_step_imperial_um: int
    skein_um: int
    card_um: int
    spool_um: int

    @classmethod
    def from_figures(cls, values: Mapping[str, float]) -> Self:
        """The usual units, from the figures of shops, skeins and spools."""
        return cls(
            cloth_step_metric_um=to_um(values["shop_cloth_step_metric_mm"]),
            cloth_step_imperial_um=to_um(values["shop_cloth_step_imperial_mm"]),
            skein_um=to_um(values["floss_skein_mm"]),
            card_um=to_um(values["shop_card_mm"]),
            spool_um=to_um(values["thread_spool_mm"]),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class LengthOrder:
    """Whole units of a length to buy."""

    unit_count: int
    unit_um: int
    short_um: int

    @property
    def bought_um(self) -> int:
        """Length bought in micrometres."""
        return self.unit_count * self.unit_um

    @property
    def metres(self) -> Fraction:
        """Length bought in metres, exact."""
        return Fraction(self.bought_um, UM_PER_M)


def to_um(length_mm: float) -> int:
    """Millimetres as the nearest whole micrometre."""
    return round(length_mm * 1000)


def whole_units(short_um: int, *, unit_um: int) -> LengthOrder:
    """Fewest whole units that cover what is short; none when nothing is short."""
    if unit_um <= 0:
        raise ValueError("a shop's unit must be longer than nothing")
    short_um = max(short_um, 0)
    return LengthOrder(unit_count=-(-short_um // unit_um), unit_um=unit_um, short_um=short_um)


def cloth_order(short_um: int, *, is_metric: bool, rules: ShopRules) -> LengthOrder:
    """Cloth to buy, in tenths of a metre or eighths of a yard (common practice)."""
    unit_um = rules.cloth_step_metric_um if is_metric else rules.cloth_step_imperial_um
    return whole_units(short_um, unit_um=unit_um)


def packs_for(short_count: int, *, per_pack: int) -> int:
    """Fewest whole packs that cover a count of things that are short."""
    if per_pack < 1:
        raise ValueError("a pack holds at least one")
    return -(-max(short_count, 0) // per_pack)
