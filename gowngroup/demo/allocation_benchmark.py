"""How many lots a hundred kits open, what is left over useless and what is proven, beside dealing one after another."""

import random
import time
from collections.abc import Callable, Iterator, Sequence
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
from gowngroup.planning.allocation.best import MOST_DIVES, ROUNDS, Course
from gowngroup.planning.allocation.greedy import greedy
from gowngroup.planning.allocation.programme import deal_out
from gowngroup.planning.allocation.table import Table
from gowngroup.planning.batch_plan import BatchRules
from gowngroup.planning.figures import default_values
from gowngroup.planning.lay.engines import QUICK_ENGINES, STEADY_ENGINES, fitters_of, shortest_lay
from gowngroup.planning.lay.values import pieces_area_mm2
from gowngroup.planning.trial_gowns import trial_gowns

KITS, LOTS = 100, 20
# Cloth on the shelf against what the kits are expected to need: too little, just enough, plenty.
STOCK_LEVELS = (0.9, 1.1, 1.4, 2.0, 3.0)
SEEDS = range(1, 6)
WIDTHS_MM = (900, 1120, 1400, 1500)
LENGTHS_MM = (700, 1000, 1500, 2000, 2500, 3000, 4000, 5000)
KINDS = ("batiste", "lawn", "poplin")
WISHES: tuple[tuple[str, ...], ...] = ((), ("batiste", "lawn"), ("batiste",), ("poplin",))
SELVEDGE_MM = 10
GAP_SHARE = 0.01
FITTERS = fitters_of(STEADY_ENGINES)

Say = Callable[[str], Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class AllocationFigures:
    """What an allocation comes to."""

    kit_count: int
    lot_count: int
    useless_cm: float
    used_up_m2: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ProgrammeFigures:
    """What the programme proves of its dealing out and of the one it set out from, and what it gains on that."""

    gap: float
    quick_gap: float
    cpu_s: float
    gained_count: int
    saved_lots: int
    are_lots_proven: bool


def allocation_section(say: Say) -> None:
    """A hundred kits and twenty lots at five stock levels: the programme beside dealing one after another."""
    _programme_table(say)
    _cutting_table(say)


def _programme_table(say: Say) -> None:
    """The programme alone, with the shares of trial lays, on five stocks a level."""
    say(
        f"Allocation, {KITS} kits × {LOTS} lots, the programme alone, the worst of {len(SEEDS)} stocks a level"
    )
    say(
        "stock  gap proven  gap one after another  CPU s  gowns gained  lots proven  lots saved for as many gowns"
    )
    for level in STOCK_LEVELS:
        figures = [_programme_figures(seed, level) for seed in SEEDS]
        gap, quick_gap = (max(each) for each in zip(*((f.gap, f.quick_gap) for f in figures), strict=True))
        gained = [f.gained_count for f in figures]
        saved = [f.saved_lots for f in figures if not f.gained_count]
        say(
            f"{level:5.1f} {gap:11.2%} {quick_gap:22.2%} {max(f.cpu_s for f in figures):6.1f}"
            f" {min(gained):5} to {max(gained):<4} {sum(f.are_lots_proven for f in figures):6} of {len(figures)}"
            f" {'-' if not saved else f'{min(saved)} to {max(saved)}':>14}"
        )


def _programme_figures(seed: int, level: float) -> ProgrammeFigures:
    """One stock dealt out by programme, from what dealing one after another has laid."""
    table = Table(*invented_stock(seed, level), _settings(), engines=QUICK_ENGINES)
    course = Course(table, greedy(table))
    problem, start = course.problem(), course.counts(course.best)
    started = time.process_time()
    dealt = deal_out(problem, start=start, gap_share=GAP_SHARE, most_dives=MOST_DIVES)
    cpu_s = time.process_time() - started
    lots = len(problem.opened(dealt.counts))
    return ProgrammeFigures(
        gap=problem.gap_share(dealt.counts, dealt.proof),
        quick_gap=problem.gap_share(start, dealt.proof),
        cpu_s=cpu_s,
        gained_count=problem.gowns(dealt.counts) - problem.gowns(start),
        saved_lots=len(problem.opened(start)) - lots,
        are_lots_proven=lots == dealt.proof.least_lots,
    )


def _cutting_table(say: Say) -> None:
    """The whole call, every lot laid and put right, dealt out once and as often as a plan does, on one stock a level."""
    say(
        "The whole call, lots laid until they fit, by rows or by search; one after another → programme, lots beside those"
        " proven needed; CPU seconds, and those a plan takes besides to lay each lot as short as it can"
    )
    say(
        "stock rounds  kits made    lots opened (proven)  useless cm   cloth used up  gap     s  laid s  quick s"
    )
    for seed, level in enumerate(STOCK_LEVELS, start=1):
        for line in _lines(*invented_stock(seed, level), level):
            say(line)


def _lines(kits: Sequence[KitCloth], lots: Sequence[ClothLot], level: float) -> Iterator[str]:
    settings = _settings()
    started = time.process_time()
    quick = figures_of(allocate(kits, lots, settings, engines=QUICK_ENGINES))
    quick_s = time.process_time() - started
    for rounds in (1, ROUNDS):
        started = time.process_time()
        found = allocate_best(kits, lots, settings, engines=FITTERS, gap_share=GAP_SHARE, effort=rounds)
        best_s = time.process_time() - started
        best, gap, least = figures_of(found), found.proven_gap_share, found.least_lot_count
        yield (
            f"{level:5.1f} {rounds:6}  {quick.kit_count:4} → {best.kit_count:<4} {quick.lot_count:6} → {best.lot_count:<3}"
            f" ({least}) {quick.useless_cm:11.0f} → {best.useless_cm:<5.0f} × {best.used_up_m2 / quick.used_up_m2:9.3f}"
            f" {gap:8.2%} {best_s:6.1f} {_last_lays_s(found):7.1f} {quick_s:7.1f}"
        )


def _last_lays_s(found: Allocation) -> float:
    started = time.process_time()
    for cut in found.cuts:
        shortest_lay(cut.pieces, cut.strip, engines=STEADY_ENGINES)
    return time.process_time() - started


def _settings() -> CuttingSettings:
    return BatchRules.from_figures(default_values()).cutting


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
