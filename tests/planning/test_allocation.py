from collections.abc import Sequence
from dataclasses import replace
from functools import partial
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gowngroup.planning import allocation
from gowngroup.planning.allocation import (
    Allocation,
    ClothLot,
    ClothWishes,
    CuttingSettings,
    KitCloth,
    lot_refusal,
    strip_of,
)
from gowngroup.planning.allocation.values import ClothState
from gowngroup.planning.lay import ClothLay, ClothTooShort, Flaw, LayPiece, Strip, lay_rows
from gowngroup.planning.lay.check import LayHasFaults, lay_faults
from gowngroup.planning.lay.engines import QUICK_ENGINES
from tests.planning.invented_gowns import invented_gown, piece, rectangle

allocate = partial(allocation.allocate, engines=QUICK_ENGINES)
CUTTING = CuttingSettings()
LOT = ClothLot(
    key="L1", kind="batiste", fibre="cotton", shade="white", state="measured", width_mm=1120, length_mm=2000,
    selvedge_mm=10, highest_wash_c=71, weight_gsm=85,
)  # fmt: skip


def kit(key: str, size: int = 2, *, matched_set_key: str | None = None, **wishes: Any) -> KitCloth:
    return KitCloth(
        key=key,
        pieces=invented_gown(key, size),
        wishes=ClothWishes(**wishes),
        matched_set_key=matched_set_key,
    )


def square_kit(
    key: str, side_mm: float = 100, *, matched_set_key: str | None = None, kind: str = ""
) -> KitCloth:
    pieces = (piece(f"{key}/square", rectangle(side_mm, side_mm), kit_key=key),)
    wishes = ClothWishes(kinds=(kind,) if kind else ())
    return KitCloth(key=key, pieces=pieces, wishes=wishes, matched_set_key=matched_set_key)


class Watched:
    """Lays by rows that note what was asked of them: the pieces and the width of the cloth."""

    def __init__(self) -> None:
        self.asked: list[tuple[tuple[str, ...], float]] = []

    def lay(self, pieces: Sequence[LayPiece], strip: Strip) -> ClothLay:
        self.asked.append((tuple(each.key for each in pieces), strip.usable_width_mm))
        return lay_rows(pieces, strip)

    @property
    def counts(self) -> list[int]:
        return [len(keys) for keys, _ in self.asked]


@pytest.fixture
def watched() -> Watched:
    return Watched()


def lot_of_kit(allocation: Allocation) -> dict[str, str]:
    return {key: cut.lot_key for cut in allocation.cuts for key in cut.kit_keys}


def unmade_codes(allocation: Allocation) -> dict[str, str]:
    return {each.kit_key: each.reason.code for each in allocation.unmade}


def refusal_code(lot: ClothLot, **wishes: Any) -> str | None:
    refusal = lot_refusal(kit("K", **wishes), lot, CUTTING)
    return refusal.code if refusal else None


kits_strategy = st.lists(
    st.tuples(st.integers(0, 5), st.sampled_from([None, None, "S1", "S2"])), min_size=1, max_size=8
).map(lambda found: [kit(f"K{n}", size, matched_set_key=s) for n, (size, s) in enumerate(found)])
lots_strategy = st.lists(
    st.tuples(st.integers(300, 1500), st.integers(200, 2500), st.booleans()), min_size=0, max_size=5
).map(
    lambda found: [
        replace(LOT, key=f"L{n}", width_mm=w, length_mm=length, flaws=(Flaw(from_mm=90, to_mm=99),) * flawed)
        for n, (w, length, flawed) in enumerate(found)
    ]
)


@settings(max_examples=20, deadline=None)
@given(kits_strategy, lots_strategy)
def test_each_kit_is_cut_once_or_explained(kits: list[KitCloth], lots: list[ClothLot]) -> None:
    """Every kit is cut whole from one lot or reported unmade, matched sets stay together, every lay may be cut."""
    found = allocate(kits, lots, CUTTING)
    assert sorted([*lot_of_kit(found), *unmade_codes(found)]) == [each.key for each in kits]
    for key in ("S1", "S2"):
        members = [each.key for each in kits if each.matched_set_key == key]
        assert len({lot_of_kit(found).get(member) for member in members}) <= 1
    assert all(lay_faults(cut.lay, cut.pieces, cut.strip) == () for cut in found.cuts)
    assert allocate(kits[::-1], lots[::-1], CUTTING) == found


def test_one_lot_is_opened_where_one_suffices() -> None:
    """Six gowns that one long lot can hold are not spread over several."""
    lots = [replace(LOT, key=f"L{n}", length_mm=length) for n, length in enumerate((1000, 1500, 6000, 4000))]
    found = allocate([kit(f"K{n}", n) for n in range(6)], lots, CUTTING)
    assert {cut.lot_key for cut in found.cuts} == {"L3"}


def test_smallest_lot_that_serves_all_is_opened() -> None:
    """One gown is cut from the remnant that holds it and the long lot stays whole."""
    lots = [replace(LOT, key="long", length_mm=6000), replace(LOT, key="remnant", length_mm=700)]
    assert lot_of_kit(allocate([kit("K1")], lots, CUTTING)) == {"K1": "remnant"}


def test_kit_goes_to_the_open_lot_it_fills_best() -> None:
    """Of two lots already opened the kit goes to the one with less room, so the longer stays useful."""
    lots = [
        replace(LOT, key="short", width_mm=120, length_mm=350),
        replace(LOT, key="long", width_mm=120, length_mm=900, kind="lawn"),
    ]
    kits = [square_kit("A", kind="batiste"), square_kit("B", kind="lawn"), square_kit("C")]
    assert lot_of_kit(allocate(kits, lots, CUTTING)) == {"A": "short", "B": "long", "C": "short"}


def test_matched_set_is_made_whole_or_not_at_all() -> None:
    """Two gowns of a set that only fit on two different lots are both reported, neither is cut alone."""
    lots = [replace(LOT, key=key, length_mm=110, width_mm=170) for key in ("L1", "L2")]
    kits = [square_kit("A", matched_set_key="twins"), square_kit("B", matched_set_key="twins")]
    found = allocate(kits, lots, CUTTING)
    assert (found.cuts, unmade_codes(found)) == ((), {"A": "cloth_too_short", "B": "cloth_too_short"})


def test_unmade_kit_says_how_much_is_needed() -> None:
    """A kit that finds its lot used up is told the length it needs and the length left."""
    lot = replace(LOT, width_mm=120, length_mm=150)
    (unmade,) = allocate([square_kit("A"), square_kit("B", 90)], [lot], CUTTING).unmade
    assert unmade.reason.values == (("lot", "L1"), ("needed_mm", 90), ("left_mm", 50))


def test_kit_moves_when_the_lay_comes_out_too_long() -> None:
    """A lot that seems large enough by area but not by its lay gives up its smallest kit, and says so."""
    lots = [
        replace(LOT, key="L1", width_mm=180, length_mm=160),
        replace(LOT, key="L2", width_mm=140, length_mm=120),
    ]
    found = allocate([square_kit("A"), square_kit("B", 99)], lots, CuttingSettings(lot_fill_share=1.3))
    assert lot_of_kit(found) == {"A": "L1", "B": "L2"}
    assert [(move.kit_keys, move.from_lot_key, move.to_lot_key) for move in found.moves] == [
        (("B",), "L1", "L2")
    ]


def test_estimate_does_not_leave_a_fitting_kit_out() -> None:
    """A kit that the expected share turns away is still cut where its real lay fits."""
    lot = replace(LOT, width_mm=120, length_mm=100)
    assert lot_of_kit(allocate([square_kit("A")], [lot], CUTTING)) == {"A": "L1"}


@pytest.mark.parametrize(
    ("wishes", "code"),
    [
        ({}, None),
        ({"kinds": ("batiste", "lawn"), "fibres": ("cotton",), "shade": "white"}, None),
        ({"kinds": ("flannel",)}, "kind"),
        ({"fibres": ("linen",)}, "fibre"),
        ({"shade": "cream"}, "shade"),
        ({"avoided_shades": ("yellow",)}, None),
        ({"avoided_shades": ("yellow", "White")}, "avoided_shade"),
        ({"least_weight_gsm": 90.0}, "too_light"),
        ({"greatest_weight_gsm": 80.0}, "too_heavy"),
        ({"least_weight_gsm": 80.0, "greatest_weight_gsm": 90.0, "least_wash_c": 71.0}, None),
        ({"least_wash_c": 72.0}, "wash_too_low"),
    ],
)
def test_cloth_must_suit_the_kit(wishes: dict[str, Any], code: str | None) -> None:
    """Kind, fibre, shade, weight and wash temperature each rule a lot out by name."""
    assert refusal_code(LOT, **wishes) == code


def test_unweighed_cloth_does_not_pass_for_a_weight() -> None:
    """A lot nobody has weighed is not used where a weight is asked for."""
    assert refusal_code(replace(LOT, weight_gsm=None), least_weight_gsm=60.0) == "weight_unknown"


@pytest.mark.parametrize(
    ("width_mm", "length_mm", "code"), [(400, 2000, "piece_too_wide"), (1120, 200, "piece_too_long")]
)
def test_lot_must_hold_the_largest_piece(width_mm: float, length_mm: float, code: str) -> None:
    """A lot too narrow or too short for the front is ruled out before any lay is tried."""
    assert refusal_code(replace(LOT, width_mm=width_mm, length_mm=length_mm)) == code


@pytest.mark.parametrize(("state", "first"), [("as given", "wash and measure"), ("washed", "measure")])
def test_unmeasured_cloth_is_planned_only_on_request(state: ClothState, first: str) -> None:
    """Cloth not yet measured is refused, unless washing may be foreseen; then the plan says what comes first."""
    lot = replace(LOT, state=state)
    assert unmade_codes(allocate([kit("K1")], [lot], CUTTING)) == {"K1": "not_measured"}
    (cut,) = allocate([kit("K1")], [lot], replace(CUTTING, may_foresee_washing=True)).cuts
    assert cut.before_cutting == first


def test_shrinkage_counts_until_the_cloth_is_washed() -> None:
    """Cloth as given is planned smaller by its shrinkage, its flaws moving with it; washed cloth is not."""
    lot = replace(
        LOT, state="as given", width_mm=1000, length_mm=1000, width_shrink_share=0.1, length_shrink_share=0.05,
        flaws=(Flaw(from_mm=100, to_mm=200),),
    )  # fmt: skip
    strip = strip_of(lot, CUTTING)
    assert (strip.usable_width_mm, strip.length_mm, strip.flaws[0].to_mm) == (880, 950, 190)
    assert strip_of(replace(lot, state="washed"), CUTTING).usable_width_mm == 980


def test_reason_names_the_nearest_miss() -> None:
    """Of a lot of the wrong kind and one with too cool a wash, the second explains why a kit cannot be made."""
    lots = [replace(LOT, key="L1", kind="flannel"), replace(LOT, key="L2", highest_wash_c=40)]
    found = allocate([kit("K1", kinds=("batiste",), least_wash_c=60.0)], lots, CUTTING)
    assert unmade_codes(found) == {"K1": "wash_too_low"}


def test_no_cloth_at_all_is_said() -> None:
    """Without any lot the reason is that there is no cloth."""
    assert unmade_codes(allocate([kit("K1")], [], CUTTING)) == {"K1": "no_cloth"}


def test_left_over_is_reckoned_and_judged() -> None:
    """What is left of a lot is its length less the lay, useful from the shortest length worth keeping."""
    (cut,) = allocate([square_kit("A")], [replace(LOT, length_mm=500)], CUTTING).cuts
    assert (cut.left_mm, cut.is_left_useful) == (400, True)
    (cut,) = allocate([square_kit("A")], [replace(LOT, length_mm=440)], CUTTING).cuts
    assert (cut.left_mm, cut.is_left_useful) == (340, False)


def test_lots_are_laid_by_the_engines_given() -> None:
    """The engines handed in make the lays, so a better one can join without touching the allocation."""

    def named(pieces: tuple[LayPiece, ...], strip: Strip) -> ClothLay:
        return replace(lay_rows(pieces, strip), engine="another")

    def never(pieces: tuple[LayPiece, ...], strip: Strip) -> ClothLay:
        raise ClothTooShort(needed_mm=9000, available_mm=strip.length_mm)

    (cut,) = allocate([kit("K1")], [LOT], CUTTING, engines=(never, named)).cuts  # type: ignore[arg-type]
    assert cut.lay.engine == "another"


def test_no_lot_is_tried_fuller_than_the_fullest_lay(watched: Watched) -> None:
    """With kits enough to learn from, an opened lot that would have to be fuller than any lay so far is not laid."""
    kits = [square_kit(f"K{number:02d}") for number in range(14)]
    lot = replace(LOT, width_mm=170, length_mm=1000)
    found = allocate(kits, [lot], CUTTING, engines=(watched.lay,))
    assert (len(lot_of_kit(found)), 11 in watched.counts) == (10, False)


def test_more_than_the_cloth_there_is_is_not_laid(watched: Watched) -> None:
    """Pieces of more area than the lot come off it before anything is laid; only the lay one learns from holds them."""
    lot = replace(LOT, width_mm=120, length_mm=150)
    filling = CuttingSettings(lot_fill_share=1.3)
    found = allocate([square_kit("A"), square_kit("B", 90)], [lot], filling, engines=(watched.lay,))
    assert (lot_of_kit(found), watched.counts.count(2)) == ({"A": "L1"}, 1)


def test_kits_alike_are_tried_once(watched: Watched) -> None:
    """Where a kit does not fit beside another, one just like it is not tried."""
    lot = replace(LOT, width_mm=170, length_mm=100)
    found = allocate([square_kit(key, 80) for key in "ABC"], [lot], CUTTING, engines=(watched.lay,))
    assert (len(found.unmade), watched.counts.count(2)) == (2, 1)


def test_lot_far_from_enough_is_not_laid_to_say_so(watched: Watched) -> None:
    """The lot that comes nearest to a kit left out is named without laying it on one that must be further off."""
    lots = [
        replace(LOT, key="L1", width_mm=120, length_mm=150),
        replace(LOT, key="L2", kind="lawn", width_mm=140, length_mm=100),
    ]
    kits = [square_kit("A", kind="batiste"), square_kit("B", 90), square_kit("C", kind="lawn")]
    filling = CuttingSettings(lot_fill_share=1.3)
    (unmade,) = allocate(kits, lots, filling, engines=(watched.lay,)).unmade
    assert (unmade.kit_key, dict(unmade.reason.values)["lot"]) == ("B", "L1")
    assert (("B/square",), 120) not in watched.asked


def test_lay_with_a_fault_is_never_given_out() -> None:
    """Lays made on trial are not looked at, but the one that is to be cut is."""

    def piled(pieces: tuple[LayPiece, ...], strip: Strip) -> ClothLay:
        lay = lay_rows(pieces, strip)
        return replace(lay, placements=tuple(replace(place, y_mm=0.0) for place in lay.placements))

    with pytest.raises(LayHasFaults):
        allocate([kit("K1")], [LOT], CUTTING, engines=(piled,))  # type: ignore[arg-type]
