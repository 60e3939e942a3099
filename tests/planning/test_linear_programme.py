"""The linear programme that grows by columns: best shares, worths of rows, and one error for what goes wrong."""

import math

import pytest

from gowngroup.planning import linear_programme
from gowngroup.planning.integer_programme import CannotSolve
from gowngroup.planning.linear_programme import LinearProgramme


def two_rows() -> tuple[LinearProgramme, int, int]:
    """Cloth of 4 and hours of 6 for two kinds of gown."""
    programme = LinearProgramme()
    cloth, hours = programme.row(most=4.0), programme.row(most=6.0)
    programme.column(3.0, {cloth: 1.0, hours: 1.0})
    programme.column(5.0, {cloth: 1.0, hours: 2.0})
    return programme, cloth, hours


def test_best_shares_and_what_rows_are_worth() -> None:
    """Two of each are best, worked out by hand; one more of the rows brings one and two."""
    solved = two_rows()[0].maximise()
    assert solved.shares == pytest.approx((2.0, 2.0))
    assert solved.value == pytest.approx(16.0)
    assert solved.row_worths == pytest.approx((1.0, 2.0))


def test_columns_join_and_bounds_move() -> None:
    """A better column is taken up; rows and columns bounded anew, or worth something else, change the answer."""
    programme, cloth, hours = two_rows()
    best = programme.column(9.0, {hours: 1.0, cloth: 1.0})
    assert programme.maximise().value == pytest.approx(36.0)
    programme.bound_column(best, most=1.0)
    assert programme.maximise().value == pytest.approx(9 + 3 + 10)
    programme.bound_row(hours, most=1.0)
    assert programme.maximise().value == pytest.approx(9.0)
    programme.gain([20.0, 1.0, 9.0])
    assert programme.maximise().shares == pytest.approx((1.0, 0.0, 0.0))


def test_what_cannot_be_is_one_documented_error() -> None:
    """No shares at all keep a row that no column reaches, and endless gains are refused too."""
    programme = LinearProgramme()
    row = programme.row(least=1.0)
    with pytest.raises(CannotSolve):
        programme.maximise()
    programme.column(1.0, {row: 1.0})
    with pytest.raises(CannotSolve):
        programme.maximise()


def test_factor_that_is_no_number_is_refused() -> None:
    """The solver's refusal comes as our own error."""
    programme = LinearProgramme()
    with pytest.raises(CannotSolve):
        programme.column(1.0, {programme.row(most=1.0): math.inf})


def test_steps_are_counted(monkeypatch: pytest.MonkeyPatch) -> None:
    """Out of steps there is no answer rather than a poor one."""
    monkeypatch.setattr(linear_programme, "_MOST_STEPS", 0)
    with pytest.raises(CannotSolve):
        two_rows()[0].maximise()
