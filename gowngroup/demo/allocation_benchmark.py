"""How many lots a hundred kits open, what is left over useless and what is proven, beside dealing one after another."""

import random
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any

from gowngroup.planning.allocation import (
    Allocation,
    ClothLot,
    ClothWishes,
    CuttingSettings,
    KitCloth,
    allocate,
    allocate_best,
)
from gowngroup.planning.allocation.best import MOST_DIVES, Course
from gowngroup.planning.allocation.greedy import greedy
from gowngroup.planning.allocation.programme import deal_out
from gowngroup.planning.allocation.table import Table
from gowngroup.planning.batch_plan import BatchRules
from gowngroup.planning.figures import default_values
from gowngroup.planning.lay.engines import QUICK_ENGINES
from gowngroup.planning.lay.values import pieces_area_mm2
from gowngroup.planning.trial_gowns import trial_gowns

KITS, LOTS = 100, 20
# Cloth on the shelf against what the kits are expected to need: too little, just enough, plenty.
STOCK_LEVELS = (0.9, 1.1, 1.4, 2.0, 3.0)
WIDTHS_MM = (900, 1120, 1400, 1500)
LENGTHS_MM = (700, 1000, 1500, 2000, 2500, 3000, 4000, 5000)
KINDS = ("batiste", "lawn", "poplin")
WISHES: tuple[tuple[str, ...], ...] = ((), ("batiste", "lawn"), ("batiste",), ("poplin",))
SELVEDGE_MM = 10
GAP_SHARE = 0.01

Say = Callable[[str], Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class AllocationFigures:
    """What an allocation comes to."""

    kit_count: int
    lot_count: int
    useless_cm: float
    used_up_m2: float


def allocation_section(say: Say) -> None:
    """A hundred kits and twenty lots at five stock levels: the programme beside dealing one after another."""
    say(
        "Allocation, 100 kits × 20 lots, lays by rows; one after another → programme, lots beside those proven needed"
    )
    say(
        "stock  kits made    lots opened (proven)  useless cm   cloth used up  gap    programme s  all s  quick s"
    )
    for seed, level in enumerate(STOCK_LEVELS, start=1):
        say(_line(*invented_stock(seed, level), level))


def _line(kits: Sequence[KitCloth], lots: Sequence[ClothLot], level: float) -> str:
    settings = BatchRules.from_figures(default_values()).cutting
    started = time.perf_counter()
    quick = figures_of(allocate(kits, lots, settings, engines=QUICK_ENGINES))
    quick_s = time.perf_counter() - started
    started = time.perf_counter()
    found = allocate_best(kits, lots, settings, engines=QUICK_ENGINES, gap_share=GAP_SHARE)
    best_s = time.perf_counter() - started
    best, gap, least = figures_of(found), found.proven_gap_share, found.least_lot_count
    return (
        f"{level:5.1f}  {quick.kit_count:4} → {best.kit_count:<4} {quick.lot_count:6} → {best.lot_count:<3} ({least})"
        f" {quick.useless_cm:11.0f} → {best.useless_cm:<5.0f} × {best.used_up_m2 / quick.used_up_m2:9.3f}"
        f" {gap:8.2%} {_programme_s(kits, lots, settings):10.1f} {best_s:8.1f} {quick_s:7.1f}"
    )


def _programme_s(kits: Sequence[KitCloth], lots: Sequence[ClothLot], settings: CuttingSettings) -> float:
    """Seconds of the programme alone, as it is first solved."""
    table = Table(kits, lots, settings, QUICK_ENGINES)
    course = Course(table, greedy(table))
    problem, start = course.problem(), course.counts(course.best)
    started = time.perf_counter()
    deal_out(problem, start=start, gap_share=GAP_SHARE, most_dives=MOST_DIVES)
    return time.perf_counter() - started


def figures_of(found: Allocation) -> AllocationFigures:
    """Kits made, lots opened, left-overs too short for anything, and cloth cut or left over so."""
    return AllocationFigures(
        kit_count=sum(len(cut.kit_keys) for cut in found.cuts),
        lot_count=len(found.cuts),
        useless_cm=sum(cut.left_mm for cut in found.cuts if not cut.is_left_useful) / 10,
        used_up_m2=sum(
            cut.strip.usable_width_mm * (cut.strip.length_mm - cut.left_mm * cut.is_left_useful)
            for cut in found.cuts
        )
        / 1e6,
    )


def invented_stock(seed: int, level: float) -> tuple[list[KitCloth], list[ClothLot]]:
    """A hundred kits of drafted gowns, some in matched sets, some memorial, and twenty lots of three kinds of cloth."""
    chance = random.Random(seed)  # noqa: S311 - invented stock, no secret
    kits = [_kit(number, chance) for number in range(KITS)]
    for first, second in zip(kits[::20], kits[1::20], strict=True):
        kits[int(second.key[1:])] = replace(second, wishes=first.wishes)
    lots = [_lot(number, chance) for number in range(LOTS)]
    needed_mm2 = sum(pieces_area_mm2(kit.pieces) for kit in kits) / default_values()["expected_lay_share"]
    there_mm2 = sum(lot.length_mm * (lot.width_mm - 2 * SELVEDGE_MM) for lot in lots)
    longer = level * needed_mm2 / there_mm2
    return kits, [replace(lot, length_mm=float(round(lot.length_mm * longer))) for lot in lots]


def _kit(number: int, chance: random.Random) -> KitCloth:
    return KitCloth(
        key=f"K{number:03d}",
        pieces=trial_gowns(KITS)[number],
        wishes=ClothWishes(kinds=chance.choice(WISHES), least_wash_c=60),
        matched_set_key=f"S{number // 20}" if number % 20 < 2 else None,
        is_first=number % 7 == 3,
    )


def _lot(number: int, chance: random.Random) -> ClothLot:
    return ClothLot(
        key=f"L{number:02d}",
        kind=chance.choice(KINDS),
        fibre="cotton",
        shade="white",
        state="measured",
        width_mm=chance.choice(WIDTHS_MM),
        length_mm=chance.choice(LENGTHS_MM),
        selvedge_mm=SELVEDGE_MM,
        highest_wash_c=chance.choice((60, 71)),
    )
