"""Linear programmes, solved by HiGHS in silence: those that grow by columns, and those told all at once."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import highspy
import numpy as np
from numpy.typing import NDArray

from gowngroup.planning.integer_programme import CannotSolve, SilentSolver

Numbers = NDArray[np.float64]
Whole = NDArray[np.int64]

# Far more than any of our programmes takes; counted in steps, so that a slow machine gets the same answer.
_MOST_STEPS = 200_000
_PRIMAL = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Solved:
    """The share of every column, what one more of every row's bound would bring, and what all comes to."""

    shares: tuple[float, ...]
    row_worths: tuple[float, ...]
    value: float


class LinearProgramme:
    """Rows first, then columns as they are found; columns and rows may be bounded anew between solutions."""

    def __init__(self) -> None:
        self._solver = _solver()
        # New columns leave the last shares possible, so the primal simplex goes on from them.
        _expect(self._solver.setOptionValue("simplex_strategy", _PRIMAL))
        _expect(self._solver.changeObjectiveSense(highspy.ObjSense.kMaximize))
        self._row_count = 0
        self._column_count = 0

    def row(self, *, least: float = -math.inf, most: float = math.inf) -> int:
        """A row without columns yet, known by the number returned."""
        none = np.array([], dtype=np.int32)
        _expect(self._solver.addRow(least, most, 0, none, none.astype(float)))
        self._row_count += 1
        return self._row_count - 1

    def column(self, gain: float, factors: Mapping[int, float]) -> int:
        """A column from 0 upwards with its factors by row, known by the number returned."""
        rows = np.array(list(factors), dtype=np.int32)
        values = np.array(list(factors.values()), dtype=float)
        _expect(self._solver.addCol(gain, 0.0, math.inf, len(rows), rows, values))
        self._column_count += 1
        return self._column_count - 1

    def bound_row(self, number: int, *, least: float = -math.inf, most: float = math.inf) -> None:
        """Set the bounds of a row anew."""
        _expect(self._solver.changeRowBounds(number, least, most))

    def bound_column(self, number: int, *, least: float = 0.0, most: float = math.inf) -> None:
        """Set the bounds of a column anew."""
        _expect(self._solver.changeColBounds(number, least, most))

    def gain(self, gains: Sequence[float]) -> None:
        """Set what every column brings."""
        numbers = np.arange(len(gains), dtype=np.int32)
        _expect(self._solver.changeColsCost(len(gains), numbers, np.array(gains, dtype=float)))

    def maximise(self) -> Solved:
        """The best shares of the columns there are; the same calls in the same order give the same.

        Raises CannotSolve where there are none, they are endless or the steps do not suffice.
        """
        _run(self._solver)
        solution = self._solver.getSolution()
        return Solved(
            shares=tuple(solution.col_value),
            row_worths=tuple(solution.row_dual),
            value=self._solver.getInfo().objective_function_value,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Rows:
    """Rows one after the other: how many terms each has, their variables and factors, and the least each comes to."""

    sizes: Whole
    variables: Whole
    factors: Numbers
    least: Numbers


def cheapest(*, costs: Numbers, lows: Numbers, highs: Numbers, rows: Rows) -> Numbers:
    """The values within these bounds that keep every row and cost least. Raises CannotSolve where there are none."""
    programme = highspy.HighsLp()
    programme.num_col_, programme.num_row_ = len(costs), len(rows.sizes)
    programme.col_cost_, programme.col_lower_, programme.col_upper_ = costs, lows, highs
    programme.row_lower_, programme.row_upper_ = rows.least, np.full(len(rows.sizes), np.inf)
    matrix = programme.a_matrix_
    matrix.format_ = highspy.MatrixFormat.kRowwise
    matrix.start_ = np.append(0, np.cumsum(rows.sizes)).astype(np.int32)
    matrix.index_, matrix.value_ = rows.variables.astype(np.int32), rows.factors
    solver = _solver()
    _expect(solver.passModel(programme))
    _run(solver)
    return np.array(solver.getSolution().col_value)


def _solver() -> SilentSolver:
    solver = SilentSolver()  # type: ignore[no-untyped-call]  # its class is untyped
    for name, value in (
        ("output_flag", False),
        ("threads", 1),
        ("random_seed", 1),
        ("simplex_iteration_limit", _MOST_STEPS),
    ):
        _expect(solver.setOptionValue(name, value))
    return solver


def _run(solver: SilentSolver) -> None:
    """Solve, or raise CannotSolve."""
    _expect(solver.run())
    status = solver.getModelStatus()
    if status != highspy.HighsModelStatus.kOptimal:
        raise CannotSolve(solver.modelStatusToString(status))


def _expect(status: highspy.HighsStatus) -> None:
    if status == highspy.HighsStatus.kError:
        raise CannotSolve("the solver refused a part of the programme")
