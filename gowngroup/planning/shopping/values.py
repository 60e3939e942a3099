"""What is missing, the shop's packages and widths, and the lines of a shopping list."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from gowngroup.planning.lay.values import LayPiece
from gowngroup.planning.shopping.units import ShopRules
from gowngroup.planning.trims import TrimPiece

ShortageKind = Literal["cloth", "trim", "floss", "thread", "notion"]
ShopUnit = Literal["cloth length", "card", "unjoined length", "skein", "spool", "piece", "pack"]


class CannotShop(ValueError):
    """A material, width or package that nothing can be bought by; `key` names it."""

    def __init__(self, key: str, fault: str) -> None:
        super().__init__(f"{key}: {fault}")
        self.key = key


@dataclass(frozen=True, slots=True, kw_only=True)
class ShopWidth:
    """A width cloth is sold in, and its price a metre where it is known (any currency)."""

    width_mm: float
    price_per_m: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ClothShop:
    """How cloth is bought: the widths sold, what it shrinks each way, its selvedges, and how it is laid at home."""

    widths: tuple[ShopWidth, ...]
    shop: ShopRules
    is_metric: bool = True
    shrink_length_share: float = 0.0
    shrink_width_share: float = 0.0
    selvedge_mm: float = 0.0
    gap_mm: float = 0.0
    length_step_mm: float = 5.0
    tolerance_mm: float = 0.01


@dataclass(frozen=True, slots=True, kw_only=True)
class WidthOffer:
    """What is bought at one width: `unit_count` steps of `unit_mm`, of which `needed_mm` are wanted."""

    width_mm: float
    unit_count: int
    unit_mm: float
    needed_mm: float
    cost: float | None = None

    @property
    def bought_mm(self) -> float:
        """The length to ask for."""
        return self.unit_count * self.unit_mm

    @property
    def area_mm2(self) -> float:
        """The cloth carried home."""
        return self.bought_mm * self.width_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Package:
    """How a material is sold where it is not as usual: so long, or so many; `shrink_share` is lost at the first wash."""

    material_key: str
    length_mm: float | None = None
    count: int | None = None
    shrink_share: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class ClothMissing:
    """Pieces that no lot was found for; kits that may be cut from the same cloth stand together."""

    material_key: str
    pieces: tuple[LayPiece, ...]
    kit_keys: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class TrimMissing:
    """Unjoined lengths that no card on the shelf holds; a key begins with its kit, `7/neck/1`."""

    material_key: str
    pieces: tuple[TrimPiece, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class CutsMissing:
    """Cuts of floss that no skein on the shelf holds."""

    material_key: str
    cuts: int
    kit_keys: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LengthMissing:
    """Sewing thread beyond what is on the spools."""

    material_key: str
    length_mm: float
    kit_keys: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class CountMissing:
    """Things counted beyond what is on the shelf."""

    material_key: str
    count: int
    kit_keys: tuple[str, ...]


Missing = ClothMissing | TrimMissing | CutsMissing | LengthMissing | CountMissing


@dataclass(frozen=True, slots=True, kw_only=True)
class Shortage:
    """One line of the shopping list: whole units to buy and the kits that wait for them.

    `unit_mm` is the length of one unit, None for things counted, of which a pack holds `per_pack`; `short_mm` or
    `short_count` is what is really missing. Cloth names the width to ask for and what the other widths would come to.
    """

    kind: ShortageKind
    material_key: str
    unit: ShopUnit
    unit_count: int
    unit_mm: float | None
    short_mm: float | None
    kit_keys: tuple[str, ...]
    width_mm: float | None = None
    widths: tuple[WidthOffer, ...] = ()
    per_pack: int | None = None
    short_count: int | None = None

    @property
    def spare_mm(self) -> float | None:
        """What is bought beyond what is missing, None for things counted."""
        if self.unit_mm is None or self.short_mm is None:
            return None
        return max(self.unit_count * self.unit_mm - self.short_mm, 0.0)
