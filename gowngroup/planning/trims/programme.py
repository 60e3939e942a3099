"""A linear or whole-number programme of columns, solved by HiGHS the same way every time."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import highspy
import numpy as np

_HUNTS = ("mip_heuristic_run_rins", "mip_heuristic_run_rens", "mip_heuristic_run_root_reduced_cost")


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """What one unit of a column adds to the rows, and to each stage that is judged."""

    entries: tuple[tuple[int, float], ...]
    shares: tuple[float, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Programme:
    """Columns, the least and most of each row, and the most of each earlier stage; the next stage is made least."""

    columns: Sequence[Column]
    rows: Sequence[tuple[float, float]]
    kept: Sequence[float]

    @property
    def stage(self) -> int:
        """The stage that is made least."""
        return len(self.kept)


@dataclass(frozen=True, slots=True, kw_only=True)
class Relaxed:
    """The least value where columns may be split, and the price of each row and kept stage."""

    value: float
    prices: tuple[float, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Whole:
    """Whole amounts of the columns, None where none were found, and whether the search came to its end."""

    amounts: tuple[int, ...] | None
    is_finished: bool


def relaxed(programme: Programme) -> Relaxed:
    """The least of a stage with split columns: no whole amounts can do better."""
    solver = _solver(programme, programme.kept)
    solver.run()
    return Relaxed(
        value=solver.getInfo().objective_function_value, prices=tuple(solver.getSolution().row_dual)
    )


def whole_within(programme: Programme, most: float, *, node_count: int, hunts: bool) -> Whole:
    """Whole amounts whose stage comes to no more than `most`, if there are any within so many nodes of the search.

    With `hunts` it looks harder for amounts; without, it sooner comes to the end.
    """
    solver = _solver(programme, (*programme.kept, most))
    for hunt in _HUNTS:
        solver.setOptionValue(hunt, hunts)
    kinds = np.full(len(programme.columns), int(highspy.HighsVarType.kInteger), dtype=np.uint8)
    solver.setOptionValue("mip_max_nodes", node_count)
    solver.changeColsIntegrality(len(kinds), np.arange(len(kinds), dtype=np.int32), kinds)
    solver.run()
    ended = (highspy.HighsModelStatus.kOptimal, highspy.HighsModelStatus.kInfeasible)
    status = highspy.SolutionStatus(solver.getInfo().primal_solution_status)
    is_found = status == highspy.SolutionStatus.kSolutionStatusFeasible
    return Whole(
        amounts=tuple(round(amount) for amount in solver.getSolution().col_value) if is_found else None,
        is_finished=solver.getModelStatus() in ended,
    )


def _solver(programme: Programme, kept: Sequence[float]) -> highspy.Highs:
    columns, rows = programme.columns, programme.rows
    entries = [
        (*column.entries, *((len(rows) + stage, column.shares[stage]) for stage in range(len(kept))))
        for column in columns
    ]
    lp = highspy.HighsLp()
    lp.num_col_, lp.num_row_ = len(columns), len(rows) + len(kept)
    lp.col_cost_ = np.array([column.shares[programme.stage] for column in columns])
    lp.col_lower_ = np.zeros(len(columns))
    lp.col_upper_ = np.full(len(columns), highspy.kHighsInf)
    lp.row_lower_ = np.array([*(least for least, _ in rows), *(-highspy.kHighsInf for _ in kept)])
    lp.row_upper_ = np.array([*(most for _, most in rows), *kept], dtype=float)
    lp.a_matrix_.format_ = highspy.MatrixFormat.kColwise
    lp.a_matrix_.start_ = np.cumsum([0, *map(len, entries)], dtype=np.int32)
    lp.a_matrix_.index_ = np.array([row for column in entries for row, _ in column], dtype=np.int32)
    lp.a_matrix_.value_ = np.array([value for column in entries for _, value in column], dtype=float)
    solver = _quiet_solver()
    solver.passModel(lp)
    return solver


class _SilentSolver(highspy.Highs):
    def enableCallbacks(self) -> None:  # noqa: N802 - the solver's own name; it would print a banner here
        """Callbacks are not used."""


def _quiet_solver() -> highspy.Highs:
    solver = _SilentSolver()  # type: ignore[no-untyped-call]  # its class is untyped
    for option, value in (
        ("output_flag", False),
        ("threads", 1),
        ("random_seed", 1),
        ("mip_rel_gap", 0.0),
        ("mip_abs_gap", 0.99),
    ):
        solver.setOptionValue(option, value)
    return solver
