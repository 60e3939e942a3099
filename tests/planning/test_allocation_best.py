import math
from dataclasses import replace
from functools import partial
from typing import Any

import pytest
from hypothesis import given, settings

from gowngroup.planning import allocation
from gowngroup.planning.allocation import (
    Allocation,
    BadCloth,
    ClothLot,
    ClothWishes,
    CuttingSettings,
    KitCloth,
    opening,
)
from gowngroup.planning.allocation.best import Course
from gowngroup.planning.allocation.filled import Filled
from gowngroup.planning.allocation.table import Table
from gowngroup.planning.lay import ClothLay, ClothTooShort, Flaw, LayPiece, Strip, lay_rows
from gowngroup.planning.lay.check import lay_faults
from gowngroup.planning.lay.engines import QUICK_ENGINES, shortest_lay
from tests.planning.invented_gowns import piece, rectangle
from tests.planning.test_allocation import (
    CUTTING,
    LOT,
    kits_strategy,
    lot_of_kit,
    lots_strategy,
    unmade_codes,
)

allocate = partial(allocation.allocate, engines=QUICK_ENGINES)
allocate_best = partial(allocation.allocate_best, engines=QUICK_ENGINES)


def kit(key: str, length_mm: float, width_mm: float = 100, **more: Any) -> KitCloth:
    pieces = (piece(f"{key}/piece", rectangle(width_mm, length_mm), kit_key=key),)
    return KitCloth(key=key, pieces=pieces, wishes=more.pop("wishes", ClothWishes()), **more)


def lot(key: str, length_mm: float, width_mm: float = 120, **more: Any) -> ClothLot:
    """A lot with so much between its selvedges."""
    return replace(LOT, key=key, length_mm=length_mm, width_mm=width_mm + 20, **more)


def worth(found: Allocation, kits: list[KitCloth]) -> tuple[int, int, int, float]:
    """First kits and kits made, lots opened, and mm² cut or left over useless: the better one less."""
    used_up = [
        cut.strip.usable_width_mm * (cut.strip.length_mm - cut.left_mm * cut.is_left_useful)
        for cut in found.cuts
    ]
    made = lot_of_kit(found)
    first = sum(each.is_first for each in kits if each.key in made)
    return -first, -len(made), len(found.cuts), round(sum(used_up))


@settings(max_examples=12, deadline=None)
@given(kits_strategy, lots_strategy)
def test_each_kit_is_cut_once_or_explained(kits: list[KitCloth], lots: list[ClothLot]) -> None:
    """Every kit is cut whole from one lot or explained, sets stay together, every lay may be cut, order is nothing."""
    found = allocate_best(kits, lots, CUTTING)
    assert sorted([*lot_of_kit(found), *unmade_codes(found)]) == [each.key for each in kits]
    for key in ("S1", "S2"):
        members = [each.key for each in kits if each.matched_set_key == key]
        assert len({lot_of_kit(found).get(member) for member in members}) <= 1
    assert all(lay_faults(cut.lay, cut.pieces, cut.strip) == () for cut in found.cuts)
    assert worth(found, kits) <= worth(allocate(kits, lots, CUTTING), kits)
    assert (found.least_lot_count or 0) <= len(found.cuts)
    assert allocate_best(kits[::-1], lots[::-1], CUTTING) == found


def test_fewer_lots_are_opened_than_one_after_another() -> None:
    """Two long and four shorter kits fill two lots exactly, where dealing one after another opens a third."""
    kits = [kit(f"K{n}", length) for n, length in enumerate((400, 400, 300, 300, 300, 300))]
    lots = [lot(f"L{n}", 1060) for n in range(3)]
    assert len(allocate(kits, lots, CUTTING).cuts) == 3
    found = allocate_best(kits, lots, CUTTING)
    assert (len(found.cuts), found.least_lot_count, found.unmade) == (2, 2, ())


@pytest.mark.parametrize(
    ("flaws_mm", "longest_mm"),
    [([(0, 1000)], 0), ([(0, 1500)], 0), ([(350, 400)], 600), ([(600, 650), (100, 620)], 350)],
)
def test_a_piece_must_lie_between_flaws(flaws_mm: list[tuple[float, float]], longest_mm: float) -> None:
    """A lot without a flawless stretch that holds the piece is refused by that stretch, were it flawed all over."""
    flaws = tuple(Flaw(from_mm=start_mm, to_mm=end_mm) for start_mm, end_mm in flaws_mm)
    lots = [lot("flawed", 1000, flaws=flaws)]
    (refused,) = allocate_best([kit("K1", 610)], lots, CUTTING).unmade
    assert dict(refused.reason.values)["available_mm"] == longest_mm
    assert allocate_best([kit("K1", max(longest_mm, 1))], lots, CUTTING).unmade == () or not longest_mm


def test_more_gowns_are_made_than_one_after_another() -> None:
    """Where cloth is short two smaller kits are made rather than the largest one."""
    kits = [kit("large", 270), kit("small", 140), kit("smaller", 130)]
    assert set(lot_of_kit(allocate(kits, [lot("L1", 300)], CUTTING))) == {"large"}
    assert set(lot_of_kit(allocate_best(kits, [lot("L1", 300)], CUTTING))) == {"small", "smaller"}


@pytest.mark.parametrize("way", [allocate, allocate_best])
def test_memorial_kit_comes_first_when_cloth_is_short(way: Any) -> None:
    """A kit that is to be served first gets the cloth before larger, smaller and choosier ones."""
    kits = [
        kit("A", 280),
        kit("B", 150, is_first=True),
        kit("C", 140, wishes=ClothWishes(kinds=("batiste",))),
        kit("D", 160),
    ]
    lots = [lot("L1", 290), lot("L2", 100, kind="lawn")]
    assert lot_of_kit(way(kits, lots, CUTTING))["B"] == "L1"


def test_left_over_is_kept_useful() -> None:
    """The kit is cut from the lot whose left-over still makes something, although a smaller lot would do."""
    lots = [lot("L1", 700), lot("L2", 1000)]
    (cut,) = allocate_best([kit("A", 600)], lots, CUTTING).cuts
    assert (cut.lot_key, cut.left_mm, cut.is_left_useful) == ("L2", 400, True)


def test_kits_move_when_the_real_lay_is_longer_than_expected() -> None:
    """A trial lay of pieces that fill the width promises room that narrower pieces do not find: kits move, said so."""
    kits = [*(kit(f"W{n}", 90, 180) for n in range(8)), *(kit(f"N{n}", 60) for n in range(6))]
    lots = [lot("L1", 1000, 180), lot("L2", 500, 180)]
    found = allocate_best(kits, lots, CUTTING, effort=1)
    assert [(move.kit_keys, move.from_lot_key, move.to_lot_key) for move in found.moves] == [
        (("N4",), "L1", "L2"),
        (("N5",), "L1", "L2"),
    ]
    assert [(cut.lay.length_mm, cut.left_mm) for cut in found.cuts] == [(960, 40), (120, 380)]
    assert all(lay_faults(cut.lay, cut.pieces, cut.strip) == () for cut in found.cuts)
    assert (found.unmade, found.least_lot_count) == ((), 1)


def test_lays_teach_what_a_lot_holds() -> None:
    """Dealt out again with what the first lays taught, one wide kit moves instead of two narrow ones, and less is cut."""
    kits = [*(kit(f"W{n}", 90, 180) for n in range(8)), *(kit(f"N{n}", 60) for n in range(6))]
    found = allocate_best(kits, [lot("L1", 1000, 180), lot("L2", 500, 180)], CUTTING)
    assert [(move.kit_keys, move.from_lot_key, move.to_lot_key) for move in found.moves] == [
        (("W7",), "L1", "L2")
    ]
    assert [(cut.lay.length_mm, cut.left_mm) for cut in found.cuts] == [(990, 10), (90, 410)]


def test_the_best_of_all_that_was_laid_goes_together() -> None:
    """Fillings laid at different times are put together, however the lots are filled now."""
    table = Table(
        [kit("A", 300), kit("B", 200), kit("C", 190)],
        [lot("L1", 510), lot("L2", 200)],
        CUTTING,
        engines=QUICK_ENGINES,
    )
    long, middle, short = table.groups
    bolts = table.bolts()
    for key, groups in (("L1", [long, middle]), ("L1", [long, short]), ("L2", [short]), ("L2", [middle])):
        assert table.fits(replace(bolts[key], groups=groups))
    course = Course(table, Filled(bolts=bolts, unmade=list(table.groups)))
    course.choose_anew()
    assert course.best.unmade == []
    assert sorted(len(bolt.groups) for bolt in course.best.opened) == [1, 2]


def lonely(pieces: tuple[LayPiece, ...], strip: Strip) -> ClothLay:
    """An engine that lays one kit on a lot and no other beside it."""
    if len({each.kit_key for each in pieces}) > 1 and math.isfinite(strip.length_mm):
        raise ClothTooShort(needed_mm=2 * strip.length_mm, available_mm=strip.length_mm)
    return lay_rows(pieces, strip)


def test_what_the_lay_as_cut_leaves_is_filled_up() -> None:
    """A kit that the quick way found no room for is cut where the shortest lay leaves cloth enough for it alone."""
    kits, lots = [kit("A", 300), kit("B", 200), kit("C", 250)], [lot("L1", 510)]
    given = {"engines": QUICK_ENGINES, "fitters": (lonely,)}
    assert set(lot_of_kit(allocation.allocate(kits, lots, CUTTING, **given))) == {"A"}  # type: ignore[arg-type]
    found = allocation.allocate_best(kits, lots, CUTTING, **given)  # type: ignore[arg-type]
    assert (set(lot_of_kit(found)), *unmade_codes(found).items()) == ({"A", "B"}, ("C", "cloth_too_short"))
    assert [(cut.lay.length_mm, cut.left_mm) for cut in found.cuts] == [(500, 10)]


@settings(max_examples=4, deadline=None)
@given(kits_strategy, lots_strategy)
def test_the_shortest_lays_are_cut(kits: list[KitCloth], lots: list[ClothLot]) -> None:
    """However the lots were filled, each is laid as short as any engine lays it; still nothing is worse for it."""
    found = allocation.allocate_best(kits, lots, CUTTING)
    for cut in found.cuts:
        assert cut.lay.length_mm <= shortest_lay(cut.pieces, cut.strip).length_mm
    assert worth(found, kits) <= worth(allocation.allocate(kits, lots, CUTTING), kits)


def test_lots_needed_for_more_gowns_are_not_told() -> None:
    """Where a flaw keeps out a kit that its area promised room, no lot is called needed for the gowns made: none."""
    pieces = tuple(piece(f"A/{n}", rectangle(100, 200), kit_key="A") for n in range(2))
    flawed = lot("L1", 450, flaws=(Flaw(from_mm=190, to_mm=200),))
    found = allocate_best([KitCloth(key="A", pieces=pieces, wishes=ClothWishes())], [flawed], CUTTING)
    assert (found.cuts, found.least_lot_count, found.proven_gap_share) == ((), None, 1.0)


def test_proof_is_of_the_programme_only() -> None:
    """Dealing one after another proves nothing; the programme proves its gap, and that no lot was opened in vain."""
    kits, lots = [kit("A", 100), kit("B", 100)], [lot("L1", 1000), lot("L2", 1000)]
    quick, best = allocate(kits, lots, CUTTING), allocate_best(kits, lots, CUTTING)
    assert (quick.proven_gap_share, quick.least_lot_count) == (None, None)
    assert best.proven_gap_share == pytest.approx(0, abs=0.01)
    assert best.least_lot_count == 1


def test_without_the_solver_the_first_dealing_out_stands(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the solver refuses its task the kits are dealt out one after another, and nothing is called proven."""
    kits, lots = [kit("A", 100), kit("B", 100)], [lot("L1", 1000)]
    monkeypatch.setattr(opening, "_MOST_NODES", -1)
    assert allocate_best(kits, lots, CUTTING) == allocate(kits, lots, CUTTING)


@pytest.mark.parametrize("kits", [[], [kit("A", 100, wishes=ClothWishes(kinds=("linen",)))]])
def test_nothing_to_deal_out_proves_nothing(kits: list[KitCloth]) -> None:
    """Without a kit that any lot suits there is nothing to prove."""
    found = allocate_best(kits, [LOT], CUTTING)
    assert (found.cuts, found.proven_gap_share, len(found.unmade)) == ((), None, len(kits))


@pytest.mark.parametrize("way", [allocate, allocate_best])
def test_kit_stays_with_the_lot_of_its_set(way: Any) -> None:
    """A kit whose set was cut from one lot already comes from that lot, or from none."""
    lots = [lot("L1", 500), lot("L2", 500)]
    kits = [kit("A", 100, lot_key="L2"), kit("B", 100, lot_key="gone")]
    found = way(kits, lots, CUTTING)
    assert (lot_of_kit(found), unmade_codes(found)) == ({"A": "L2"}, {"B": "other_lot"})


BOW_TIE = ((0.0, 0.0), (100.0, 100.0), (100.0, 0.0), (0.0, 100.0))


@pytest.mark.parametrize("way", [allocate, allocate_best])
@pytest.mark.parametrize(
    ("kits", "lots", "message"),
    [
        ([kit("A", 100), kit("A", 90)], [LOT], "kit A: 2 have this key"),
        ([], [LOT, LOT], "lot L1: 2 have this key"),
        ([replace(kit("A", 100), pieces=())], [LOT], "kit A: it has no pieces"),
        ([kit("A", 100, gown_count=0)], [LOT], "kit A: it makes no gown"),
        ([kit("A", math.nan)], [LOT], "kit A: the outline of its piece A/piece"),
        (
            [replace(kit("A", 1), pieces=(piece("bow", BOW_TIE),))],
            [LOT],
            "kit A: the outline of its piece bow",
        ),
        ([], [replace(LOT, length_mm=math.nan)], "lot L1: its length_mm is nan"),
        ([], [replace(LOT, width_mm=math.inf)], "lot L1: its width_mm is inf"),
        ([], [replace(LOT, highest_wash_c=math.nan)], "lot L1: its highest_wash_c is nan"),
        ([], [replace(LOT, weight_gsm=-1.0)], "lot L1: its weight_gsm is -1.0"),
        ([], [replace(LOT, flaws=(Flaw(from_mm=1, to_mm=math.nan),))], "lot L1: its flaws is nan"),
    ],
)
def test_bad_cloth_is_refused_by_name(
    way: Any, kits: list[KitCloth], lots: list[ClothLot], message: str
) -> None:
    """A key that stands twice, a kit without whole pieces or a lot without whole figures is named, nothing is planned."""
    with pytest.raises(BadCloth, match=message):
        way(kits, lots, CUTTING)


def test_unwashed_cloth_is_dealt_out_only_on_request() -> None:
    """The programme too plans unwashed cloth smaller by its shrinkage, and only where that may be foreseen."""
    raw = lot("L1", 420, state="as given", length_shrink_share=0.05)
    assert unmade_codes(allocate_best([kit("A", 100)], [raw], CUTTING)) == {"A": "not_measured"}
    (cut,) = allocate_best([kit("A", 100)], [raw], CuttingSettings(may_foresee_washing=True)).cuts
    assert (cut.strip.length_mm, cut.before_cutting) == (399, "wash and measure")
