"""The shopping list of a whole batch, both scenarios, and what is left over."""

import json
from dataclasses import replace

from gowngroup.planning.allocation import ClothWishes
from gowngroup.planning.batch_plan import (
    BatchKit,
    BatchPlan,
    BiasNeed,
    FlossNeed,
    NotionNeed,
    Package,
    StockCount,
    ThreadNeed,
    TrimNeed,
    from_document,
    left_overs,
    scenarios,
    to_document,
)
from gowngroup.planning.lay.check import lay_faults
from tests.planning.test_batch_plan import LOT, RULES, SQUARE, card, kit, plan

LACE = TrimNeed(material_key="lace", place="hem", length_mm=900)
FULL = {
    "trims": (LACE,),
    "floss": (FlossNeed(material_key="rose", cuts=4),),
    "thread": (ThreadNeed(material_key="white", stitch_class="301", length_mm=50_000),),
    "notions": (NotionNeed(material_key="fastening", count=1),),
}


def full(key: str, **more: object) -> BatchKit:
    """A kit with everything a gown can need."""
    return kit(key, **(FULL | more))


def lines(made: BatchPlan) -> dict[str, tuple[int, tuple[str, ...]]]:
    """Units to buy and kits waiting, by material."""
    return {each.material_key: (each.unit_count, each.kit_keys) for each in made.shortages}


def test_a_kit_without_cloth_is_shopped_for_whole() -> None:
    """Its lace, floss, thread and fastening stand on the same list as its cloth, so that one trip is enough."""
    made = plan(full("1"), lots=())
    assert lines(made) == {
        "batiste": (2, ("1",)),
        "lace": (1, ("1",)),
        "rose": (1, ("1",)),
        "white": (1, ("1",)),
        "fastening": (1, ("1",)),
    }


def test_what_is_there_serves_the_kits_that_can_be_cut_first() -> None:
    """One lace, one fastening: kit 2 with cloth gets them, kit 1 without has to wait for both."""
    velvet = ClothWishes(kinds=("velvet",))
    made = plan(
        kit("1", trims=(LACE,), notions=FULL["notions"], cloth=velvet),
        kit("2", trims=(LACE,), notions=FULL["notions"]),
        trims=(card("C1", 1700),),
        notions=(StockCount(material_key="fastening", count=1),),
    )
    assert [cut.piece_key for trim in made.trims for cut in trim.cuts] == ["2/hem/1"]
    assert lines(made)["lace"] == (1, ("1",))
    assert lines(made)["fastening"] == (1, ("1",))


def test_a_kit_that_takes_none_waits_for_none() -> None:
    """Kit 1 takes the one fastening there is and kit 3 lacks one; kits 2 and 4, which have none, wait for nothing."""
    made = plan(
        kit("1", notions=FULL["notions"]),
        kit("2"),
        kit("3", notions=FULL["notions"]),
        kit("4"),
        notions=(StockCount(material_key="fastening", count=1),),
    )
    assert lines(made) == {"fastening": (1, ("3",))}


def test_a_waiting_kit_uses_what_is_left_on_the_card() -> None:
    """Of 2 m of lace kit 2 takes 0.9 m, and what stays is enough for kit 1, so none is bought."""
    made = plan(
        kit("1", trims=(LACE,), cloth=ClothWishes(kinds=("velvet",))),
        kit("2", trims=(LACE,)),
        trims=(card("C1", 2000),),
    )
    assert set(lines(made)) == {"velvet"}


def test_a_card_used_to_its_end_is_gone() -> None:
    """Kit 2 takes all of the card, so kit 1 without cloth needs a new one."""
    waiting = kit("1", trims=(LACE,), cloth=ClothWishes(kinds=("velvet",)))
    made = plan(waiting, kit("2", trims=(LACE,)), trims=(card("C1", 900),))
    assert lines(made)["lace"] == (1, ("1",))


def test_cloth_is_bought_at_one_width_of_several() -> None:
    """The list names the width with least cloth bought and what the others would come to."""
    (line,) = plan(kit("1", pieces=SQUARE * 8), lots=()).shortages
    assert line.width_mm == line.widths[0].width_mm
    assert {offer.width_mm for offer in line.widths} == set(RULES.shop_widths_mm)
    assert line.widths[0].area_mm2 == min(offer.area_mm2 for offer in line.widths)


def test_the_materials_own_package_counts() -> None:
    """Lace sold in cards of 1 m is bought by those."""
    made = plan(kit("1", trims=(LACE, LACE)), packages=(Package(material_key="lace", length_mm=1000),))
    assert lines(made)["lace"] == (2, ("1",))


def test_a_plan_with_and_without_buying() -> None:
    """Kit 1 has everything, kit 2 lacks lace, kit 3 cloth, kit 4 only a wash of its cloth."""
    unwashed = replace(LOT, key="L2", kind="lawn", state="as given")
    made = plan(
        kit("1"),
        kit("2", trims=(LACE,), gown_count=2),
        kit("3", cloth=ClothWishes(kinds=("velvet",))),
        kit("4", cloth=ClothWishes(kinds=("lawn",))),
        lots=(LOT, unwashed),
    )
    found = scenarios(made)
    assert (found.without_buying.kit_keys, found.without_buying.gown_count) == (("1",), 1)
    assert (found.with_buying.kit_keys, found.with_buying.gown_count) == (("1", "2", "3"), 4)
    assert found.still_waiting.kit_keys == ("4",)


def test_left_overs_are_told_by_lot() -> None:
    """Cloth, lace and floss name what they stay on and whether it is worth keeping; thread and things are pooled."""
    made = plan(
        full("1"),
        trims=(card("C1", 2000),),
        skeins=(card("S1", 8000, "rose"),),
        spools=(card("T1", 60_000, "white"),),
        notions=(StockCount(material_key="fastening", count=3),),
    )
    told = [(each.kind, each.supply_key or each.material_key, each.is_useful) for each in left_overs(made)]
    assert told == [
        ("cloth", "L1", True),
        ("trim", "C1", True),
        ("floss", "S1", True),
        ("thread", "white", None),
        ("notion", "fastening", None),
    ]
    assert [each.amount for each in left_overs(made)][1:] == [1100, 8000 - 4 * RULES.floss.cut_mm, 10_000, 2]


def test_lace_is_measured_in_whole_millimetres() -> None:
    """An edge of 583.2 mm is cut at 584, and the cutting is proven."""
    made = plan(kit("1", trims=(replace(LACE, length_mm=583.2),)), trims=(card("C1", 2000),))
    (lace,) = made.trims
    assert ([cut.length_mm for cut in lace.cuts], lace.is_proven) == ([584], True)


def test_a_plan_from_before_the_widths_reads_as_before() -> None:
    """What was stored without widths, packs and proofs reads with none of them."""
    document = to_document(plan(kit("1", trims=(LACE,)), trims=(card("C1", 1000),)))
    old = json.loads(json.dumps(document))
    for trim in old["trims"]:
        del trim["score"], trim["bound"]
    old["shortages"] = [
        {"kind": "cloth", "material_key": "", "unit": "cloth length", "unit_count": 3, "unit_mm": 100.0,
         "short_mm": 250.0, "kit_keys": ["1"]}
    ]  # fmt: skip
    read = from_document(old)
    (line,) = read.shortages
    assert (line.width_mm, line.widths, line.per_pack, line.spare_mm) == (None, (), None, 50)
    assert not read.trims[0].is_proven


def test_bias_lies_in_the_lay_beside_the_other_pieces() -> None:
    """The square for 500 mm of 32 mm bias at 0.83 is 139 mm wide and overlaps nothing."""
    (cut,) = plan(kit("1", bias=(BiasNeed(length_mm=500, width_mm=32),))).cuts
    square = next(piece for piece in cut.pieces if piece.name == "bias square")
    assert round(max(x for x, _ in square.outline)) == 139
    assert lay_faults(cut.lay, cut.pieces, cut.strip) == ()
