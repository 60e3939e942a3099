"""The solver's wrapper: whole answers, checked, the same each time, and one error for what goes wrong."""

import math
import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gowngroup.planning.integer_programme import CannotSolve, GaveUp, NoAnswer, Programme, total_of


def knapsack(areas: list[int], room: int) -> tuple[Programme, list[int]]:
    """A programme that takes each thing at most once."""
    programme = Programme()
    taken = [programme.variable(most=1) for _ in areas]
    programme.row(dict(zip(taken, map(float, areas), strict=True)), most=room)
    return programme, taken


@settings(deadline=None, max_examples=30)
@given(st.lists(st.integers(1, 30), min_size=1, max_size=7), st.integers(0, 90))
def test_best_of_all_choices_is_found(areas: list[int], room: int) -> None:
    """The answer equals the best of all subsets, tried one by one."""
    programme, taken = knapsack(areas, room)
    sums = [
        sum(area for number, area in enumerate(areas) if chosen >> number & 1)
        for chosen in range(1 << len(areas))
    ]
    solved = programme.maximise(dict(zip(taken, map(float, areas), strict=True)))
    assert solved.total(dict(zip(taken, map(float, areas), strict=True))) == max(s for s in sums if s <= room)
    assert solved.is_proven


@settings(deadline=None, max_examples=30)
@given(st.lists(st.integers(1, 30), min_size=1, max_size=7), st.integers(0, 90))
def test_split_things_fill_a_room_to_its_end(areas: list[int], room: int) -> None:
    """Where things may be split the room is filled or everything is in it, and whole answers stay under that."""
    programme, taken = knapsack(areas, room)
    worth = dict(zip(taken, map(float, areas), strict=True))
    relaxed = programme.relaxed(worth)
    assert relaxed.total(worth) == pytest.approx(min(room, sum(areas)))
    assert programme.maximise(worth).total(worth) <= relaxed.bound + 1e-6


def test_nothing_to_split_is_an_answer_and_rows_that_exclude_each_other_have_none() -> None:
    """A programme without variables is answered at once; where no shares keep the rows that is told."""
    assert Programme().relaxed({}).values == ()
    programme = Programme()
    only = programme.variable(most=5)
    programme.row({only: 1.0}, least=6.0)
    with pytest.raises(NoAnswer):
        programme.relaxed({only: 1.0})


def test_a_solver_that_loses_its_way_begins_anew() -> None:
    """From its last answer it would need five steps and may take three: it answers from the start, which takes two."""

    def shared_out() -> tuple[Programme, list[dict[int, float]]]:
        chance = random.Random(5)  # noqa: S311 - chance numbers, no secrets
        programme = Programme(presolves=False)
        shares = [programme.variable() for _ in range(8)]
        for _ in range(6):
            uses = {share: float(chance.randint(1, 9)) for share in shares}
            programme.row(uses, most=float(chance.randint(20, 60)))
        return programme, [{share: float(chance.randint(1, 9)) for share in shares} for _ in range(2)]

    fresh, (_, worth) = shared_out()
    best = fresh.relaxed(worth).bound
    programme, (first, worth) = shared_out()
    programme.relaxed(first)
    programme._solver.setOptionValue("simplex_iteration_limit", 3)
    assert programme.relaxed(worth).bound == pytest.approx(best)
    programme._solver.setOptionValue("simplex_iteration_limit", 0)
    with pytest.raises(CannotSolve):
        programme.relaxed(first)


def test_rows_may_be_added_and_raised() -> None:
    """A programme asked again keeps the rows added since, and those raised."""
    programme = Programme()
    first, second = programme.variable(most=9), programme.variable(most=9)
    row = programme.row({first: 1.0}, least=0.0)
    programme.row({first: 1.0, second: 1.0}, most=10.0)
    assert programme.maximise({first: 1.0, second: 2.0}).values == (1.0, 9.0)
    programme.raise_row(row, least=4.0)
    assert programme.maximise({second: 1.0}).values[1] == 6.0
    third = programme.variable(most=1, start=1.0)
    programme.row({second: 1.0, third: -1.0}, most=2.0)
    assert programme.maximise({second: 1.0}).values[1] == 3.0


def test_a_row_may_be_raised_before_it_is_told() -> None:
    """A bound set before the first answer counts like any other."""
    programme = Programme()
    only = programme.variable(most=5)
    row = programme.row({only: 1.0})
    programme.raise_row(row, least=3.0)
    assert programme.maximise({only: -1.0}).values == (3.0,)


def test_rows_that_exclude_each_other_have_no_answer() -> None:
    """Rows that cannot all hold, and goals without end, are told as no answer."""
    programme = Programme()
    only = programme.variable()
    with pytest.raises(NoAnswer):
        programme.maximise({only: 1.0})
    programme.row({only: 1.0}, least=2.0, most=1.0)
    with pytest.raises(CannotSolve):
        programme.maximise({only: 1.0})


@pytest.mark.parametrize("factor", [math.nan, math.inf])
def test_what_is_no_number_is_refused(factor: float) -> None:
    """A factor that is not a finite number never reaches the solver."""
    programme = Programme()
    with pytest.raises(CannotSolve, match="not a number"):
        programme.row({programme.variable(): factor}, most=1.0)


def test_what_the_solver_refuses_is_one_error() -> None:
    """A variable whose bounds cross inside the solver ends in our own error."""
    programme = Programme()
    only = programme.variable(most=math.nan)
    with pytest.raises(CannotSolve):
        programme.maximise({only: 1.0})


def test_nothing_to_decide_is_an_answer() -> None:
    """A programme without variables is answered without the solver."""
    assert Programme().maximise({}).values == ()


def test_steps_are_counted_not_seconds() -> None:
    """A search whose steps are used up before it found anything says so.

    The rows are a market split problem, known to be hard (Cornuéjols & Dawande 1998, from memory).
    """
    chance = random.Random(5)  # noqa: S311 - an invented problem
    programme = Programme(most_nodes=1)
    taken = [programme.variable(most=1) for _ in range(40)]
    for _row in range(5):
        factors = {variable: float(chance.randrange(100)) for variable in taken}
        half = sum(factors.values()) // 2
        programme.row(factors, least=half, most=half)
    with pytest.raises(GaveUp):
        programme.maximise(dict.fromkeys(taken, 1.0))


def test_a_setting_the_solver_refuses_is_our_error() -> None:
    """What the solver answers with an error is raised as one, not overlooked."""
    with pytest.raises(CannotSolve, match="refused"):
        Programme(most_nodes=-1)


def test_the_last_answer_may_be_a_start() -> None:
    """Asked again the programme sets out from its last answer and finds the same."""
    programme, taken = knapsack([3, 5, 7], 8)
    goal = dict(zip(taken, [3.0, 5.0, 7.0], strict=True))
    assert programme.maximise(goal).values == programme.maximise(goal).values == (1.0, 1.0, 0.0)


def test_nothing_is_printed(capfd: pytest.CaptureFixture[str]) -> None:
    """The solver keeps its banner and its log to itself."""
    programme, taken = knapsack([3, 5, 7], 11)
    programme.maximise(dict.fromkeys(taken, 1.0))
    assert capfd.readouterr() == ("", "")


def test_expressions_add_up() -> None:
    """Linear expressions are added factor by factor."""
    assert total_of([{1: 2.0, 2: 1.0}, {1: 0.5}]) == {1: 2.5, 2: 1.0}
