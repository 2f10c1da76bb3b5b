"""A mixed-integer program, solved by HiGHS."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf

__all__ = ["Optimum", "Rows", "maximum"]


class Rows:
    """Linear constraints ``low <= sum of coefficient * variable <= high``, row by row."""

    def __init__(self) -> None:
        self.starts = [0]
        self.columns: list[int] = []
        self.values: list[float] = []
        self.low: list[float] = []
        self.high: list[float] = []

    def add(self, terms: Sequence[tuple[int, float]], low: float | None, high: float | None) -> None:
        """Add a constraint; None leaves a side open."""
        self.columns += [column for column, _ in terms]
        self.values += [value for _, value in terms]
        self.starts.append(len(self.columns))
        self.low.append(-inf if low is None else low)
        self.high.append(inf if high is None else high)


@dataclass(frozen=True, slots=True)
class Optimum:
    """What the solver found.

    Parameters
    ----------
    values : tuple of float
        One for each variable.
    bound : float
        No solution is worth more.
    """

    values: tuple[float, ...]
    bound: float


def maximum(worth: Sequence[float], rows: Rows, *, whole: int, seconds: float) -> Optimum | None:
    """Maximize a sum over variables from 0 to 1, the first `whole` of which are 0 or 1.

    Parameters
    ----------
    worth : sequence of float
        One for each variable.
    rows : Rows
        The constraints.
    whole : int
        How many variables may not be fractions.
    seconds : float
        How long the solver may take.

    Returns
    -------
    Optimum or None
        None if no solution was found in time.
    """
    import highspy
    import numpy as np

    solver = highspy.Highs()  # type: ignore[no-untyped-call]
    solver.silent()
    # HiGHS has one set of threads in a process; counting arguments are sought with one.
    solver.setOptionValue("threads", 1)
    solver.setOptionValue("time_limit", seconds)
    solver.setOptionValue("mip_rel_gap", 0.0)
    count = len(worth)
    solver.addCols(count, list(worth), [0.0] * count, [1.0] * count, 0, [], [], [])
    solver.changeColsIntegrality(
        whole, np.arange(whole, dtype=np.int32), np.full(whole, int(highspy.HighsVarType.kInteger), dtype=np.uint8)
    )
    solver.addRows(len(rows.low), rows.low, rows.high, len(rows.columns), rows.starts[:-1], rows.columns, rows.values)
    solver.changeObjectiveSense(highspy.ObjSense.kMaximize)
    solver.run()
    info = solver.getInfo()
    if info.primal_solution_status != highspy.SolutionStatus.kSolutionStatusFeasible:
        return None
    return Optimum(tuple(solver.getSolution().col_value), float(info.mip_dual_bound))
