from hypothesis import given, settings

from gowngroup.planning.allocation.problem import Counts, Problem
from gowngroup.planning.allocation.squeezing import squeezed
from tests.planning.test_allocation_programme import CM2, dealings, need, problems, room


def capacities(problem: Problem) -> list[float]:
    return [each.capacity_mm2 for each in problem.rooms]


def all_in_their_first(problem: Problem) -> Counts:
    """Every group in the first room that suits it, whether it holds them or not."""
    return tuple(
        tuple(each.count if number == each.rooms[0] else 0 for number in range(len(problem.rooms)))
        for each in problem.needs
    )


def test_two_lots_that_fit_only_one_way_are_filled() -> None:
    """Kits of 60, 40, 70 and 30 all put on one lot of a hundred are dealt to two."""
    problem = Problem(needs=tuple(need(area) for area in (60, 40, 70, 30)), rooms=(room(100), room(100)))
    found = squeezed(problem, all_in_their_first(problem), capacities(problem))
    assert found is not None
    assert [problem.filled_mm2(found, number) for number in (0, 1)] == [100 * CM2, 100 * CM2]


def test_a_kit_is_left_out_for_one_that_counts_as_much() -> None:
    """The lot holds the smaller of two kits, so the larger is left out for it; never a first kit for another."""
    lot = (room(50),)
    problem = Problem(needs=(need(60, 0), need(40, 0)), rooms=lot)
    assert squeezed(problem, ((1,), (0,)), capacities(problem)) == ((0,), (1,))
    problem = Problem(needs=(need(60, 0, is_first=True), need(40, 0)), rooms=lot)
    assert squeezed(problem, ((1,), (0,)), capacities(problem)) is None


def test_a_lot_given_no_room_is_emptied() -> None:
    """Where a lot may hold nothing its kits go to the other, if they fit there."""
    problem = Problem(needs=(need(30, count=2),), rooms=(room(100), room(70)))
    assert squeezed(problem, ((2, 0),), (0.0, 70 * CM2)) == ((0, 2),)
    assert squeezed(problem, ((2, 0),), (0.0, 50 * CM2)) is None


def test_no_kits_need_no_room() -> None:
    """Without kits there is nothing to move."""
    assert squeezed(Problem(needs=(), rooms=(room(9),)), (), (0.0,)) == ()


@settings(max_examples=40, deadline=None)
@given(problems())
def test_what_is_squeezed_in_fits_and_counts_as_much(problem: Problem) -> None:
    """Counts come back only where they keep to the capacities, with no fewer gowns, first or other."""
    start = all_in_their_first(problem)
    found = squeezed(problem, start, capacities(problem), tries=50)
    if found is None:
        assert not problem.is_possible(start)
    else:
        assert problem.is_possible(found)
        assert all(sum(row) <= each.count for row, each in zip(found, problem.needs, strict=True))
        assert problem.gowns(found) >= problem.gowns(start)
        assert problem.gowns(found, first_only=True) >= problem.gowns(start, first_only=True)


def test_every_way_out_is_found_where_there_are_few() -> None:
    """Three kits in two lots that hold them in just one way are brought there."""
    problem = Problem(needs=(need(50), need(30), need(20)), rooms=(room(50), room(50)))
    found = squeezed(problem, ((1, 0), (1, 0), (1, 0)), capacities(problem))
    assert found in set(dealings(problem))
