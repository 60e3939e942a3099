"""Kits packed into lots with hardly anything to spare."""

import random
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gowngroup.planning.allocation.fillings import Size, total_mm2
from gowngroup.planning.allocation.packing import packed


def is_possible(areas: list[int], capacities: list[int]) -> bool:
    """Whether some choice of a lot for each group overfills none, all choices tried."""
    lots = range(len(capacities))
    return any(
        all(
            sum(area for area, at in zip(areas, choice, strict=True) if at == lot) <= capacities[lot]
            for lot in lots
        )
        for choice in product(lots, repeat=len(areas))
    )


@settings(deadline=None, max_examples=60)
@given(
    st.lists(st.tuples(st.integers(1, 30), st.integers(0, 2)), max_size=3),
    st.lists(st.integers(1, 60), max_size=3),
)
def test_all_that_can_be_packed_is(groups: list[tuple[int, int]], capacities: list[int]) -> None:
    """A packing is found just where trying everything finds one; it holds every group and overfills no lot."""
    sizes = [Size(area_mm2=area, most=count) for area, count in groups]
    found = packed(sizes, capacities)
    areas = [area for area, count in groups for _ in range(count)]
    assert (found is not None) == is_possible(areas, capacities)
    if found is not None:
        assert [sum(column) for column in zip(*found, strict=True)] == [
            size.most for size in sizes if capacities
        ]
        for filling, capacity in zip(found, capacities, strict=True):
            assert total_mm2(filling, sizes) <= capacity


@pytest.mark.parametrize("seed", range(4))
def test_lots_cut_up_are_put_together_again(seed: int) -> None:
    """Five lots cut into six pieces each, at odd places: the pieces go in again, with a thousandth to spare."""
    chance = random.Random(seed)  # noqa: S311 - invented stock, no secret
    areas = []
    for _ in range(5):
        cuts = sorted(chance.sample(range(50, 4000, 7), 5))
        areas += [after - before for before, after in zip([0, *cuts], [*cuts, 4000], strict=True)]
    sizes = [Size(area_mm2=area, most=1) for area in areas]
    found = packed(sizes, [4004.0] * 5)
    assert found is not None
    assert all(total_mm2(filling, sizes) <= 4004 for filling in found)
    assert [sum(column) for column in zip(*found, strict=True)] == [1] * 30


def test_a_search_without_end_is_given_up() -> None:
    """Pieces of whole areas never fill three lots to just under a whole one: the steps run out, nothing is found."""
    sizes = [Size(area_mm2=1000 + 3**k % 997, most=1) for k in range(32)]
    whole = sum(size.area_mm2 for size in sizes) // 4
    assert packed(sizes, [whole - 0.05] * 3 + [whole + 4.15]) is None


def test_a_filling_that_leads_nowhere_is_taken_back() -> None:
    """Of the ways to fill the first lot only some leave what fills the others."""
    sizes = [Size(area_mm2=area, most=most) for area, most in ((61, 1), (39, 2), (31, 1), (30, 3), (40, 1))]
    lots = [100, 100, 100]
    assert is_possible([61, 39, 39, 31, 30, 30, 30, 40], lots) == (packed(sizes, lots) is not None)
