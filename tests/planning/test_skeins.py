"""Cuts taken from skeins on the shelf."""

import math
from dataclasses import replace
from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gowngroup.planning.skeins import SkeinSupply, allocate_cuts
from tests.planning.smocking_cast import FLOSS

WHOLE = SkeinSupply(key="whole", length_mm=8000, is_part=False)
HALF = SkeinSupply(key="half", length_mm=4000, is_part=True)
STUB = SkeinSupply(key="stub", length_mm=1400, is_part=True)


def test_part_used_skeins_come_first_and_the_shortest_of_them() -> None:
    """Three cuts of a stub, eight of a half skein, and only then a whole one."""
    plan = allocate_cuts(13, (WHOLE, HALF, STUB), FLOSS)
    assert [(take.key, take.cuts) for take in plan.takes] == [("stub", 3), ("half", 8), ("whole", 2)]
    assert (plan.short_cuts, plan.skeins_to_buy) == (0, 0)


def test_what_stays_on_a_skein_is_told() -> None:
    """A whole skein less two cuts of 457 mm keeps 7086 mm, fifteen cuts."""
    (take,) = allocate_cuts(2, (WHOLE,), FLOSS).takes
    assert (take.length_mm, take.left_mm, take.left_cuts) == (914, 7086, 15)


@pytest.mark.parametrize(("cuts", "is_useful"), [(5, True), (6, False)])
def test_fewer_than_three_cuts_left_are_not_worth_keeping(cuts: int, is_useful: bool) -> None:
    """The least useful left-over of floss is three cuts (common practice)."""
    (take,) = allocate_cuts(cuts, (HALF,), FLOSS).takes
    assert take.is_left_over_useful == is_useful


def test_missing_cuts_are_bought_in_whole_skeins() -> None:
    """Eighteen missing cuts of 457 mm need two skeins of seventeen."""
    plan = allocate_cuts(26, (HALF,), FLOSS)
    assert (plan.short_cuts, plan.skeins_to_buy) == (18, 2)


def test_a_skein_shorter_than_a_cut_is_left_alone() -> None:
    """A scrap gives no cut and is not opened."""
    scrap = SkeinSupply(key="scrap", length_mm=456, is_part=True)
    assert [take.key for take in allocate_cuts(1, (scrap, WHOLE), FLOSS).takes] == ["whole"]


def test_two_skeins_with_one_key_are_refused() -> None:
    """A take must point to one skein only."""
    with pytest.raises(ValueError, match="key of its own"):
        allocate_cuts(1, (WHOLE, replace(WHOLE)), FLOSS)


SKEINS = st.lists(
    st.tuples(st.integers(0, 9000), st.booleans()),
    max_size=8,
).map(
    lambda rows: tuple(
        SkeinSupply(key=str(n), length_mm=float(length), is_part=is_part)
        for n, (length, is_part) in enumerate(rows)
    )
)


@given(cuts=st.integers(0, 120), supplies=SKEINS)
def test_cuts_are_taken_or_missing_and_no_skein_is_overdrawn(
    cuts: int, supplies: tuple[SkeinSupply, ...]
) -> None:
    """Every cut comes from a skein long enough, or is counted as missing."""
    plan = allocate_cuts(cuts, supplies, FLOSS)
    assert sum(take.cuts for take in plan.takes) + plan.short_cuts == cuts
    assert all(take.left_mm >= 0 for take in plan.takes)
    if plan.short_cuts:
        assert sum(take.cuts for take in plan.takes) == sum(int(skein.length_mm // 457) for skein in supplies)


@given(cuts=st.integers(0, 120), supplies=SKEINS)
def test_the_order_of_the_shelf_does_not_matter(cuts: int, supplies: tuple[SkeinSupply, ...]) -> None:
    """The same skeins in another order give the same cuts."""
    assert allocate_cuts(cuts, supplies, FLOSS) == allocate_cuts(cuts, supplies[::-1], FLOSS)


def fewest_opened(cuts: int, supplies: tuple[SkeinSupply, ...]) -> int:
    """Fewest whole skeins that give what the part-used ones do not, found by trying every choice."""
    parts = sum(int(skein.length_mm // 457) for skein in supplies if skein.is_part)
    whole = [int(skein.length_mm // 457) for skein in supplies if not skein.is_part]
    for count in range(len(whole)):
        if any(parts + sum(chosen) >= cuts for chosen in combinations(whole, count)):
            return count
    return sum(each > 0 for each in whole)


@given(cuts=st.integers(0, 120), supplies=SKEINS)
def test_no_skein_is_opened_that_need_not_be(cuts: int, supplies: tuple[SkeinSupply, ...]) -> None:
    """Trying every choice of skeins finds none that opens fewer whole ones."""
    whole = {skein.key for skein in supplies if not skein.is_part}
    opened = sum(take.key in whole for take in allocate_cuts(cuts, supplies, FLOSS).takes)
    assert opened == fewest_opened(cuts, supplies)


@given(cuts=st.integers(0, 120), supplies=SKEINS)
def test_whole_skeins_wait_for_the_part_used(cuts: int, supplies: tuple[SkeinSupply, ...]) -> None:
    """Where a whole skein is opened every part-used one is used up to its last cut."""
    takes = {take.key: take for take in allocate_cuts(cuts, supplies, FLOSS).takes}
    parts = [skein for skein in supplies if skein.is_part and skein.length_mm >= 457]
    if any(not skein.is_part and skein.key in takes for skein in supplies):
        assert all(takes[part.key].left_cuts == 0 for part in parts)


@given(cuts=st.integers(0, 120), supplies=SKEINS)
def test_as_few_new_skeins_are_bought_as_can_be(cuts: int, supplies: tuple[SkeinSupply, ...]) -> None:
    """One skein fewer than those to buy would leave cuts missing."""
    plan = allocate_cuts(cuts, supplies, FLOSS)
    assert 17 * plan.skeins_to_buy >= plan.short_cuts
    assert plan.skeins_to_buy == 0 or 17 * (plan.skeins_to_buy - 1) < plan.short_cuts


def test_the_last_skein_opened_is_the_shortest_that_suffices() -> None:
    """A card of five metres is opened for two cuts, the eight metres stay whole."""
    card = SkeinSupply(key="card", length_mm=5000, is_part=False)
    assert [take.key for take in allocate_cuts(2, (WHOLE, card), FLOSS).takes] == ["card"]
    assert [take.key for take in allocate_cuts(19, (card, WHOLE), FLOSS).takes] == ["whole", "card"]


@pytest.mark.parametrize("length_mm", [math.nan, math.inf, -1.0])
def test_a_skein_of_no_length_is_named(length_mm: float) -> None:
    """A length that is none is refused with the skein's key."""
    with pytest.raises(ValueError, match=r"skein odd: .* is no length"):
        allocate_cuts(3, (HALF, SkeinSupply(key="odd", length_mm=length_mm, is_part=False)), FLOSS)


def test_a_skein_that_just_suffices_is_opened() -> None:
    """Of skeins with 17 and 34 cuts 17 cuts come from the one that gives no more."""
    long = replace(WHOLE, key="long", length_mm=16_000)
    assert [take.key for take in allocate_cuts(17, (long, WHOLE), FLOSS).takes] == ["whole"]
