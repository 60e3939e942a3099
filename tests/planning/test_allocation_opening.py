"""What the opening programme proves of lots and kits: against every dealing out, tried one by one."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gowngroup.planning.allocation import opening
from gowngroup.planning.allocation.opening import OpeningProgramme
from gowngroup.planning.allocation.problem import Problem, Reached
from gowngroup.planning.allocation.settling import settled
from gowngroup.planning.allocation.sorts import sorts_of
from tests.planning.test_allocation_programme import crowd, dealings, need, nothing, problems, room


def programme(
    problem: Problem, reached: Reached, *, most_fillings: int, keeps_left_overs: bool = False
) -> OpeningProgramme:
    return OpeningProgramme(
        problem,
        sorts_of(problem),
        reached,
        most_fillings=most_fillings,
        keeps_left_overs=keeps_left_overs,
    )


@settings(deadline=None, max_examples=40)
@given(problems(), st.sampled_from([0, 3, 400]))
def test_no_dealing_out_betters_what_is_proven(problem: Problem, most_fillings: int) -> None:
    """Of all dealings out none makes more gowns, opens fewer lots or uses up less, however many lots are poured full."""
    start = settled(problem, nothing(problem))
    first, gowns = problem.gowns(start, first_only=True), problem.gowns(start)
    every = list(dealings(problem))
    alike = [
        each
        for each in every
        if problem.gowns(each, first_only=True) >= first and problem.gowns(each) >= gowns
    ]
    rooms = len(problem.rooms)
    free = programme(problem, Reached(rooms=rooms), most_fillings=most_fillings)
    assert free.most_gowns(first_only=True) >= max(problem.gowns(each, first_only=True) for each in every)
    assert free.most_gowns(first_only=False) >= max(map(problem.gowns, every))
    reached = Reached(first=first, gowns=gowns, rooms=rooms)
    fewest = programme(problem, reached, most_fillings=most_fillings).fewest_rooms()
    assert fewest <= min(len(problem.opened(each)) for each in alike)
    kept = programme(problem, reached, most_fillings=most_fillings, keeps_left_overs=True)
    assert kept.least_used_up_mm2(gap_share=0.0) <= min(map(problem.used_up_mm2, alike)) + 2


def test_fillings_prove_what_areas_do_not() -> None:
    """Three kits of 60 go into lots of 100 one by one: poured, their areas would go into two."""
    problem = Problem(needs=(need(60, 0, 1, 2, count=3),), rooms=(room(100),) * 3)
    reached = Reached(gowns=3, rooms=3)
    assert programme(problem, reached, most_fillings=0).fewest_rooms() == 2
    assert programme(problem, reached, most_fillings=9).fewest_rooms() == 3


def test_no_left_over_can_be_useful_where_all_is_needed() -> None:
    """Two kits that fill their lots leave nothing; of a lot of 100 a kit of 60 leaves forty, useful from 35 on."""
    problem = Problem(needs=(need(60, 0, count=1), need(60, 1)), rooms=(room(100), room(62)))
    asked = programme(
        problem, Reached(gowns=2, rooms=2, least_rooms=2), most_fillings=0, keeps_left_overs=True
    )
    assert asked.least_used_up_mm2(gap_share=0.0) == pytest.approx(12200, abs=1)


@pytest.mark.parametrize("seed", [1, 7])
def test_where_steps_run_out_a_weaker_bound_is_told(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """Without steps nothing is dealt out, and the bound, with kits parted at will, is no better than with them."""
    problem = crowd(seed)
    reached = Reached(rooms=len(problem.rooms))
    best = programme(problem, reached, most_fillings=400).most_gowns(first_only=False)
    monkeypatch.setattr(opening, "_MOST_NODES", 0)
    hasty = programme(problem, reached, most_fillings=400)
    assert hasty.most_gowns(first_only=False) >= best


def test_nothing_found_is_not_dealt_out() -> None:
    """Before anything was asked there is nothing to deal out."""
    problem = Problem(needs=(need(60, 0),), rooms=(room(100),))
    assert programme(problem, Reached(rooms=1), most_fillings=9).counts() is None


def test_what_does_not_go_in_whole_is_not_dealt_out() -> None:
    """Three kits of 60 can be poured into two lots of 100, but not packed."""
    problem = Problem(needs=(need(60, count=3),), rooms=(room(100),) * 2)
    asked = programme(problem, Reached(gowns=3, rooms=2), most_fillings=0)
    assert asked.fewest_rooms() == 2
    assert asked.counts() is None


def test_what_leaves_room_is_packed() -> None:
    """Of kits too many the small ones are made, and they lie in both lots that are poured full together."""
    problem = Problem(needs=(need(49, count=4), need(52, count=4)), rooms=(room(100),) * 2)
    asked = programme(problem, Reached(gowns=4, rooms=2), most_fillings=0)
    asked.make_room()
    assert asked.counts() == ((2, 2), (0, 0))
