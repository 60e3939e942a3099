"""What a batch plan starts from: the kits to make, what lies on the shelf, and the group's figures."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Literal, Self

from gowngroup.planning.allocation.values import ClothLot, ClothWishes, CuttingSettings
from gowngroup.planning.batch_plan.way import CuttingWay
from gowngroup.planning.drafting.piece import Piece
from gowngroup.planning.floss import FlossRules
from gowngroup.planning.lay.values import Outline
from gowngroup.planning.mix import Purpose
from gowngroup.planning.shopping.units import ShopRules
from gowngroup.planning.shopping.values import ClothShop, Package, ShopWidth
from gowngroup.planning.thread import StitchClass
from gowngroup.planning.trims import TrimRules


@dataclass(frozen=True, slots=True, kw_only=True)
class KitPiece:
    """A piece of one gown: an outline for each time it is cut, pairs turned over.

    A matched piece starts on a whole repeat of a printed cloth.
    """

    name: str
    outlines: tuple[Outline, ...]
    may_turn: bool
    is_matched: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class TrimNeed:
    """Lace or ribbon on one gown: so many unjoined lengths at one place."""

    material_key: str
    place: str
    length_mm: float
    count: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class FlossNeed:
    """Cuts of one shade for one gown, and those wound as a spare for each kit."""

    material_key: str
    cuts: int
    spare_cuts: int = 0

    def kit_cuts(self, gown_count: int) -> int:
        """Cuts wound for a kit of so many gowns."""
        return self.cuts * gown_count + self.spare_cuts


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreadNeed:
    """Sewing thread of one stitch class for one gown, waste included."""

    material_key: str
    stitch_class: StitchClass
    length_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class NotionNeed:
    """Things counted for one gown: fastenings, labels, bags."""

    material_key: str
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class BiasNeed:
    """Bias binding of one gown that is cut as a continuous strip from a square of the kit's own cloth."""

    length_mm: float
    width_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchKit:
    """One kit of the batch; pieces, needs and minutes are those of one gown, of which the kit holds several.

    `lot_key` holds the kit to one lot, as where the rest of its matched set has been cut from it already.
    """

    key: str
    design_key: str
    size_name: str
    purpose: Purpose
    gown_count: int
    pieces: tuple[KitPiece, ...]
    cloth: ClothWishes
    minutes_per_gown: float
    matched_set_key: str | None = None
    lot_key: str | None = None
    trims: tuple[TrimNeed, ...] = ()
    floss: tuple[FlossNeed, ...] = ()
    thread: tuple[ThreadNeed, ...] = ()
    notions: tuple[NotionNeed, ...] = ()
    bias: tuple[BiasNeed, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class StockLength:
    """A card of lace or ribbon, a skein or a spool on the shelf; a part-used one is its own lot."""

    key: str
    material_key: str
    length_mm: float
    is_part: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class StockCount:
    """Things counted on the shelf."""

    material_key: str
    count: int


Measure = Literal["metric", "imperial"]
SHOP_WIDTHS = (
    "shop_width_narrow_mm",
    "shop_cloth_width_mm",
    "shop_width_wide_mm",
    "shop_width_widest_mm",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchRules:
    """The group's figures and habits that a plan is made by."""

    cutting: CuttingSettings
    floss: FlossRules
    trims: TrimRules
    shop: ShopRules
    shop_cloth_width_mm: float
    shop_selvedge_mm: float
    shop_shrink_share: float
    measure: Measure = "metric"
    shop_widths_mm: tuple[float, ...] = ()

    @classmethod
    def from_figures(
        cls, values: Mapping[str, float], *, may_foresee_washing: bool = False, measure: Measure = "metric"
    ) -> Self:
        """The group's habit, from its figures by key."""
        return cls(
            cutting=CuttingSettings(
                gap_mm=values["piece_gap_mm"],
                length_step_mm=values["lay_step_mm" if measure == "metric" else "lay_step_imperial_mm"],
                tolerance_mm=values["lay_tolerance_mm"],
                expected_lay_share=values["expected_lay_share"],
                lot_fill_share=values["lot_fill_share"],
                least_left_mm=values["least_left_cloth_mm"],
                may_foresee_washing=may_foresee_washing,
            ),
            floss=FlossRules.from_figures(values),
            trims=TrimRules.from_figures(values),
            shop=ShopRules.from_figures(values),
            shop_cloth_width_mm=values["shop_cloth_width_mm"],
            shop_selvedge_mm=values["selvedge_mm"],
            shop_shrink_share=values["shrink_cotton_share"],
            measure=measure,
            shop_widths_mm=tuple(values[key] for key in SHOP_WIDTHS if values[key]),
        )

    @property
    def cloth_shop(self) -> ClothShop:
        """How the group buys cloth; shrinkage is taken as equal along and across until a lot is measured."""
        widths_mm = self.shop_widths_mm or (self.shop_cloth_width_mm,)
        return ClothShop(
            widths=tuple(ShopWidth(width_mm=width_mm) for width_mm in widths_mm),
            shop=self.shop,
            is_metric=self.measure == "metric",
            shrink_length_share=self.shop_shrink_share,
            shrink_width_share=self.shop_shrink_share,
            selvedge_mm=self.shop_selvedge_mm,
            gap_mm=self.cutting.gap_mm,
            length_step_mm=self.cutting.length_step_mm,
            tolerance_mm=self.cutting.tolerance_mm,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchOrder:
    """A batch to plan; where floss, lace or notions run short memorial kits are served first, then kits in their order.

    `cutting_way` says whether the kits of a lot are laid together, or each on a stretch of cloth of its own.
    """

    kits: tuple[BatchKit, ...]
    rules: BatchRules
    lots: tuple[ClothLot, ...] = ()
    trims: tuple[StockLength, ...] = ()
    skeins: tuple[StockLength, ...] = ()
    spools: tuple[StockLength, ...] = ()
    notions: tuple[StockCount, ...] = ()
    packages: tuple[Package, ...] = ()
    cutting_way: CuttingWay = "together"


def memorial_first(kits: Iterable[BatchKit]) -> list[BatchKit]:
    """Kits in the order they are served: memorial gowns, with those of their sets, before the rest (common practice)."""
    made = list(kits)
    memorial_sets = {kit.matched_set_key for kit in made if kit.purpose == "memorial"} - {None}
    return sorted(
        made, key=lambda kit: not (kit.purpose == "memorial" or kit.matched_set_key in memorial_sets)
    )


def kit_pieces(pieces: tuple[Piece, ...]) -> tuple[KitPiece, ...]:
    """The pieces of a draft as a kit cuts them."""
    return tuple(
        KitPiece(name=piece.name, outlines=piece.cut_shapes, may_turn=piece.may_turn) for piece in pieces
    )
