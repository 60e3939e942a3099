"""The shopping list: every kind of thing in the units shops sell."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gowngroup.planning.batch_plan import BatchRules
from gowngroup.planning.figures import default_values
from gowngroup.planning.lay.engines import QUICK_ENGINES
from gowngroup.planning.shopping.lists import shop_of, shopping_list
from gowngroup.planning.shopping.values import (
    CannotShop,
    ClothMissing,
    CountMissing,
    CutsMissing,
    LengthMissing,
    Missing,
    Package,
    Shortage,
    TrimMissing,
)
from gowngroup.planning.trims import CannotCutTrims, TrimPiece

RULES = BatchRules.from_figures(default_values())


def bought(missing: Missing, *packages: Package) -> tuple[Shortage, ...]:
    shop = shop_of(RULES.cloth_shop, RULES.floss, packages)
    return shopping_list([missing], shop, engines=QUICK_ENGINES)


def lace(*lengths_mm: float) -> TrimMissing:
    pieces = tuple(
        TrimPiece(key=f"{n}/hem/1", length_mm=length) for n, length in enumerate(lengths_mm, start=1)
    )
    return TrimMissing(material_key="lace", pieces=pieces)


def sold(material_key: str, **values: Any) -> Package:
    return Package(material_key=material_key, **values)


def told(missing: Missing, *packages: Package) -> list[tuple[str, int, float | None]]:
    return [(line.unit, line.unit_count, line.unit_mm) for line in bought(missing, *packages)]


def test_six_hems_need_six_cards_of_5_m() -> None:
    """Each card yields one hem of 3.4 m, whatever the pooled metres say."""
    assert told(lace(*[3400.0] * 6), sold("lace", length_mm=5000.0)) == [("card", 6, 5000)]


def test_a_card_that_shrinks_yields_less() -> None:
    """17 necks of 580 mm fill a card of 10 m; one that shrinks by 4 % holds 16, so a second is bought."""
    assert told(lace(*[580.0] * 17), sold("lace", shrink_share=0.04)) == [("card", 2, 10_000)]
    assert told(lace(*[580.0] * 17)) == [("card", 1, 10_000)]


def test_what_no_card_holds_is_bought_off_the_roll() -> None:
    """Beside the card an edge of 5.42 m is asked for in one length of 5.5 m."""
    lines = told(lace(5420.0, 300.0), sold("lace", length_mm=5000.0))
    assert lines == [("card", 1, 5000), ("unjoined length", 1, 5500)]
    assert told(lace(5420.0), sold("lace", length_mm=5000.0)) == lines[1:]


def test_off_the_roll_what_shrinks_is_bought_longer() -> None:
    """An edge of 5.42 m, of lace that shrinks by 4 %, is 5.646 m as bought: 5.7 m in tenths of a metre."""
    lines = told(lace(5420.0), sold("lace", length_mm=5000.0, shrink_share=0.04))
    assert lines == [("unjoined length", 1, 5700)]


def test_floss_is_bought_by_the_skein_of_its_own_length() -> None:
    """A skein of 8 m yields 17 cuts of 457 mm, one of 4.57 m ten: 20 cuts take two of either, 21 three short ones."""
    cuts = CutsMissing(material_key="rose", cuts=21, kit_keys=("1",))
    assert told(cuts) == [("skein", 2, 8000)]
    assert told(cuts, sold("rose", length_mm=RULES.floss.cut_mm * 10)) == [
        ("skein", 3, RULES.floss.cut_mm * 10)
    ]


def test_thread_is_bought_by_the_spool_of_its_own_length() -> None:
    """201 m take two spools of 200 m or one of 500."""
    thread = LengthMissing(material_key="white", length_mm=201_000.0, kit_keys=("1",))
    assert told(thread) == [("spool", 2, 200_000)]
    assert told(thread, sold("white", length_mm=500_000.0)) == [("spool", 1, 500_000)]


def test_things_counted_come_by_the_pack_where_they_are_packed() -> None:
    """Twelve fastenings are two packs of ten; without packs, twelve."""
    count = CountMissing(material_key="fastening", count=12, kit_keys=("1",))
    (packed,) = bought(count, sold("fastening", count=10))
    (single,) = bought(count)
    assert (packed.unit, packed.unit_count, packed.per_pack, packed.short_count) == ("pack", 2, 10, 12)
    assert (single.unit, single.unit_count) == ("piece", 12)


def test_what_is_bought_beyond_the_need_is_known() -> None:
    """A card of 10 m for one hem of 3.4 m leaves 6.6 m; of things counted no length is told."""
    (card,) = bought(lace(3400.0))
    (fastening,) = bought(CountMissing(material_key="fastening", count=1, kit_keys=("1",)))
    assert (card.spare_mm, fastening.spare_mm) == (6600, None)


@given(lengths=st.lists(st.integers(100, 4000).map(float), min_size=1, max_size=8))
def test_cards_are_long_enough_in_all(lengths: list[float]) -> None:
    """What is bought is never shorter than what is missing."""
    (line,) = bought(lace(*lengths), sold("lace", length_mm=5000.0))
    assert line.unit_count * 5000 >= sum(lengths) == line.short_mm


@pytest.mark.parametrize(
    ("missing", "package", "named"),
    [
        (lace(300.0), sold("lace", length_mm=0.0), "lace"),
        (CountMissing(material_key="bags", count=1, kit_keys=()), sold("bags", count=0), "bags"),
        (lace(300.0), sold("lace", shrink_share=1.0), "lace"),
        (CutsMissing(material_key="rose", cuts=1, kit_keys=()), sold("rose", length_mm=100.0), "rose"),
        (ClothMissing(material_key="batiste", pieces=(), kit_keys=()), sold("batiste"), "batiste"),
    ],
)
def test_the_material_at_fault_is_named(missing: Missing, package: Package, named: str) -> None:
    """A package that holds nothing, a skein shorter than a cut, cloth for no piece."""
    with pytest.raises(CannotShop, match=named):
        bought(missing, package)


def test_the_piece_at_fault_is_named() -> None:
    """A length that is none is refused with the name of its piece."""
    with pytest.raises(CannotCutTrims, match="1/hem/1"):
        bought(lace(float("nan")))
