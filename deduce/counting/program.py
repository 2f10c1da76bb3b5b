"""Linear programs that are solved over and over with small changes, solved by HiGHS."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from math import inf
from types import ModuleType
from typing import TYPE_CHECKING

from deduce.deadline import in_time, seconds_left
from deduce.errors import needed

if TYPE_CHECKING:
    import highspy

__all__ = ["INTEGRAL", "Entry", "Program", "SolverError"]

INTEGRAL = 1e-6
"""How far a value of the solver may be from a whole number and still be read as one."""

Entry = tuple[int, float]
"""A column and its coefficient in a row."""


class SolverError(RuntimeError):
    """HiGHS gave up on a linear program; an internal error, since these programs are small and bounded.

    Parameters
    ----------
    status : str
        What HiGHS reported.
    size : (int, int)
        Rows and columns of the program.
    """

    def __init__(self, status: str, size: tuple[int, int]) -> None:
        super().__init__(status, size)
        self.status = status
        self.size = size

    def __str__(self) -> str:
        rows, columns = self.size
        return f"HiGHS ended a program of {rows} rows and {columns} columns with {self.status!r}; please report this"


class Program:
    """A linear program over bounded columns, kept in the solver so that each solve starts where the last one ended.

    Parameters
    ----------
    columns : sequence of (float, float, float)
        Lower bound, upper bound and cost of each column.
    rows : sequence of (sequence of (int, float), float, float)
        Entries, lower bound and upper bound of each row.
    primal : bool
        Whether to use the primal simplex method, which keeps its place when costs change; the dual one does so when
        bounds change.

    Notes
    -----
    The objective is minimised.  One thread, no presolve and no randomness: the same calls give the same answers.
    """

    def __init__(
        self,
        columns: Sequence[tuple[float, float, float]],
        rows: Sequence[tuple[Sequence[Entry], float, float]],
        *,
        primal: bool,
    ) -> None:
        highspy = highs()
        solver = _quiet()()
        lp = highspy.HighsLp()
        lp.num_col_, lp.num_row_ = len(columns), len(rows)
        lower, upper, cost = zip(*columns, strict=True) if columns else ((), (), ())
        lp.col_lower_, lp.col_upper_, lp.col_cost_ = list(lower), list(upper), list(cost)
        lp.row_lower_, lp.row_upper_ = [row[1] for row in rows], [row[2] for row in rows]
        starts, index, value = [0], [], []
        for entries, _, _ in rows:
            for column, coefficient in entries:
                index.append(column)
                value.append(float(coefficient))
            starts.append(len(index))
        matrix = lp.a_matrix_
        matrix.format_ = highspy.MatrixFormat.kRowwise
        matrix.start_, matrix.index_, matrix.value_ = starts, index, value
        solver.setOptionValue("presolve", "off")
        solver.setOptionValue("threads", 1)
        solver.passModel(lp)
        self._strategy = 4 if primal else 1
        self._solver = solver
        self._size = len(rows), len(columns)
        self.iterations = 0

    def solve(self) -> float | None:
        """Solve it; return the objective, or None if no values meet all rows.

        Raises
        ------
        SolverError
            If HiGHS reports anything else.
        """
        for strategy in (self._strategy, self._strategy, 5 - self._strategy):
            self._solver.setOptionValue("simplex_strategy", strategy)
            self._run()
            self.iterations += max(0, self._solver.getInfo().simplex_iteration_count)
            status = self._solver.getModelStatus().name
            if status in ("kOptimal", "kInfeasible", "kModelEmpty"):
                self._solver.setOptionValue("simplex_strategy", self._strategy)
                return None if status == "kInfeasible" else float(self._solver.getInfo().objective_function_value)
            # A start from an earlier basis can lead into numerical trouble; a fresh one, or the other simplex method,
            # gets out of it.
            self._solver.clearSolver()
        raise SolverError(status, self._size)

    def values(self) -> list[float]:
        """Return the value of each column in the last solution."""
        return list(self._solver.getSolution().col_value)

    def duals(self) -> list[float]:
        """Return the dual value of each row in the last solution: how the objective moves with the row's bound."""
        return list(self._solver.getSolution().row_dual)

    def basic_columns(self) -> list[int]:
        """Return the columns of the last basis."""
        return [i for i, status in enumerate(self._solver.getBasis().col_status) if status.name == "kBasic"]

    def binding_rows(self) -> list[int]:
        """Return the rows outside the last basis: those that are met with equality."""
        return [i for i, status in enumerate(self._solver.getBasis().row_status) if status.name != "kBasic"]

    def whole(self, columns: int, nodes: int, below: float) -> tuple[list[float] | None, float]:
        """Solve it once more with whole numbers in the first columns, by HiGHS' own search.

        Parameters
        ----------
        columns : int
            How many columns must be whole.
        nodes : int
            How many branchings may be tried.
        below : float
            Only objectives below this are of interest.

        Returns
        -------
        list of float or None
            The best values found, or None.
        float
            A bound that no values with whole numbers beat.
        """
        solver = self._solver
        solver.clearSolver()
        kind = highs().HighsVarType.kInteger
        for column in range(columns):
            solver.changeColIntegrality(column, kind)
        solver.setOptionValue("presolve", "on")
        solver.setOptionValue("mip_max_nodes", nodes)
        solver.setOptionValue("mip_abs_gap", 1 - 1e-3)
        if below < inf:
            solver.setOptionValue("objective_bound", below)
        self._run()
        info, status = solver.getInfo(), solver.getModelStatus().name
        if status in ("kInfeasible", "kObjectiveBound"):
            return None, below
        found = info.primal_solution_status == int(highs().SolutionStatus.kSolutionStatusFeasible)
        bound = info.objective_function_value if status == "kOptimal" else info.mip_dual_bound
        return (list(solver.getSolution().col_value) if found else None), float(bound)

    def _run(self) -> None:
        """Let HiGHS work.

        It has one set of threads in a process.  If somebody else's program has started several before, HiGHS refuses to
        work on one alone, and says so by doing nothing; then those that there are must do.
        """
        in_time()
        left = seconds_left()
        if left < inf:
            # The clock of HiGHS goes on from run to run.
            self._solver.setOptionValue("time_limit", self._solver.getRunTime() + left)
        self._solver.run()
        in_time()
        if self._solver.getModelStatus().name == "kNotset":
            self._solver.setOptionValue("threads", 0)
            self._solver.run()

    def cost(self, column: int, cost: float) -> None:
        """Change the cost of one column."""
        self._solver.changeColCost(column, cost)

    def costs(self, costs: Sequence[float]) -> None:
        """Change the costs of all columns."""
        import numpy as np

        self._solver.changeColsCost(len(costs), np.arange(len(costs), dtype=np.int32), np.array(costs))

    def bound(self, column: int, lower: float, upper: float = inf) -> None:
        """Change the bounds of one column."""
        self._solver.changeColBounds(column, lower, upper)

    def bound_row(self, row: int, lower: float, upper: float) -> None:
        """Change the bounds of one row."""
        self._solver.changeRowBounds(row, lower, upper)


def highs() -> ModuleType:
    """Load HiGHS, which takes a tenth of a second.

    Raises
    ------
    MissingExtra
        Where it cannot be had, as in a browser.
    """
    loaded: ModuleType = needed("highspy", "highspy", "a search for counting arguments")
    return loaded


@lru_cache(maxsize=1)
def _quiet() -> type[highspy.Highs]:
    """Return the solver class, made to say nothing: its own constructor prints a banner when callbacks are set up."""
    import highspy

    class Quiet(highspy.Highs):
        def __init__(self) -> None:
            super(highspy.Highs, self).__init__()
            self.setOptionValue("output_flag", False)

    return Quiet
