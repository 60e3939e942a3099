import json
from dataclasses import replace
from functools import partial
from itertools import chain
from typing import Any

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from gowngroup.planning import batch_plan
from gowngroup.planning.allocation import ClothLot, ClothWishes
from gowngroup.planning.batch_plan import (
    BatchKit,
    BatchOrder,
    BatchPlan,
    BatchRules,
    BiasNeed,
    FlossNeed,
    KitPiece,
    NotionNeed,
    Shortage,
    StockCount,
    StockLength,
    ThreadNeed,
    TrimNeed,
    UnknownPlanFormat,
    from_document,
    to_document,
)
from gowngroup.planning.batch_plan.plan import KitWinding
from gowngroup.planning.batch_plan.trims import trim_plans
from gowngroup.planning.figures import default_values
from gowngroup.planning.lay.check import lay_faults
from gowngroup.planning.lay.engines import QUICK_ENGINES
from gowngroup.planning.mix import Purpose
from tests.planning.invented_gowns import invented_gown, rectangle

plan_batch = partial(batch_plan.plan_batch, engines=QUICK_ENGINES)
RULES = BatchRules.from_figures(default_values())
SQUARE = (KitPiece(name="square", outlines=(rectangle(100, 100),), may_turn=True),)
LOT = ClothLot(
    key="L1", kind="batiste", fibre="cotton", shade="white", state="measured", width_mm=1120, length_mm=3000,
    selvedge_mm=10, highest_wash_c=71,
)  # fmt: skip


def kit(key: str, **more: Any) -> BatchKit:
    settings: dict[str, Any] = {
        "design_key": "yoke", "size_name": "40 cm", "purpose": "worn", "gown_count": 1, "pieces": SQUARE,
        "cloth": ClothWishes(kinds=("batiste",)), "minutes_per_gown": 200.0,
    }  # fmt: skip
    return BatchKit(key=key, **(settings | more))


def plan(*kits: BatchKit, **stock: Any) -> BatchPlan:
    return plan_batch(BatchOrder(kits=kits, rules=RULES, **({"lots": (LOT,)} | stock)))


def only_shortage(made: BatchPlan) -> Shortage:
    (shortage,) = made.shortages
    return shortage


def card(key: str, length_mm: float, material_key: str = "lace", *, is_part: bool = False) -> StockLength:
    return StockLength(key=key, material_key=material_key, length_mm=length_mm, is_part=is_part)


def full_order() -> BatchOrder:
    """Six kits of whole gowns with everything a gown can need, on stock that runs short of most."""
    kits = tuple(
        kit(
            f"K{number}",
            gown_count=1 + number % 2,
            pieces=tuple(
                KitPiece(name=piece.key, outlines=(piece.outline,), may_turn=piece.may_turn)
                for piece in (
                    replace(each, key=each.key.split("/", 1)[1]) for each in invented_gown("K", number)
                )
            ),
            matched_set_key="twins" if number < 2 else None,
            trims=(TrimNeed(material_key="lace", place="hem", length_mm=1500, count=2),),
            floss=(FlossNeed(material_key="moss", cuts=6),),
            thread=(ThreadNeed(material_key="white", stitch_class="301", length_mm=40_000),),
            notions=(NotionNeed(material_key="fastening", count=1),),
            bias=(BiasNeed(length_mm=250, width_mm=32),),
        )
        for number in range(6)
    )
    return BatchOrder(
        kits=kits,
        rules=RULES,
        lots=(replace(LOT, length_mm=1500), replace(LOT, key="L2", length_mm=1200)),
        trims=(card("C1", 5000), card("C2", 3200, is_part=True)),
        skeins=(card("S1", 8000, "moss"), card("S2", 1000, "moss", is_part=True)),
        spools=(card("T1", 100_000, "white"),),
        notions=(StockCount(material_key="fastening", count=3),),
    )


def test_stored_plan_reads_back_the_same() -> None:
    """A plan stored as JSON text and read again is the same plan, to the last figure."""
    made = plan_batch(full_order())
    text = json.dumps(to_document(made), allow_nan=False)
    assert from_document(json.loads(text)) == made
    assert json.loads(text)["format_version"] == 1


def test_same_order_gives_the_same_plan() -> None:
    """Planning the same order twice gives the same stored text."""
    first, second = (json.dumps(to_document(plan_batch(full_order()))) for _ in range(2))
    assert first == second


@settings(max_examples=10, deadline=None)
@given(st.lists(st.integers(100, 3000), max_size=3), st.lists(st.integers(1, 3), min_size=1, max_size=5))
def test_each_piece_is_cut_once_or_its_kit_explained(lengths_mm: list[int], gowns: list[int]) -> None:
    """Whatever the stock, each gown of a kit with a lot is cut whole, and every other kit has a reason."""
    lots = tuple(replace(LOT, key=f"L{n}", length_mm=length) for n, length in enumerate(lengths_mm))
    order = full_order()
    kits = tuple(replace(each, gown_count=count) for each, count in zip(order.kits, gowns, strict=False))
    made = plan_batch(replace(order, kits=kits, lots=lots))
    cut = [piece.kit_key for each in made.cuts for piece in each.pieces]
    for planned in made.kits:
        wanted = 14 * planned.gown_count + 1 if planned.lot_key else 0
        assert cut.count(planned.key) == wanted
    assert {each.key for each in made.kits if not each.lot_key} == {each.kit_key for each in made.unmade}
    assert all(lay_faults(each.lay, each.pieces, each.strip) == () for each in made.cuts)


def test_other_format_is_refused() -> None:
    """A plan stored in a format this version does not know is refused, not guessed at."""
    document = to_document(plan(kit("K1"))) | {"format_version": 99}
    with pytest.raises(UnknownPlanFormat, match="format 99"):
        from_document(document)


@pytest.mark.parametrize(
    ("field", "value"), [("minutes", "many"), ("engines", "rows"), ("kits", [{"key": 7}]), ("kits", None)]
)
def test_damaged_plan_is_refused(field: str, value: object) -> None:
    """A stored plan with a field of the wrong sort is refused, never read differently."""
    document = to_document(plan(kit("K1"))) | {field: value}
    with pytest.raises((TypeError, KeyError)):
        from_document(document)


def test_word_outside_its_list_is_refused() -> None:
    """A stored purpose that is neither of the two known ones is refused."""
    document = to_document(plan(kit("K1")))
    document["kits"][0]["purpose"] = "party"
    with pytest.raises(TypeError, match="party"):
        from_document(document)


def test_lace_edges_are_cut_whole() -> None:
    """Six hems of 3.4 m from cards of 5 m take six cards, although the pooled metres say five."""
    kits = [
        kit(f"K{number}", trims=(TrimNeed(material_key="lace", place="hem", length_mm=3400),))
        for number in range(6)
    ]
    rules = replace(RULES, shop=replace(RULES.shop, card_um=5_000_000))
    order = BatchOrder(kits=tuple(kits), rules=rules, lots=(LOT,), trims=(card("C1", 5000),))
    shortage = only_shortage(plan_batch(order))
    assert (shortage.unit, shortage.unit_count) == ("card", 5)
    assert shortage.kit_keys == ("K1", "K2", "K3", "K4", "K5")


def lace_kit(key: str, *lengths_mm: float, purpose: Purpose = "worn", set_key: str | None = None) -> BatchKit:
    """A kit whose gown takes these lengths of lace."""
    needs = (
        TrimNeed(material_key="lace", place=f"edge {at}", length_mm=mm) for at, mm in enumerate(lengths_mm)
    )
    return replace(kit(key, trims=tuple(needs)), purpose=purpose, matched_set_key=set_key)


def kits_whole(made: BatchPlan) -> list[str]:
    """Kits whose every length of lace is cut."""
    lacking = {piece.key.partition("/")[0] for trim in made.trims for piece in trim.unplaced}
    return [each.key for each in made.kits if each.key not in lacking]


def test_short_lace_makes_whole_gowns_in_their_turn() -> None:
    """Where lace runs short gowns get all their lengths one after another; a later gown takes what still does for it."""
    kits = (lace_kit("1", 300, 50), lace_kit("2", 300, 50), lace_kit("3", 400, 20), lace_kit("4", 100, 100))
    made = plan(*kits, trims=(card("C1", 600), card("C2", 350)))
    assert kits_whole(made) == ["1", "2", "4"]
    assert sorted(piece.length_mm for piece in made.trims[0].unplaced) == [400]


def test_a_card_begun_for_one_kit_serves_the_next() -> None:
    """Where lace runs short a later kit is cut from the card begun, so that the other stays whole for the last length."""
    kits = (lace_kit("1", 300), lace_kit("2", 700), lace_kit("3", 100, 90))
    made = plan(*kits, trims=(card("C1", 500), card("C2", 195)))
    (trim,) = made.trims
    assert kits_whole(made) == ["1", "3"]
    assert {left.supply_key for left in trim.left_overs} == {"C1"}


def test_memorial_gowns_get_lace_and_floss_first() -> None:
    """What is short goes to gowns for babies who die, and to those of their sets, wherever they stand in the batch."""
    kits = (
        lace_kit("1", 300),
        lace_kit("2", 300, set_key="twins"),
        lace_kit("3", 300, purpose="memorial", set_key="twins"),
        lace_kit("4", 300, purpose="memorial"),
    )
    moss = (FlossNeed(material_key="moss", cuts=10),)
    made = plan(
        *(replace(each, floss=moss) for each in kits),
        trims=(card("C1", 900),),
        skeins=(card("S", 457 * 30, "moss"),),
    )
    assert kits_whole(made) == ["2", "3", "4"]
    assert {winding.kit_key for winding in made.floss[0].windings} == {"2", "3", "4"}
    assert {shortage.kit_keys for shortage in made.shortages} == {("1",)}


@given(
    st.lists(st.lists(st.integers(1, 6), min_size=1, max_size=3), min_size=1, max_size=5),
    st.lists(st.integers(1, 9), min_size=1, max_size=3),
)
@example([[5, 4], [2, 2], [3]], [7, 6])  # the two first fit in one way only, not the first that comes
@settings(max_examples=40, deadline=None)
def test_as_many_first_kits_as_can_be_have_all_their_lace(needs: list[list[int]], cards: list[int]) -> None:
    """Tried in every way: no more of the first kits could be whole; each length is cut once, none on top of another."""
    kits = tuple(lace_kit(str(number), *lengths) for number, lengths in enumerate(needs, start=1))
    stock = tuple(card(f"C{number}", float(length)) for number, length in enumerate(cards))
    (trim,) = trim_plans(kits, stock)
    cut = {each.piece_key for each in trim.cuts}
    lacking = {piece.key for piece in trim.unplaced}
    assert len(cut) == len(trim.cuts)
    assert (len(cut) + len(lacking), cut & lacking) == (sum(map(len, needs)), set())
    for each in stock:
        end_mm = 0.0
        for piece in sorted((c for c in trim.cuts if c.supply_key == each.key), key=lambda c: c.start_mm):
            assert piece.start_mm >= end_mm
            end_mm = piece.start_mm + piece.length_mm
        assert end_mm <= each.length_mm
    whole = next(
        (n for n, each in enumerate(kits) if any(key.startswith(f"{each.key}/") for key in lacking)),
        len(kits),
    )
    assert whole == max(
        n for n in range(len(needs) + 1) if fit_somehow([*chain.from_iterable(needs[:n])], cards)
    )


def fit_somehow(lengths: list[int], cards: list[int]) -> bool:
    """Can all these be cut, by trying every card for each?"""
    if not lengths:
        return True
    first, *rest = lengths
    return any(
        fit_somehow(rest, [*cards[:at], left - first, *cards[at + 1 :]])
        for at, left in enumerate(cards)
        if left >= first
    )


def test_edge_longer_than_any_card_is_named() -> None:
    """A hem longer than a whole card is asked for as one unjoined length, in the steps shops sell."""
    need = TrimNeed(material_key="lace", place="hem", length_mm=RULES.shop.card_um / 1000 + 1)
    shortage = only_shortage(plan(kit("K1", trims=(need,))))
    assert (shortage.unit, shortage.unit_count, shortage.unit_mm) == (
        "unjoined length",
        1,
        RULES.shop.card_um / 1000 + 100,
    )


def test_two_edges_of_one_place_have_keys_of_their_own() -> None:
    """A gown with two kinds of sleeve edge of one lace gets every length once."""
    needs = (
        TrimNeed(material_key="lace", place="sleeve", length_mm=200, count=2),
        TrimNeed(material_key="lace", place="sleeve", length_mm=250),
    )
    (trim,) = plan(kit("K1", gown_count=2, trims=needs), trims=(card("C1", 5000),)).trims
    assert len({cut.piece_key for cut in trim.cuts}) == 6
    assert sum(cut.length_mm for cut in trim.cuts) == 1300


def test_floss_is_wound_from_part_skeins_first() -> None:
    """Earlier kits get the part-used skein, the last one waits for the skein to buy."""
    need = (FlossNeed(material_key="moss", cuts=10),)
    skeins = (card("whole", 17 * 457, "moss"), card("part", 2 * 457, "moss", is_part=True))
    made = plan(kit("K1", floss=need), kit("K2", floss=need), skeins=skeins)
    assert made.floss[0].windings == (
        KitWinding(kit_key="K1", skein_key="part", cuts=2),
        KitWinding(kit_key="K1", skein_key="whole", cuts=8),
        KitWinding(kit_key="K2", skein_key="whole", cuts=9),
    )
    shortage = only_shortage(made)
    assert (shortage.unit, shortage.unit_count, shortage.short_mm, shortage.kit_keys) == (
        "skein",
        1,
        457,
        ("K2",),
    )


def test_kit_of_two_gowns_takes_floss_for_two() -> None:
    """A kit of two gowns is wound twice the cuts of one."""
    made = plan(kit("K1", gown_count=2, floss=(FlossNeed(material_key="moss", cuts=4),)))
    assert (made.floss[0].cuts, made.floss[0].short_cuts) == (8, 8)


def test_handbook_batch_takes_three_and_nine_skeins() -> None:
    """24 gowns of two cable rows and six wave rows take 48 and 144 cuts, 3 and 9 skeins of 8 m (derived)."""
    need = (FlossNeed(material_key="A", cuts=2), FlossNeed(material_key="B", cuts=6))
    made = plan(*(kit(f"K{number:02d}", floss=need) for number in range(24)))
    assert [(each.material_key, each.unit_count) for each in made.shortages] == [("A", 3), ("B", 9)]


def test_thread_is_bought_by_the_spool() -> None:
    """Thread that one spool does not cover is bought in whole spools, for the kit it does not reach."""
    need = (
        ThreadNeed(material_key="white", stitch_class="301", length_mm=50_000),
        ThreadNeed(material_key="white", stitch_class="304", length_mm=10_000),
    )
    made = plan(
        kit("K1", thread=need), kit("K2", gown_count=2, thread=need), spools=(card("T", 60_000, "white"),)
    )
    assert [(each.stitch_class, each.length_mm) for each in made.thread[0].by_class] == [
        ("301", 150_000),
        ("304", 30_000),
    ]
    shortage = only_shortage(made)
    assert (shortage.unit_count, shortage.short_mm, shortage.kit_keys) == (1, 120_000, ("K2",))


def test_notions_are_bought_by_the_piece() -> None:
    """Three fastenings for two gowns of two each leave one to buy, for the second kit."""
    need = (NotionNeed(material_key="fastening", count=2),)
    made = plan(
        kit("K1", notions=need),
        kit("K2", notions=need),
        notions=(StockCount(material_key="fastening", count=3),),
    )
    assert made.notions[0].left_count == 0
    assert (only_shortage(made).unit_count, only_shortage(made).kit_keys) == (1, ("K2",))


def test_enough_of_everything_buys_nothing() -> None:
    """A kit whose needs lie on the shelf leaves an empty shopping list and tells what is left."""
    made = plan(
        kit("K1", thread=(ThreadNeed(material_key="white", stitch_class="301", length_mm=1000),)),
        spools=(card("T", 5000, "white"),),
    )
    assert (made.shortages, made.thread[0].left_mm) == ((), 4000)


def test_cloth_is_bought_with_its_shrinkage() -> None:
    """A kit without cloth puts its lay, lengthened by 4 % shrinkage, on the list in tenths of a metre."""
    shortage = only_shortage(plan(kit("K1"), lots=()))
    assert shortage.short_mm == pytest.approx(100 / 0.96)
    assert (shortage.kind, shortage.unit_count, shortage.unit_mm) == ("cloth", 2, 100)


def test_cloth_is_bought_by_the_eighth_of_a_yard() -> None:
    """A group that measures in inches buys cloth in eighths of a yard."""
    rules = replace(RULES, measure="imperial")
    made = plan_batch(BatchOrder(kits=(kit("K1"),), rules=rules))
    assert (only_shortage(made).unit_count, only_shortage(made).unit_mm) == (1, 114.3)


def test_lays_are_as_long_as_the_groups_own_ruler_tells() -> None:
    """A square of 100 mm is measured off as 10 cm by one group and as 4 inches (101.6 mm) by the other."""
    lengths_mm = []
    for measure in ("metric", "imperial"):
        rules = BatchRules.from_figures(default_values(), measure=measure)
        (cut,) = plan_batch(BatchOrder(kits=(kit("K1"),), rules=rules, lots=(LOT,))).cuts
        lengths_mm.append(cut.lay.length_mm)
    assert lengths_mm == pytest.approx([100, 4 * 25.4])


def test_unwashed_cloth_is_not_bought_again() -> None:
    """A kit that only waits for cloth to be washed and measured buys none."""
    made = plan(kit("K1"), lots=(replace(LOT, state="as given"),))
    assert (made.unmade[0].reason.code, made.shortages) == ("not_measured", ())


def test_kit_without_cloth_reserves_nothing_else() -> None:
    """Lace and minutes go to the kits that can be cut; a kit without cloth waits for the next plan."""
    need = (TrimNeed(material_key="lace", place="hem", length_mm=400),)
    linen = kit("K2", cloth=ClothWishes(kinds=("linen",)), trims=need)
    made = plan(kit("K1", trims=need), linen, trims=(card("C1", 5000),))
    assert [cut.piece_key for cut in made.trims[0].cuts] == ["K1/hem/1"]
    assert (made.minutes, made.kits[1].lot_key) == (200, None)


def test_bias_square_is_cut_with_its_kit() -> None:
    """Bias for two gowns is one square of the kit's own cloth, large enough at the yield of the figure."""
    made = plan(kit("K1", gown_count=2, bias=(BiasNeed(length_mm=250, width_mm=32),)))
    (square,) = made.bias
    assert square.side_mm**2 * RULES.trims.bias_yield_share == pytest.approx(2 * 250 * 32)
    assert [piece.name for piece in made.cuts[0].pieces].count("bias square") == 1


def test_empty_batch_is_an_empty_plan() -> None:
    """A batch without kits plans nothing and buys nothing."""
    made = plan()
    assert (made.cuts, made.shortages, made.minutes) == ((), (), 0)


@pytest.mark.parametrize(
    ("kits", "message"),
    [
        ((kit("K1"), kit("K1")), "same key"),
        ((kit("K1/2"),), "slash"),
        ((kit("K1", gown_count=0),), "no gown"),
        ((kit("K1", pieces=()),), "no gown"),
    ],
)
def test_impossible_kits_are_refused(kits: tuple[BatchKit, ...], message: str) -> None:
    """Kits that share a key, have a slash in it or make no gown are refused before anything is planned."""
    with pytest.raises(ValueError, match=message):
        plan(*kits)


def test_plan_may_be_dealt_out_by_programme() -> None:
    """The best way makes as many gowns from no more lots, and says what was proven; the quick way proves nothing."""
    quick = plan_batch(full_order())
    best = plan_batch(full_order(), allocation="best")
    assert (len(best.unmade), len(best.cuts)) <= (len(quick.unmade), len(quick.cuts))
    assert quick.proven_gap_share is None
    assert best.proven_gap_share is not None
    assert from_document(to_document(best)) == best


def test_plan_stored_before_there_was_a_proof_is_read() -> None:
    """A plan stored without the fields of the proof reads as one that proves nothing."""
    document = to_document(plan(kit("K1")))
    del document["proven_gap_share"], document["least_lot_count"]
    assert from_document(document).least_lot_count is None


def test_memorial_kit_gets_the_cloth_first() -> None:
    """Where the cloth makes one kit only, it is the memorial one, whichever the order names first."""
    made = plan(kit("K1"), kit("K2", purpose="memorial"), lots=(replace(LOT, width_mm=125, length_mm=150),))
    assert [each.lot_key for each in made.kits] == [None, "L1"]


def test_kit_whose_lot_is_used_up_is_not_bought_for() -> None:
    """The rest of a set that was cut from a lot with no cloth left waits for a decision, not for a shop."""
    made = plan(kit("K1", lot_key="L9"))
    assert (made.unmade[0].reason.code, made.shortages) == ("other_lot", ())
