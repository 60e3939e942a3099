"""Linear programmes that grow by columns, solved by HiGHS in silence: shares, and what each row is worth."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import highspy
import numpy as np

from gowngroup.planning.integer_programme import CannotSolve, SilentSolver

# Far more than any of our programmes takes; counted in steps, so that a slow machine gets the same answer.
_MOST_STEPS = 200_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Solved:
    """The share of every column, what one more of every row's bound would bring, and what all comes to."""

    shares: tuple[float, ...]
    row_worths: tuple[float, ...]
    value: float


class LinearProgramme:
    """Rows first, then columns as they are found; columns and rows may be bounded anew between solutions."""

    def __init__(self) -> None:
        self._solver = SilentSolver()  # type: ignore[no-untyped-call]  # its class is untyped
        for name, value in (
            ("output_flag", False),
            ("threads", 1),
            ("random_seed", 1),
            ("simplex_iteration_limit", _MOST_STEPS),
        ):
            self._expect(self._solver.setOptionValue(name, value))
        self._expect(self._solver.changeObjectiveSense(highspy.ObjSense.kMaximize))
        self._row_count = 0
        self._column_count = 0

    def row(self, *, least: float = -math.inf, most: float = math.inf) -> int:
        """A row without columns yet, known by the number returned."""
        none = np.array([], dtype=np.int32)
        self._expect(self._solver.addRow(least, most, 0, none, none.astype(float)))
        self._row_count += 1
        return self._row_count - 1

    def column(self, gain: float, factors: Mapping[int, float]) -> int:
        """A column from 0 upwards with its factors by row, known by the number returned."""
        rows = np.array(list(factors), dtype=np.int32)
        values = np.array(list(factors.values()), dtype=float)
        self._expect(self._solver.addCol(gain, 0.0, math.inf, len(rows), rows, values))
        self._column_count += 1
        return self._column_count - 1

    def bound_row(self, number: int, *, least: float = -math.inf, most: float = math.inf) -> None:
        """Set the bounds of a row anew."""
        self._expect(self._solver.changeRowBounds(number, least, most))

    def bound_column(self, number: int, *, least: float = 0.0, most: float = math.inf) -> None:
        """Set the bounds of a column anew."""
        self._expect(self._solver.changeColBounds(number, least, most))

    def gain(self, gains: Sequence[float]) -> None:
        """Set what every column brings."""
        numbers = np.arange(len(gains), dtype=np.int32)
        self._expect(self._solver.changeColsCost(len(gains), numbers, np.array(gains, dtype=float)))

    def maximise(self) -> Solved:
        """The best shares of the columns there are; the same calls in the same order give the same.

        Raises CannotSolve where there are none, they are endless or the steps do not suffice.
        """
        self._expect(self._solver.run())
        status = self._solver.getModelStatus()
        if status != highspy.HighsModelStatus.kOptimal:
            raise CannotSolve(self._solver.modelStatusToString(status))
        solution = self._solver.getSolution()
        return Solved(
            shares=tuple(solution.col_value),
            row_worths=tuple(solution.row_dual),
            value=self._solver.getInfo().objective_function_value,
        )

    @staticmethod
    def _expect(status: highspy.HighsStatus) -> None:
        if status == highspy.HighsStatus.kError:
            raise CannotSolve("the solver refused a part of the programme")
