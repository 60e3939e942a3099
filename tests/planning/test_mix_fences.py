"""Fences shut out gowns that no lots can hold, and never any that can be cut."""

from collections.abc import Iterator
from dataclasses import replace
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gowngroup.planning.mix import ClothRoom, MixRules
from gowngroup.planning.mix import fences as fences_of_mix
from gowngroup.planning.mix.fences import Fences
from gowngroup.planning.mix.problem import Problem, problem_of
from tests.planning.mix_cast import LARGE, SMALL, WRAP, ask, means

KINDS = (SMALL, LARGE, WRAP)


def month(areas_mm2: tuple[float, ...], rooms_mm2: tuple[float, ...], *, asked: int = 3) -> Problem:
    """Small gowns, large gowns and wraps on lots; the first lot does not suit the large ones. Wraps are kind 0."""
    keys = [f"lot {number}" for number in range(len(rooms_mm2))]
    choices = [
        replace(kind, cloth_mm2=area_mm2, lot_keys=tuple(keys[kind is LARGE :]))
        for kind, area_mm2 in zip(KINDS, areas_mm2, strict=True)
    ]
    cloth = [ClothRoom(lot_key=key, area_mm2=room) for key, room in zip(keys, rooms_mm2, strict=True)]
    asks = [ask("A", asked, kind) for kind in KINDS]
    return problem_of(asks, **{"demands": (), "rules": MixRules(), **means(choices=choices, cloth=cloth)})


def cuttable(problem: Problem) -> set[tuple[int, ...]]:
    """Every count of kinds that comes whole out of the lots, tried one by one."""
    kinds = problem.kinds()
    every = {(0,) * len(kinds)}
    for room in problem.rooms:
        every = {
            tuple(map(sum, zip(before, here, strict=True)))
            for before in every
            for here in _fillings(problem, room.lot_key, room.area_mm2)
        }
    return every


def _fillings(problem: Problem, lot_key: str, area_mm2: float) -> Iterator[tuple[int, ...]]:
    kinds = problem.kinds()
    for counts in product(*(range(4 if lot_key in kind.lot_keys else 1) for kind in kinds)):
        if sum(kind.area_mm2 * count for kind, count in zip(kinds, counts, strict=True)) <= area_mm2 + 1e-9:
            yield counts


def worth(fences: Fences, number: int, counts: tuple[int, ...]) -> float:
    """What gowns are worth by the fence of this number."""
    worths = fences.found[number].worths
    by_kind = [worths.get(kind.choice_numbers[0], 0.0) for kind in fences.kinds]
    return sum(each * count for each, count in zip(by_kind, counts, strict=True))


areas = st.tuples(*[st.integers(2, 9).map(float)] * 3)
rooms = st.lists(st.integers(1, 20).map(float), min_size=2, max_size=3).map(tuple)


@settings(deadline=None, max_examples=40)
@given(areas, rooms, st.tuples(*[st.integers(0, 3)] * 3))
def test_what_can_be_cut_lies_within_every_fence(
    areas_mm2: tuple[float, ...], rooms_mm2: tuple[float, ...], counts: tuple[int, ...]
) -> None:
    """A fence stands between the counts it was sought for and all that come whole out of the lots, tried one by one."""
    problem = month(areas_mm2, rooms_mm2)
    fences = Fences(problem)
    can_be_cut = cuttable(problem)
    counts = counts[: len(fences.kinds)]
    fence = fences.against(counts)
    if fence is None:
        return
    most = sum(fence.most_by_lot.values())
    assert worth(fences, 0, counts) > most
    assert all(worth(fences, 0, each) <= most + 1e-5 for each in can_be_cut)


def test_two_gowns_of_six_do_not_share_three_lots_of_ten() -> None:
    """Thirty of cloth hold five gowns of six by area, but only one comes out of each lot of ten: a fence says so."""
    problem = month((6.0, 6.0, 1.0), (10.0, 10.0, 10.0))
    fences = Fences(problem)
    assert fences.against([0.0, 1.0, 2.0]) is None
    assert fences.against([0.0, 2.0, 2.0]) is not None
    assert fences.against([0.0, 0.0, 3.0]) is not None, "one of the lots does not suit the larger gowns"


def test_half_gowns_are_shut_out_too() -> None:
    """Shares of gowns count like gowns: half of a full lot may be one thing and half of it another."""
    fences = Fences(month((10.0, 5.0, 1.0), (10.0, 10.0)))
    assert fences.against([0.0, 1.5, 1.0]) is None
    assert fences.against([0.0, 1.5, 1.2]) is not None


def test_cloth_without_end_has_no_fence() -> None:
    """Gowns that a lot of any length suits are never shut out."""
    fences = Fences(month((6.0, 6.0, 1.0), (10.0, float("inf"))))
    assert fences.against([9.0, 9.0, 9.0]) is None


def test_no_rounds_no_fence(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the rounds run out the pooled cloth is believed, and its answer looked at lot by lot."""
    monkeypatch.setattr(fences_of_mix, "MOST_ROUNDS", 0)
    assert Fences(month((6.0, 6.0, 1.0), (10.0, 10.0))).against([3.0, 0.0, 0.0]) is None


def test_rounding_shuts_nothing_out(monkeypatch: pytest.MonkeyPatch) -> None:
    """Counted in the coarsest steps a fence may be missed, but what can be cut stays within those found."""
    monkeypatch.setattr(fences_of_mix, "STEPS", 7)
    problem = month((4.3, 3.1, 2.2), (9.9, 8.7))
    fences = Fences(problem)
    can_be_cut = cuttable(problem)
    for counts in product(range(5), repeat=3):
        fences.against(counts)
    assert fences.found
    for number, fence in enumerate(fences.found):
        most = sum(fence.most_by_lot.values())
        assert all(worth(fences, number, each) <= most + 1e-5 for each in can_be_cut)
