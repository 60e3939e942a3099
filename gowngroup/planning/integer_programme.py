"""Integer programmes: whole numbers under linear rows, solved by HiGHS in silence and looked over before use."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

import highspy
import numpy as np

Terms = Mapping[int, float]

# A solver works in floats: rows are believed to hold within this share of their own size.
_TOLERANCE = 1e-6
# A count of steps, not of seconds, gives the same answer on a slow machine.
_MOST_NODES = 100
_HUNTS = (
    "mip_allow_restart",
    "mip_heuristic_run_rins",
    "mip_heuristic_run_rens",
    "mip_heuristic_run_root_reduced_cost",
)
_NONE = (
    highspy.HighsModelStatus.kInfeasible,
    highspy.HighsModelStatus.kUnbounded,
    highspy.HighsModelStatus.kUnboundedOrInfeasible,
)


class CannotSolve(RuntimeError):
    """The solver refused a programme, found no answer in its steps, or gave one that breaks a row."""


class NoAnswer(CannotSolve):
    """No values keep every row (or the best of them is endless)."""


class GaveUp(CannotSolve):
    """The steps allowed were used up before any answer was found that keeps every row."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Solved:
    """The value of every variable, whether nothing better can exist, and the value nothing can exceed."""

    values: tuple[float, ...]
    is_proven: bool
    bound: float

    def total(self, terms: Terms) -> float:
        """The value of a linear expression."""
        return sum(factor * self.values[index] for index, factor in terms.items())


@dataclass(frozen=True, slots=True, kw_only=True)
class _Row:
    terms: Terms
    least: float
    most: float

    def is_kept(self, values: tuple[float, ...]) -> bool:
        parts = [factor * values[index] for index, factor in self.terms.items()]
        slack = _TOLERANCE * (1 + sum(abs(part) for part in parts))
        return self.least - slack <= sum(parts) <= self.most + slack


class SilentSolver(highspy.Highs):
    """The solver without its banner."""

    def enableCallbacks(self) -> None:  # noqa: N802 - the solver's own name; it would print a banner here
        """Callbacks are not used."""


class Programme:
    """A programme that may be solved again after rows were added, the last answer serving as a start.

    Without `presolves` the solver sets to work at once, which is quicker where a small programme is asked many times.
    """

    def __init__(self, *, most_nodes: int | None = None, presolves: bool = True) -> None:
        self._bounds: list[tuple[float, float, bool]] = []
        self._starts: list[float] = []
        self._rows: list[_Row] = []
        self._told_columns = 0
        self._told_rows = 0
        self._last: Solved | None = None
        self._solver = SilentSolver()  # type: ignore[no-untyped-call]  # its class is untyped
        for name, value in (
            ("output_flag", False),
            ("threads", 1),
            ("random_seed", 1),
            ("presolve", "choose" if presolves else "off"),
            ("mip_max_nodes", _MOST_NODES if most_nodes is None else most_nodes),
        ):
            self._expect(self._solver.setOptionValue(name, value))

    def variable(self, *, most: float = math.inf, is_whole: bool = True, start: float = 0.0) -> int:
        """A variable from 0 to `most`, known by the number returned; `start` is tried with the last answer."""
        self._bounds.append((0.0, most, is_whole))
        self._starts.append(start)
        return len(self._bounds) - 1

    def row(self, terms: Terms, *, least: float = -math.inf, most: float = math.inf) -> int:
        """Keep a linear expression within bounds; the row is known by the number returned.

        Raises CannotSolve for a factor that is no number.
        """
        if (
            not all(math.isfinite(factor) for factor in terms.values())
            or math.isnan(least)
            or math.isnan(most)
        ):
            raise CannotSolve("a row holds something that is not a number")
        self._rows.append(_Row(terms=dict(terms), least=least, most=most))
        return len(self._rows) - 1

    def raise_row(self, number: int, *, least: float) -> None:
        """Set the lower bound of a row anew."""
        self._rows[number] = replace(self._rows[number], least=least)
        if number < self._told_rows:
            self._expect(self._solver.changeRowBounds(number, least, self._rows[number].most))

    def maximise(
        self, terms: Terms, *, gap_share: float = 0.0, gap: float = 1e-6, is_start_good: bool = False
    ) -> Solved:
        """The best answer; whole numbers come rounded and every row is checked afterwards.

        Proven optimal within `gap` (absolute) or `gap_share` unless the search was stopped by its count of steps.
        With a good start at hand the search goes for the proof and leaves out its own long hunts for answers.
        The same rows in the same order give the same answer. Raises NoAnswer, GaveUp, CannotSolve.
        """
        if not self._bounds:
            return Solved(values=(), is_proven=True, bound=0.0)
        self._aim_at(terms)
        solver = self._solver
        self._expect(solver.setOptionValue("solve_relaxation", False))
        self._expect(solver.setOptionValue("mip_rel_gap", gap_share))
        self._expect(solver.setOptionValue("mip_abs_gap", gap))
        for hunt in _HUNTS:
            self._expect(solver.setOptionValue(hunt, not is_start_good))
        self._start_from_last()
        self._expect(solver.run())
        self._last = self._checked()
        return self._last

    def relaxed(self, terms: Terms) -> Solved:
        """The best answer where every variable may be split: no whole numbers can do better. Raises CannotSolve."""
        if not self._bounds:
            return Solved(values=(), is_proven=True, bound=0.0)
        self._aim_at(terms)
        self._expect(self._solver.setOptionValue("solve_relaxation", True))
        self._expect(self._solver.run())
        status = self._solver.getModelStatus()
        if status not in (highspy.HighsModelStatus.kOptimal, *_NONE):
            # It lost its way from where it last stood: it begins anew.
            self._expect(self._solver.clearSolver())
            self._expect(self._solver.run())
            status = self._solver.getModelStatus()
        if status != highspy.HighsModelStatus.kOptimal:
            fault = NoAnswer if status in _NONE else CannotSolve
            raise fault(self._solver.modelStatusToString(status))
        values = tuple(self._solver.getSolution().col_value)
        return Solved(values=values, is_proven=True, bound=self._solver.getInfo().objective_function_value)

    def _aim_at(self, terms: Terms) -> None:
        """Hand the solver what is new, and what it shall make as great as it can."""
        self._tell()
        costs = np.zeros(len(self._bounds))
        for index, factor in terms.items():
            costs[index] = factor
        every = np.arange(len(self._bounds), dtype=np.int32)
        self._expect(self._solver.changeColsCost(len(every), every, costs))
        self._expect(self._solver.changeObjectiveSense(highspy.ObjSense.kMaximize))

    def _tell(self) -> None:
        """Hand the solver what has been added since it last ran."""
        columns, rows = self._bounds[self._told_columns :], self._rows[self._told_rows :]
        if columns:
            first = self._told_columns
            numbers = np.arange(first, first + len(columns), dtype=np.int32)
            least, most, are_whole = (np.array(each) for each in zip(*columns, strict=True))
            kinds = np.where(
                are_whole, int(highspy.HighsVarType.kInteger), int(highspy.HighsVarType.kContinuous)
            )
            self._expect(self._solver.addVars(len(columns), least, most))
            self._expect(self._solver.changeColsIntegrality(len(columns), numbers, kinds.astype(np.uint8)))
        for row in rows:
            indices = np.array(list(row.terms), dtype=np.int32)
            factors = np.array(list(row.terms.values()), dtype=float)
            self._expect(self._solver.addRow(row.least, row.most, len(indices), indices, factors))
        self._told_columns, self._told_rows = len(self._bounds), len(self._rows)

    def _start_from_last(self) -> None:
        """Begin with the last answer where it still keeps every row."""
        if self._last is None:
            return
        known = self._last.values
        values = (*known, *self._starts[len(known) :])
        if self._broken(values):
            return
        start = highspy.HighsSolution()
        start.col_value = list(values)
        self._expect(self._solver.setSolution(start))

    def _checked(self) -> Solved:
        status = self._solver.getModelStatus()
        is_proven = status == highspy.HighsModelStatus.kOptimal
        if status in _NONE:
            raise NoAnswer(self._solver.modelStatusToString(status))
        found = self._solver.getSolution().col_value
        values = tuple(
            float(round(value)) if is_whole else float(value)
            for value, (_, _, is_whole) in zip(found, self._bounds, strict=False)
        )
        if len(values) < len(self._bounds) or self._broken(values):
            raise GaveUp(self._solver.modelStatusToString(status))
        bound = self._solver.getInfo().mip_dual_bound
        return Solved(values=values, is_proven=is_proven, bound=bound)

    def _broken(self, values: tuple[float, ...]) -> int:
        return sum(not row.is_kept(values) for row in self._rows)

    @staticmethod
    def _expect(status: highspy.HighsStatus) -> None:
        if status == highspy.HighsStatus.kError:
            raise CannotSolve("the solver refused a part of the programme")


def total_of(terms: Iterable[Terms]) -> dict[int, float]:
    """The sum of linear expressions."""
    summed: dict[int, float] = {}
    for each in terms:
        for index, factor in each.items():
            summed[index] = summed.get(index, 0.0) + factor
    return summed
