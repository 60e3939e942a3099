"""A stored plan as its page shows it: nothing is worked out anew, only sorted and put into words."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from gowngroup.batches.planner.caution_words import caution_sentences
from gowngroup.batches.planner.document import StoredPlan
from gowngroup.batches.planner.drawing import LayDrawing, lay_drawing
from gowngroup.batches.planner.packing import place_of
from gowngroup.batches.planner.shopping import kit_runs, shop_line
from gowngroup.batches.planner.words import unmade_sentence, wash_first_sentence
from gowngroup.planning.batch_plan import PlannedKit
from gowngroup.planning.batch_plan.plan import FlossShadePlan
from gowngroup.planning.skeins import SkeinTake

Facts = Mapping[str, Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class LayRow:
    """The lay of one lot: how much to measure off, how much of it ends up in gowns, what is left."""

    number: int
    lot: Facts
    length_mm: float
    used_percent: int
    left_mm: float
    is_left_useful: bool
    kit_keys: tuple[str, ...]
    drawing: LayDrawing

    @property
    def kit_count(self) -> int:
        """How many kits."""
        return len(self.kit_keys)


@dataclass(frozen=True, slots=True, kw_only=True)
class KitRow:
    """Kits of the plan that are alike and cut from one lot; without a lot they cannot be made."""

    kits: tuple[tuple[str, str], ...]
    design: Facts
    gown_count: int
    set_key: str | None
    lot: Facts | None
    minutes: int

    @property
    def keys(self) -> tuple[str, ...]:
        """Their numbers."""
        return tuple(key for key, _code in self.kits)

    @property
    def has_codes(self) -> bool:
        """Whether they are made already."""
        return any(code for _key, code in self.kits)


@dataclass(frozen=True, slots=True, kw_only=True)
class Unmade:
    """Kits that cannot be made for one and the same reason."""

    kit_keys: tuple[str, ...]
    designs: tuple[Facts, ...]
    sentence: str

    @property
    def kit_count(self) -> int:
        """How many kits."""
        return len(self.kit_keys)


@dataclass(frozen=True, slots=True, kw_only=True)
class ShopLine:
    """A line of the shopping list with the kits that wait for it."""

    text: str
    kit_keys: tuple[str, ...]

    @property
    def kit_count(self) -> int:
        """How many kits."""
        return len(self.kit_keys)


@dataclass(frozen=True, slots=True, kw_only=True)
class TrimRow:
    """Lengths cut from one card, in the order they are cut."""

    material: str
    lot: Facts
    is_whole: bool
    cuts: tuple[tuple[str, str, float], ...]
    left_mm: float
    is_left_useful: bool
    wash_first: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FlossTake:
    """Skeins of one lot of which as many cuts are made, with what stays of each."""

    lot: Facts
    is_whole: bool
    skein_count: int
    cuts: int
    left_mm: float
    is_useful: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class FlossRow:
    """Cuts of one shade and the skeins they come from."""

    material: str
    cuts: int
    short_cuts: int
    takes: tuple[FlossTake, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class AmountRow:
    """Thread in millimetres or notions in pieces: needed, on the shelf, left."""

    material: str
    needed: float
    on_hand: float
    left: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanPage:
    """Everything the plan page says."""

    lays: tuple[LayRow, ...]
    kits: tuple[KitRow, ...]
    unmade: tuple[Unmade, ...]
    refused: tuple[Facts, ...]
    sets_left_count: int
    cautions: tuple[str, ...]
    shopping: tuple[ShopLine, ...]
    trims: tuple[TrimRow, ...]
    floss: tuple[FlossRow, ...]
    thread: tuple[AmountRow, ...]
    notions: tuple[AmountRow, ...]
    gown_count: int
    unmade_gown_count: int
    minutes: int


def plan_page(stored: StoredPlan, codes: Mapping[str, str]) -> PlanPage:
    """The page of a plan; `codes` are those of its kits once it is committed."""
    plan = stored.plan
    counts = {kit.key: kit.gown_count for kit in plan.kits}
    unmade = sum(counts[each.kit_key] for each in plan.unmade)
    refused: Sequence[Facts] = stored.document["refused"]
    return PlanPage(
        lays=tuple(_lays(stored)),
        kits=tuple(_kits(stored, codes)),
        unmade=tuple(_unmade(stored)),
        refused=tuple(refused),
        sets_left_count=len(stored.document["sets_left"]),
        cautions=tuple(caution_sentences(stored.document, kit_runs)),
        shopping=tuple(
            ShopLine(text=shop_line(each, stored), kit_keys=each.kit_keys) for each in plan.shortages
        ),
        trims=tuple(_trims(stored)),
        floss=tuple(_floss(stored)),
        thread=tuple(
            AmountRow(
                material=stored.material_name(each.material_key),
                needed=each.needed_mm,
                on_hand=each.on_hand_mm,
                left=each.left_mm,
            )
            for each in plan.thread
        ),
        notions=tuple(
            AmountRow(
                material=stored.material_name(each.material_key),
                needed=each.needed_count,
                on_hand=each.on_hand_count,
                left=each.left_count,
            )
            for each in plan.notions
        ),
        gown_count=sum(counts.values()) - unmade,
        unmade_gown_count=unmade + sum(each["gown_count"] for each in refused),
        minutes=round(plan.minutes),
    )


def in_order(kit_keys: Sequence[str]) -> tuple[str, ...]:
    """Kit numbers as one counts them."""
    return tuple(sorted(kit_keys, key=int))


def _lays(stored: StoredPlan) -> Iterator[LayRow]:
    for number, cut in enumerate(stored.plan.cuts, start=1):
        yield LayRow(
            number=number,
            lot=stored.lot(cut.lot_key),
            length_mm=cut.lay.length_mm,
            used_percent=round(100 * cut.lay.used_share),
            left_mm=cut.left_mm,
            is_left_useful=cut.is_left_useful,
            kit_keys=in_order(cut.kit_keys),
            drawing=lay_drawing(cut),
        )


def _kits(stored: StoredPlan, codes: Mapping[str, str]) -> Iterator[KitRow]:
    for _likeness, run in groupby(stored.plan.kits, key=_likeness_of):
        alike = list(run)
        first = alike[0]
        yield KitRow(
            kits=tuple((kit.key, codes.get(kit.key, "")) for kit in alike),
            design=stored.design_of(first.key),
            gown_count=first.gown_count,
            set_key=first.matched_set_key,
            lot=stored.lot(first.lot_key) if first.lot_key else None,
            minutes=round(first.minutes),
        )


def _likeness_of(kit: PlannedKit) -> tuple[object, ...]:
    return kit.design_key, kit.size_name, kit.purpose, kit.gown_count, kit.lot_key, kit.matched_set_key


def _unmade(stored: StoredPlan) -> Iterator[Unmade]:
    found: dict[str, list[str]] = {}
    for each in stored.plan.unmade:
        found.setdefault(unmade_sentence(each.reason, stored), []).append(each.kit_key)
    for sentence, keys in found.items():
        designs = {id(stored.design_of(key)): stored.design_of(key) for key in keys}
        yield Unmade(kit_keys=in_order(keys), designs=tuple(designs.values()), sentence=sentence)


def _trims(stored: StoredPlan) -> Iterator[TrimRow]:
    for material in stored.plan.trims:
        left = {each.supply_key: each for each in material.left_overs}
        for key in dict.fromkeys(cut.supply_key for cut in material.cuts):
            yield TrimRow(
                material=stored.material_name(material.material_key),
                lot=stored.lot(key),
                is_whole="." in key,
                cuts=tuple(
                    (*place_of(cut.piece_key), cut.length_mm)
                    for cut in material.cuts
                    if cut.supply_key == key
                ),
                left_mm=left[key].length_mm if key in left else 0.0,
                is_left_useful=key in left and left[key].is_useful,
                wash_first=wash_first_sentence(stored.lot(key)),
            )


def _floss(stored: StoredPlan) -> Iterator[FlossRow]:
    for shade in stored.plan.floss:
        yield FlossRow(
            material=stored.material_name(shade.material_key),
            cuts=shade.cuts,
            short_cuts=shade.short_cuts,
            takes=tuple(_takes(stored, shade)),
        )


def _takes(stored: StoredPlan, shade: FlossShadePlan) -> Iterator[FlossTake]:
    for _likeness, run in groupby(shade.takes, key=_likeness_of_take):
        alike = list(run)
        take = alike[0]
        yield FlossTake(
            lot=stored.lot(take.key),
            is_whole="." in take.key,
            skein_count=len(alike),
            cuts=take.cuts,
            left_mm=take.left_mm,
            is_useful=take.is_left_over_useful,
        )


def _likeness_of_take(take: SkeinTake) -> tuple[object, ...]:
    lot_key, _dot, package = take.key.partition(".")
    return lot_key, bool(package), take.cuts, take.left_mm, take.is_left_over_useful
