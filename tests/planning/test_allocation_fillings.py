"""Ways to fill a lot: against every way there is, tried one by one."""

from itertools import product

from hypothesis import given, settings
from hypothesis import strategies as st

from gowngroup.planning.allocation.fillings import Filling, Size, every, fullest, total_mm2

sizes_strategy = st.lists(st.builds(Size, area_mm2=st.integers(5, 40), most=st.integers(0, 3)), max_size=4)


def all_fillings(sizes: list[Size], capacity_mm2: float) -> set[Filling]:
    choices = product(*(range(size.most + 1) for size in sizes))
    return {counts for counts in choices if total_mm2(counts, sizes) <= capacity_mm2}


@settings(deadline=None, max_examples=60)
@given(sizes_strategy, st.integers(0, 120))
def test_fillings_are_all_there_are(sizes: list[Size], capacity_mm2: int) -> None:
    """Every filling is listed once, and as full ones just those to which no group left out could be added."""
    possible = all_fillings(sizes, capacity_mm2)
    steps = [tuple(int(at == place) for place in range(len(sizes))) for at in range(len(sizes))]
    full = {
        filling
        for filling in possible
        if not any(tuple(map(sum, zip(filling, step, strict=True))) in possible for step in steps)
    }
    for found, expected in (
        (every(sizes, capacity_mm2, at_most=999), possible),
        (fullest(sizes, capacity_mm2, at_most=999), full),
    ):
        assert found is not None
        assert sorted(found) == sorted(expected)


def test_too_many_fillings_are_not_listed() -> None:
    """Three groups of two sizes that fit three at a time: four full fillings, and ten in all."""
    sizes = [Size(area_mm2=30, most=3), Size(area_mm2=31, most=3)]
    assert len(fullest(sizes, 95, at_most=4) or ()) == 4
    assert fullest(sizes, 95, at_most=3) is None
    assert len(every(sizes, 95, at_most=10) or ()) == 10
    assert every(sizes, 95, at_most=9) is None


def test_looking_for_full_fillings_ends() -> None:
    """Where nearly all that is tried could be filled up further, the list is given up."""
    sizes = [Size(area_mm2=area, most=1) for area in range(100, 120)] + [Size(area_mm2=1, most=1)]
    assert fullest(sizes, 1500, at_most=1) is None
